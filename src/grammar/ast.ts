/**
 * The parsed form of a JSGF grammar (Java Speech Grammar Format 1.0, W3C Note 5 June 2000), in the
 * subset used here: rules, sequences, alternatives with weights, groups, optionals, `*`, `+`, tags
 * and imports. Left out: quoted tokens, recursion, `<VOID>`.
 */
export type Expansion =
  | { readonly is: 'word'; readonly word: string; readonly at: number }
  | { readonly is: 'rule'; readonly name: string; readonly at: number }
  | { readonly is: 'tag'; readonly text: string; readonly at: number }
  | { readonly is: 'sequence'; readonly parts: readonly Expansion[] }
  /** `weights` says how often each option is meant, against the others; 1 where none is written. */
  | {
      readonly is: 'choice';
      readonly options: readonly Expansion[];
      readonly weights: readonly number[];
    }
  | { readonly is: 'optional'; readonly part: Expansion }
  | { readonly is: 'repeat'; readonly part: Expansion; readonly least: 0 | 1 };

export interface Rule {
  /** Full name, `grammar.rule`. */
  readonly name: string;
  readonly isPublic: boolean;
  readonly body: Expansion;
  /** Offset of the rule's name in its source, and which source. */
  readonly at: number;
  readonly source: string;
}

export interface GrammarFile {
  readonly name: string;
  readonly imports: readonly { readonly name: string; readonly at: number }[];
  readonly rules: readonly Rule[];
}

/** Rules of one or more files, every reference resolved to a full name. */
export interface Grammar {
  readonly rules: ReadonlyMap<string, Rule>;
}

/** A fault in a grammar, with its place as an editor shows it. */
export class GrammarError extends Error {
  readonly source: string;
  readonly line: number;
  readonly column: number;
  constructor(message: string, source: string, text: string, at: number) {
    const before = text.slice(0, at).split('\n');
    const line = before.length;
    const column = (before.at(-1)?.length ?? 0) + 1;
    super(`${source}:${line}:${column}: ${message}`);
    this.name = 'GrammarError';
    this.source = source;
    this.line = line;
    this.column = column;
  }
}
