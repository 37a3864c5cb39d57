import { chain } from '../../grammar/network.ts';
import type { Path, Weakest } from '../../ports.ts';
import { graphOf } from './graph.ts';
import type { Lexicon } from './lexicon.ts';
import { frameMs } from './network.ts';
import { AnySpeech, Search } from './search.ts';
import { tuning } from './tuning.ts';

/**
 * The piece of a path that fits its own sound least. A sentence may lead any speech as a whole though one of its
 * words was never said, or one that was said is not in it.
 *
 * @param rows natural-log probabilities of the labels, a frame each
 * @param lexicon knows every word of the path
 */
export function weakestOf(path: Path, rows: readonly Float32Array[], lexicon: Lexicon): Weakest {
  const spans = path.words.map(({ word, startMs, endMs }) => ({
    word,
    sound: rows.slice(startMs / frameMs, endMs / frameMs),
  }));
  const edges = path.words.flatMap(({ startMs, endMs }) => [startMs / frameMs, endMs / frameMs]);
  const pauses = [0, ...edges].flatMap((from, i) =>
    i % 2 === 0 ? [rows.slice(from, edges[i] ?? rows.length)] : [],
  );
  return {
    word: Math.min(...spans.map(({ word, sound }) => wordOver(word, sound, lexicon))),
    pause: Math.min(...pauses.map((sound) => pauseOver(sound))),
  };
}

function wordOver(word: string, sound: readonly Float32Array[], lexicon: Lexicon): number {
  const search = new Search(graphOf(chain([word]), lexicon), tuning.beamAgain);
  for (const row of sound) search.push(row);
  return (search.best()?.score ?? Number.NEGATIVE_INFINITY) - anySpeech(sound);
}

const pauseOver = (sound: readonly Float32Array[]): number =>
  sound.reduce((sum, row) => sum + (row[0] ?? 0), 0) - anySpeech(sound);

function anySpeech(sound: readonly Float32Array[]): number {
  const any = new AnySpeech(tuning.price);
  for (const row of sound) any.push(row);
  return any.score;
}
