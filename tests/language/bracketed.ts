/**
 * A made-up second language: the texts of a catalogue, each between brackets, as a translator's would
 * stand in its place. What is between them came from the catalogue; what is not stood elsewhere.
 */
export function bracketed<T>(one: T, key = ''): T {
  if (typeof one === 'string') {
    const ofNoLanguage = one === '' || key === 'locale' || key === 'language';
    return (ofNoLanguage ? one : `⟦${one}⟧`) as T;
  }
  if (typeof one === 'function') {
    return ((...given: readonly unknown[]) => bracketed(one(...given))) as T;
  }
  if (Array.isArray(one)) return one.map((each) => bracketed(each)) as T;
  if (typeof one !== 'object' || one === null) return one;
  return Object.fromEntries(Object.entries(one).map(([k, v]) => [k, bracketed(v, k)])) as T;
}

/** What of a text stands outside of every bracket. */
export function outside(text: string): string {
  let depth = 0;
  let left = '';
  for (const sign of text) {
    if (sign === '⟦') depth += 1;
    else if (sign === '⟧') depth -= 1;
    else if (depth === 0) left += sign;
  }
  if (depth !== 0) throw new RangeError(`brackets that do not match: ${text}`);
  return left;
}

/** Runs of two letters or more outside of every bracket: words of no catalogue. */
export const strangers = (text: string): readonly string[] =>
  outside(text).match(/\p{L}{2,}/gu) ?? [];

/** The text as it was before it was put between brackets, but for its capitals. */
export const plainAgain = (text: string): string => text.replaceAll(/[⟦⟧]/g, '').toLowerCase();

/** A catalogue that remembers which of its texts were asked for. */
export interface Watched<T> {
  readonly catalogue: T;
  /** Paths of texts that nobody asked for. */
  unread(): readonly string[];
}

export function watched<T>(one: T): Watched<T> {
  const all = new Set<string>();
  const read = new Set<string>();
  const watch = (value: unknown, path: string): unknown => {
    if (typeof value === 'object' && value !== null) {
      const copy = {};
      for (const [key, inner] of Object.entries(value)) {
        const at = path === '' ? key : `${path}.${key}`;
        const seen = watch(inner, at);
        const get = (): unknown => {
          if (typeof inner === 'string') read.add(at);
          return seen;
        };
        Object.defineProperty(copy, key, { enumerable: true, get });
      }
      return copy;
    }
    all.add(path);
    if (typeof value !== 'function') return value;
    return (...given: readonly unknown[]) => {
      read.add(path);
      return value(...given);
    };
  };
  return {
    catalogue: watch(one, '') as T,
    unread: () => [...all].filter((path) => !read.has(path)),
  };
}
