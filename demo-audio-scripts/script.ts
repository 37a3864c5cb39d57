import {
  type Checked,
  checkFinding,
  type Finding,
  itemKey,
  modalities,
  reflexQualifiers,
} from '../src/exam/index.ts';

/** Where the lesion of an invented exam is (contract ids), and on which side. */
export interface ExpectedSite {
  readonly site: string;
  readonly side: 'left' | 'right' | 'both' | 'none';
}

/** One line of an exam, in the order it happens. */
export type Line =
  | { readonly is: 'pause'; readonly ms: number }
  /** Something said: by the examiner for the record, to the patient, or as a command. */
  | {
      readonly is: 'said';
      readonly by: 'examiner' | 'patient-talk' | 'command';
      readonly words: string;
      /** What must come of it; empty for talk to the patient. */
      readonly findings: readonly Finding[];
      /** The command that it must be understood as, for `command`. */
      readonly command: string | undefined;
      /** Line number in the script, from 1. */
      readonly line: number;
    };
export type Said = Extract<Line, { is: 'said' }>;

/** An invented exam: what is said, what must be understood, and where the lesion is. */
export interface Script {
  /** File name without its ending. */
  readonly name: string;
  readonly title: string;
  readonly note: string;
  readonly lines: readonly Line[];
  readonly sites: readonly ExpectedSite[];
}

/** A script that cannot be read: one line that says where and why. */
export class ScriptFault extends Error {
  constructor(name: string, line: number, why: string) {
    super(`${name}.txt:${line}: ${why}`);
    this.name = 'ScriptFault';
  }
}

const forms = 'title, note, examiner, patient-talk, command, pause, expect site';

/**
 * Reads an exam (the form is in README.md).
 * @throws ScriptFault naming the line
 */
export function parseScript(name: string, text: string): Script {
  const lines: Line[] = [];
  const sites: ExpectedSite[] = [];
  let title = '';
  let note = '';
  for (const [i, full] of text.split(/\r?\n/).entries()) {
    const number = i + 1;
    const fault = (why: string) => new ScriptFault(name, number, why);
    const line = full.trim();
    if (line === '' || line.startsWith('#')) continue;
    if (line.startsWith('==>')) {
      const last = lines.at(-1);
      if (last?.is !== 'said' || last.by === 'patient-talk') {
        throw fault('"==>" must follow what the examiner said or a command');
      }
      lines[lines.length - 1] = { ...last, ...expectation(line.slice(3), last.by, fault) };
      continue;
    }
    const paused = /^pause\s+(\d+(?:\.\d+)?)\s*s$/.exec(line);
    if (paused !== null) {
      lines.push({ is: 'pause', ms: Math.round(Number(paused[1]) * 1000) });
      continue;
    }
    const [, key = '', value = ''] = /^([a-z][a-z -]*?)\s*:\s*(.*)$/.exec(line) ?? [];
    if (key !== '' && value === '') throw fault(`"${key}" has nothing after it`);
    switch (key) {
      case 'title':
        title = value;
        break;
      case 'note':
        note = note === '' ? value : `${note} ${value}`;
        break;
      case 'examiner':
      case 'patient-talk':
      case 'command':
        lines.push({
          is: 'said',
          by: key,
          words: value,
          findings: [],
          command: undefined,
          line: number,
        });
        break;
      case 'expect site':
        sites.push(...value.split(';').map((one) => siteOf(one, fault)));
        break;
      default:
        throw fault(`"${line}" is none of ${forms}, or "  ==>" with what to expect`);
    }
  }
  const whole = (why: string) => new ScriptFault(name, 1, why);
  if (title === '') throw whole('there is no "title:"');
  if (sites.length === 0) throw whole('there is no "expect site:"');
  for (const line of lines) {
    if (line.is !== 'said') continue;
    const fault = (why: string) => new ScriptFault(name, line.line, why);
    if (line.by === 'examiner' && line.findings.length === 0) {
      throw fault('no findings are expected; add "  ==> …"');
    }
    if (line.by === 'command' && line.command === undefined) {
      throw fault('no command is expected; add "  ==> ! …"');
    }
  }
  return { name, title, note, lines, sites };
}

/** Commands that take back what was said last. */
const takesBack = new Set(['disregard', 'undo']);

/**
 * What must be in the record at the end: a corrected finding in place of the first, and nothing that
 * was taken back.
 */
export function expectedRecord(script: Script): readonly Finding[] {
  const before: ReadonlyMap<string, Finding>[] = [];
  let standing: ReadonlyMap<string, Finding> = new Map();
  for (const line of script.lines) {
    if (line.is !== 'said') continue;
    if (line.command !== undefined && takesBack.has(line.command)) {
      standing = before.pop() ?? standing;
    } else if (line.findings.length > 0) {
      before.push(standing);
      standing = new Map([...standing, ...line.findings.map((f) => [itemKey(f), f] as const)]);
    }
  }
  return [...standing.values()];
}

type Faults = (why: string) => ScriptFault;

function expectation(
  text: string,
  by: Said['by'],
  fault: Faults,
): Pick<Said, 'findings' | 'command'> {
  const command = /^\s*!\s*([a-z-]+)\s*$/.exec(text)?.[1];
  if ((command !== undefined) !== (by === 'command')) {
    throw fault(
      by === 'command' ? 'a command is written "==> ! id"' : 'findings are expected here',
    );
  }
  return command === undefined
    ? { findings: findingsOf(text, fault), command: undefined }
    : { findings: [], command };
}

const findingsOf = (text: string, fault: Faults): readonly Finding[] =>
  text.split(';').map((one) => {
    const checked = parseFinding(one);
    if (!checked.ok) throw fault(`"${one.trim()}": ${checked.fault.path} ${checked.fault.message}`);
    return checked.value;
  });

/**
 * A finding from its short form: `kind site side value[/modality] [+qualifier …] [xBEATS]`, as in
 * `sensation L5 left reduced/pinprick` or `clonus ankle left unsustained x6`.
 */
export function parseFinding(text: string): Checked<Finding> {
  const [kind, site, side, given = '', ...rest] = text.trim().split(/\s+/);
  const [value, modality] = given.split('/');
  const qualifiers = rest.filter((word) => word.startsWith('+')).map((word) => word.slice(1));
  const beats = rest.find((word) => /^x\d+$/.test(word));
  const known = (word: string) =>
    (word.startsWith('+') && (reflexQualifiers as readonly string[]).includes(word.slice(1))) ||
    word === beats;
  const strange = rest.find((word) => !known(word));
  if (strange !== undefined) {
    return { ok: false, fault: { path: 'finding', message: `cannot end in "${strange}"` } };
  }
  if (modality !== undefined && !(modalities as readonly string[]).includes(modality)) {
    return { ok: false, fault: { path: 'modality', message: `"${modality}" is not one` } };
  }
  return checkFinding({
    kind,
    site,
    side,
    value: kind === 'context' && site === 'age' ? Number(value) : value,
    ...(modality === undefined ? {} : { modality }),
    ...(qualifiers.length === 0 ? {} : { qualifiers }),
    ...(beats === undefined ? {} : { beats: Number(beats.slice(1)) }),
  });
}

function siteOf(text: string, fault: Faults): ExpectedSite {
  const [site = '', side = '', ...more] = text.trim().split(/\s+/);
  if (more.length > 0 || !isSide(side)) {
    throw fault('a site is written "root:C7 left", with left, right, both or none');
  }
  return { site, side };
}

const isSide = (word: string): word is ExpectedSite['side'] =>
  ['left', 'right', 'both', 'none'].includes(word);
