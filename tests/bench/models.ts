import { scripts } from '../../demo-audio-scripts/index.ts';
import { calibrationOf } from '../../src/app/calibration/index.ts';
import { embedded, modelOf } from '../../src/app/models/manifest.ts';
import type { LoadedModel } from '../../src/app/models/recogniser.ts';
import { understand } from '../../src/app/understanding.ts';
import { pieces } from '../../src/cli/demo.ts';
import { loadedModel } from '../../src/cli/hearing.ts';
import { spokenLanguage } from '../../src/cli/language.ts';
import { folderShelf, modelsFolder } from '../../src/cli/modelFiles.ts';
import { interpret } from '../../src/interpret/index.ts';
import { soundRate } from '../../src/ports.ts';
import { fliteVoices } from '../../src/voice/index.ts';
import { enginesInChromium } from '../engines/chromium.ts';
import { conditionsOf } from './condition.ts';
import { option } from './option.ts';
import { kept, reader } from './rendered.ts';
import { same, Tally } from './tally.ts';

const rule = 'exam.open';
const roundMs = 250;

/**
 * Models side by side on the same utterances, cut where they are known to be spoken: what a model
 * hears, apart from where an endpointer finds speech in noise.
 *
 * `--models a,b` (installed ones; those of free words run in Chromium), `--conditions a,b`, `--voices a,b`, `--exams a,b`, `--every N` takes
 * each Nth utterance, `--scores` prints each measurement as a line of JSON.
 */
export async function bench(args: readonly string[]): Promise<string> {
  const ids = (option(args, '--models') ?? embedded.id).split(',');
  const conditions = conditionsOf(option(args, '--corpus'));
  const rooms = (option(args, '--conditions') ?? 'clean,babble-20,babble-10').split(',');
  const voices = option(args, '--voices')?.split(',').map(reader) ?? fliteVoices;
  const names = option(args, '--exams')?.split(',');
  const every = Number(option(args, '--every') ?? 1);
  const rows = [...Tally.header('condition', 'model')];
  const scores: string[] = [];
  const language = spokenLanguage();
  const network = language.network(rule);
  for (const room of rooms) {
    for (const id of ids) {
      const { recogniser, calibration, close } = await loaded(id);
      await recogniser.listenFor(network);
      const tally = new Tally();
      for (const [turn, script] of scripts().entries()) {
        if (names !== undefined && !names.includes(script.name)) continue;
        for (const voice of voices) {
          const { sound, placed } = await kept(script, voice);
          const changed = await conditions[room]?.(sound, turn);
          if (changed === undefined) throw new RangeError(`there is no condition "${room}"`);
          await recogniser.forget();
          for (const { said, startMs, endMs } of placed.filter((_, i) => i % every === 0)) {
            const cut = changed.subarray(at(startMs - roundMs), at(endMs + roundMs));
            const from = performance.now();
            await recogniser.start();
            for (const piece of pieces(cut)) await recogniser.feed(piece);
            const weighed = await understand(recogniser, { language, calibration }, rule);
            const { words, evidence, certainty } = weighed;
            tally.decodeMs += performance.now() - from;
            tally.audioMs += (1000 * cut.length) / soundRate;
            const meaning = interpret(language, words);
            const found = meaning.is === 'findings' ? meaning.findings : [];
            const recorded = certainty === 'sure' ? found : [];
            const asked = certainty === 'unsure' ? found : [];
            if (said.by === 'patient-talk') {
              tally.talkRecorded += recorded.length;
              tally.talkAsked += asked.length;
            } else {
              tally.said(said.findings, recorded, asked);
            }
            const right = said.findings.length > 0 && same(found, said.findings);
            const kind = said.by === 'patient-talk' ? 'talk' : right ? 'right' : 'wrong';
            scores.push(
              JSON.stringify({
                id,
                room,
                voice,
                kind,
                ...evidence,
                said: said.words,
                words: words.join(' '),
              }),
            );
          }
        }
      }
      await close();
      rows.push(tally.row(room, id));
      // A long run shows how far it is.
      console.error(rows.at(-1));
    }
  }
  return [...rows, ...(args.includes('--scores') ? scores : [])].join('\n');
}

interface Loaded extends LoadedModel {
  close(): Promise<void>;
}

/** An installed model in its engine; engines of free words run in Chromium. */
async function loaded(id: string): Promise<Loaded> {
  const { engine, files } = modelOf(id);
  if (engine === 'soundswallower') {
    const hearer = await loadedModel(id);
    return { ...hearer, close: () => hearer.recogniser.close() };
  }
  if (engine !== 'vosk' && engine !== 'whisper') throw new RangeError(`no engine ${engine} here`);
  const shelf = folderShelf(modelsFolder());
  const bytes = await Promise.all(
    files.map(async ({ path }) => [path, await shelf.file(id, path)] as const),
  );
  const chromium = await enginesInChromium();
  const recogniser = await chromium.load(engine, bytes);
  return { recogniser, calibration: calibrationOf(id), close: () => chromium.close() };
}

const at = (ms: number): number => Math.max(0, Math.round((ms * soundRate) / 1000));
