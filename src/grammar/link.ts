import { type Expansion, type Grammar, GrammarError, type Rule } from './ast.ts';
import { parse } from './parse.ts';

/** The text of one grammar file and the name it goes by in messages. */
export interface GrammarSource {
  readonly source: string;
  readonly text: string;
}

/**
 * Reads files that import from one another and resolves every rule reference to its full name.
 *
 * @throws GrammarError for an unknown rule or import, or for a rule that reaches itself (what is
 *   said is a regular language here, so recursion is a slip)
 */
export function link(sources: readonly GrammarSource[]): Grammar {
  const files = sources.map(({ source, text }) => ({ file: parse(text, source), source, text }));
  const textOf = new Map(sources.map(({ source, text }) => [source, text]));
  const fault = (message: string, source: string, at: number): never => {
    throw new GrammarError(message, source, textOf.get(source) ?? '', at);
  };
  const raw = new Map<string, Rule>();
  for (const { file } of files) for (const rule of file.rules) raw.set(rule.name, rule);

  const rules = new Map<string, Rule>();
  for (const { file, source } of files) {
    for (const { name, at } of file.imports) {
      const grammar = name.replace(/\.[^.]*$/, '');
      if (!files.some((other) => other.file.name === grammar)) {
        fault(`imports <${name}>, but there is no grammar "${grammar}"`, source, at);
      }
    }
    const resolve = (name: string, at: number): string => {
      const own = `${file.name}.${name}`;
      if (raw.has(own)) return own;
      if (raw.has(name)) {
        const imported = file.imports.some(
          (i) => i.name === name || (i.name.endsWith('.*') && name.startsWith(i.name.slice(0, -1))),
        );
        return imported ? name : fault(`<${name}> is used but not imported`, source, at);
      }
      const found = file.imports
        .map((i) => i.name.replace(/\*$/, name))
        .filter((full) => full.endsWith(`.${name}`) && raw.has(full));
      return found[0] ?? fault(`<${name}> is not defined here or in an import`, source, at);
    };
    for (const rule of file.rules) {
      rules.set(rule.name, { ...rule, body: renamed(rule.body, resolve) });
    }
  }
  const grammar = { rules };
  for (const rule of rules.values()) refuseRecursion(rule, grammar, fault);
  return grammar;
}

function renamed(e: Expansion, resolve: (name: string, at: number) => string): Expansion {
  switch (e.is) {
    case 'rule':
      return { ...e, name: resolve(e.name, e.at) };
    case 'sequence':
      return { ...e, parts: e.parts.map((part) => renamed(part, resolve)) };
    case 'choice':
      return { ...e, options: e.options.map((option) => renamed(option, resolve)) };
    case 'optional':
    case 'repeat':
      return { ...e, part: renamed(e.part, resolve) };
    case 'word':
    case 'tag':
      return e;
    default:
      return e satisfies never;
  }
}

/** Every node of an expansion, the outer before the inner, without entering referred rules. */
export function* nodes(e: Expansion): Generator<Expansion> {
  yield e;
  if (e.is === 'sequence') for (const part of e.parts) yield* nodes(part);
  else if (e.is === 'choice') for (const option of e.options) yield* nodes(option);
  else if (e.is === 'optional' || e.is === 'repeat') yield* nodes(e.part);
}

function refuseRecursion(
  start: Rule,
  grammar: Grammar,
  fault: (message: string, source: string, at: number) => never,
): void {
  const seen = new Set<string>();
  const open = [start];
  for (let rule = open.pop(); rule !== undefined; rule = open.pop()) {
    for (const node of nodes(rule.body)) {
      if (node.is !== 'rule' || seen.has(node.name)) continue;
      if (node.name === start.name) fault(`<${start.name}> reaches itself`, rule.source, node.at);
      seen.add(node.name);
      const next = grammar.rules.get(node.name);
      if (next !== undefined) open.push(next);
    }
  }
}

/**
 * A rule by its full name.
 * @throws RangeError when the grammar has no such rule
 */
export function ruleOf(grammar: Grammar, name: string): Rule {
  const rule = grammar.rules.get(name);
  if (rule === undefined) throw new RangeError(`no rule <${name}> in the grammar`);
  return rule;
}
