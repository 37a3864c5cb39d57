/** What a line of a language's own file says, without its comment, and where it stands: `file:line`. */
export interface Line {
  readonly stripped: string;
  readonly place: string;
}

/** The lines that say something; `#` begins a comment. */
export function* linesOf(text: string, source: string): Generator<Line> {
  for (const [i, line] of text.split('\n').entries()) {
    const stripped = line.replace(/#.*/, '').trim();
    if (stripped !== '') yield { stripped, place: `${source}:${i + 1}` };
  }
}
