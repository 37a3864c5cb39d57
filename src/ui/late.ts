import { roomMessages } from './roomMessages.ts';

/** A piece of the program that a running exam does not need at once: fetched when it is first wanted. */
export interface Late<T> {
  /**
   * Fetches it, once; what did not come is tried again when it is next wanted.
   * @throws Error with one line that says what to do
   */
  get(): Promise<T>;
  /** It, where it is here already. */
  readonly here: T | undefined;
}

const pieces: Late<unknown>[] = [];

export function late<T>(fetch: () => Promise<T>): Late<T> {
  let coming: Promise<T> | undefined;
  let here: T | undefined;
  const piece: Late<T> = {
    get() {
      coming ??= fetch().then(
        (came) => {
          here = came;
          return came;
        },
        (cause: unknown) => {
          coming = undefined;
          throw new Error(roomMessages.notFetched, { cause });
        },
      );
      return coming;
    },
    get here() {
      return here;
    },
  };
  pieces.push(piece);
  return piece;
}

/**
 * Fetches every piece that nobody wanted yet, one after the other, so that it is here when it is wanted
 * and when there is no network by then. What does not come is told of only when it is wanted.
 *
 * @param idle resolves when there is nothing more urgent to do
 */
export async function fetchAhead(idle: () => Promise<void>): Promise<void> {
  for (const piece of pieces) {
    await idle();
    await piece.get().catch(() => undefined);
  }
}
