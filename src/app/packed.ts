import type { WordNetwork } from '../grammar/index.ts';

/**
 * Networks as bytes, so that a program can bring them ready made: a line of JSON with the words and
 * the sizes, then four numbers of 16 bits for each arc: from, to, word, weight in thousandths.
 *
 * @throws RangeError when a network has more states or words than 16 bits can count
 */
export function pack(networks: ReadonlyMap<string, WordNetwork>): Uint8Array {
  const words: string[] = [''];
  const ids = new Map([['', 0]]);
  const numbers: number[] = [];
  const heads: Head[] = [];
  for (const [name, { states, start, finals, arcs }] of networks) {
    heads.push({ name, states, start, finals, arcs: arcs.length });
    for (const { from, to, word, weight } of arcs) {
      const id = ids.get(word) ?? words.push(word) - 1;
      ids.set(word, id);
      numbers.push(from, to, id, weight === undefined ? unknown : Math.round(weight * -1000));
    }
  }
  if (numbers.some((number) => number < 0 || number > unknown)) {
    throw new RangeError('a network too large to be packed');
  }
  const head = new TextEncoder().encode(`${JSON.stringify({ words, heads })}\n`);
  const bytes = new Uint8Array(head.length + numbers.length * 2);
  bytes.set(head);
  const view = new DataView(bytes.buffer);
  for (const [i, number] of numbers.entries()) view.setUint16(head.length + 2 * i, number, true);
  return bytes;
}

/** @throws RangeError when the bytes are no packed networks */
export function unpack(bytes: Uint8Array): ReadonlyMap<string, WordNetwork> {
  const end = bytes.indexOf(10);
  const { words, heads } = headOf(new TextDecoder().decode(bytes.subarray(0, Math.max(0, end))));
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const total = heads.reduce((sum, { arcs }) => sum + arcs, 0);
  if (bytes.length !== end + 1 + total * 8) throw notPacked();
  let at = end + 1;
  const take = (): number => {
    at += 2;
    return view.getUint16(at - 2, true);
  };
  return new Map(
    heads.map(({ name, states, start, finals, arcs }) => [
      name,
      {
        states,
        start,
        finals,
        arcs: Array.from({ length: arcs }, () => {
          const from = take();
          const to = take();
          const word = words[take()] ?? '';
          const weight = take();
          return weight === unknown
            ? { from, to, word }
            : { from, to, word, weight: -weight / 1000 };
        }),
      },
    ]),
  );
}

interface Head extends Omit<WordNetwork, 'arcs'> {
  readonly name: string;
  readonly arcs: number;
}

/** A weight that nobody knows. */
const unknown = 0xffff;

const notPacked = (): RangeError =>
  new RangeError('these are no packed networks; build the program again');

function headOf(text: string): {
  readonly words: readonly string[];
  readonly heads: readonly Head[];
} {
  try {
    return JSON.parse(text);
  } catch {
    throw notPacked();
  }
}
