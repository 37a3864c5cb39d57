import { parseArgs } from 'node:util';
import { check } from './check.ts';
import { demo } from './demo.ts';
import { parseExpectation } from './expectation.ts';
import { Fault } from './fault.ts';
import { listen } from './listen.ts';
import { commandLine } from './messages.ts';
import { models } from './models.ts';
import { answer, tell } from './output.ts';
import { localizeRecord } from './record.ts';
import { interpretWords } from './words.ts';

type Options = Readonly<Record<string, { readonly type: 'string' | 'boolean' }>>;

const json = { json: { type: 'boolean' } } as const;

/** Options of each verb; anything else on the line is refused. */
const verbs = {
  listen: {
    ...json,
    list: { type: 'string' },
    expect: { type: 'string' },
    model: { type: 'string' },
    out: { type: 'string' },
  },
  interpret: { ...json, file: { type: 'string' }, expect: { type: 'string' } },
  localize: json,
  check: { ...json, 'passphrase-file': { type: 'string' } },
  models: {
    ...json,
    from: { type: 'string' },
    debian: { type: 'boolean' },
    confirm: { type: 'string' },
  },
  demo: { list: { type: 'boolean' }, voice: { type: 'string' } },
} as const satisfies Record<string, Options>;

type Verb = keyof typeof verbs;

/** Runs one command line and gives its exit code; never throws for bad input. */
export async function run(args: readonly string[]): Promise<number> {
  try {
    await dispatch(args);
    return 0;
  } catch (error) {
    if (error instanceof Fault) {
      tell(commandLine.fault(error.message));
      return 2;
    }
    throw error;
  }
}

async function dispatch([verb, ...rest]: readonly string[]): Promise<void> {
  if (verb === undefined || verb === '--help' || verb === '-h' || verb === 'help') {
    answer(commandLine.usage);
    return;
  }
  if (!(verb in verbs)) {
    throw new Fault(commandLine.noVerb(verb, Object.keys(verbs).join(', ')));
  }
  const { values, positionals } = parsed(verb as Verb, rest);
  const text = (name: string): string | undefined => {
    const value = values[name];
    return typeof value === 'string' ? value : undefined;
  };
  const wanted = text('expect');
  const expected = wanted === undefined ? undefined : parseExpectation(wanted);
  const asJson = values.json === true;
  switch (verb as Verb) {
    case 'listen':
      return listen({
        files: positionals,
        list: text('list'),
        expected,
        model: text('model'),
        out: text('out'),
        json: asJson,
      });
    case 'interpret':
      return interpretWords({
        words: positionals.length === 0 ? undefined : positionals.join(' '),
        file: text('file'),
        expected,
        json: asJson,
      });
    case 'localize':
      if (positionals.length > 1) throw new Fault(commandLine.localize.oneFile);
      return localizeRecord(positionals[0], asJson);
    case 'check':
      if (positionals.length > 1) throw new Fault(commandLine.check.oneFile);
      return check({
        file: positionals[0],
        passphraseFile: text('passphrase-file'),
        json: asJson,
      });
    case 'models':
      return models(positionals, {
        from: text('from'),
        debian: values.debian === true,
        confirm: text('confirm'),
        json: asJson,
      });
    case 'demo':
      return demo({ name: positionals[0], list: values.list === true, voice: text('voice') });
  }
}

function parsed(verb: Verb, args: readonly string[]) {
  try {
    return parseArgs({
      args: [...args],
      options: verbs[verb],
      allowPositionals: true,
      strict: true,
    }) as {
      readonly values: Readonly<Record<string, string | boolean | undefined>>;
      readonly positionals: readonly string[];
    };
  } catch (cause) {
    const why = cause instanceof Error ? cause.message.replace(/\. To specify.*/s, '') : '';
    throw new Fault(commandLine.badOptions(verb, why));
  }
}
