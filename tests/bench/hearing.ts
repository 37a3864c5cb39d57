import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import {
  expectedRecord,
  type Placed,
  type Script,
  scripts,
} from '../../demo-audio-scripts/index.ts';
import type { Ears } from '../../src/app/calibration/index.ts';
import { english } from '../../src/app/language.ts';
import type { LoadedModel } from '../../src/app/models/recogniser.ts';
import type { Utterance } from '../../src/app/session.ts';
import { pieces } from '../../src/cli/demo.ts';
import { hearExam, loadedModel } from '../../src/cli/hearing.ts';
import { standingFindings } from '../../src/exam/index.ts';
import { type Evidence, interpret } from '../../src/interpret/index.ts';
import { soundRate } from '../../src/ports.ts';
import { fliteVoices } from '../../src/voice/index.ts';
import { type Condition, conditionsOf } from './condition.ts';
import { curves } from './curve.ts';
import { fittedTo } from './fit.ts';
import { option } from './option.ts';
import { phraseScripts } from './phrases.ts';
import { besidePocketsphinx, type Heard } from './pocketsphinx.ts';
import { recording } from './recording.ts';
import { kept, type Reader, reader } from './rendered.ts';
import { splicedReplies } from './replies.ts';
import { key, same, Tally } from './tally.ts';

/** One utterance as it was measured: what should have come of it, what did, and its scores. */
export interface Trial extends Evidence {
  /** The condition, or of which people it is. */
  readonly where: string;
  readonly kind: 'right' | 'wrong' | 'talk';
  readonly outcome: Utterance['outcome'];
  readonly heard: string;
  readonly confidence: number;
}

/** A trial as a line of JSON, which has no infinity of its own. */
const line = (trial: Trial): string =>
  JSON.stringify(trial, (_, value) =>
    typeof value === 'number' ? Math.max(-1e9, Math.min(1e9, value)) : value,
  );

/** What was seen in a run, beside its numbers. */
interface Notes {
  readonly heard: Heard[];
  readonly trials: Trial[];
  readonly errors: string[];
}

/**
 * Demo exams in every voice and condition, through the whole pipeline from sound; with
 * `--corpus DIR`, real people too: its `words/` spliced into replies to a prompt, its
 * `conversation/`, in which nothing is a finding, and its `noise/` as conditions.
 *
 * `--model ID`, `--ears both|exam|mixture`, `--voices a,b` (of the embedded ones, or folders with a WAV file for each sentence, named by its
 * words), `--exams a,b`, `--conditions a,b` or `all`, `--replies N`; `--phrases`
 * takes other phrases in place of the demo exams, for calibration;
 * `--fit EXAM` lets the ears learn each voice from the first findings of that exam in the same condition, before the others are measured;
 * `--alone` leaves PocketSphinx out;
 * `--errors` lists what was not heard right, `--curve` tells what a bar elsewhere would record, `--scores` prints every measurement as a line of JSON.
 */
export async function bench(args: readonly string[]): Promise<string> {
  const voices = option(args, '--voices')?.split(',').map(reader) ?? fliteVoices;
  const names = option(args, '--exams')?.split(',');
  const wanted = option(args, '--conditions') ?? 'clean';
  const corpus = option(args, '--corpus');
  const conditions = conditionsOf(corpus);
  const rooms = wanted === 'all' ? Object.keys(conditions) : wanted.split(',');
  const ears = option(args, '--ears') as Ears | undefined;
  const hearer = await loadedModel(option(args, '--model'), ears);
  const notes: Notes = { heard: [], trials: [], errors: [] };
  const set = args.includes('--phrases') ? phraseScripts() : scripts();
  const lesson = scripts().find(({ name }) => name === option(args, '--fit'));
  const rows = [...Tally.header('condition', 'voice')];
  try {
    for (const room of rooms) {
      const condition = conditions[room];
      if (condition === undefined) {
        throw new RangeError(`no condition ${room}; use ${Object.keys(conditions).join(', ')}`);
      }
      const all = new Tally();
      for (const voice of voices) {
        const tally = new Tally();
        const learnt =
          lesson === undefined ? undefined : await fittedTo(hearer, lesson, voice, condition);
        for (const [turn, script] of set.entries()) {
          if (script.name === lesson?.name) continue;
          if (names !== undefined && !names.includes(script.name)) continue;
          await exam(
            learnt?.hearer ?? hearer,
            { script, turn, voice, room, condition },
            tally,
            notes,
          );
        }
        if (lesson !== undefined && learnt?.fit === undefined) rows.push(`${voice} learnt nothing`);
        rows.push(tally.row(room, voice));
        all.add(tally);
      }
      rows.push(all.row(room, 'all'));
      if (!args.includes('--alone')) rows.push(...(await besidePocketsphinx(notes.heard, all)));
      notes.heard.length = 0;
    }
    if (corpus !== undefined) {
      rows.push(await replies(hearer, corpus, Number(option(args, '--replies') ?? 200), notes));
      rows.push(await conversation(hearer, corpus, notes));
    }
  } finally {
    await hearer.recogniser.close();
  }
  if (args.includes('--errors')) rows.push('', ...notes.errors);
  if (args.includes('--curve')) rows.push(...curves(notes.trials));
  if (args.includes('--scores')) rows.push(...notes.trials.map(line));
  return rows.join('\n');
}

async function exam(
  hearer: LoadedModel,
  what: {
    readonly script: Script;
    readonly turn: number;
    readonly voice: Reader;
    readonly room: string;
    readonly condition: Condition;
  },
  tally: Tally,
  { heard, trials, errors }: Notes,
): Promise<void> {
  const { script, turn, voice, room, condition } = what;
  const { sound, placed } = await kept(script, voice);
  const changed = await condition(sound, turn);
  const measured: Evidence[] = [];
  const { session, audioMs, decodeMs } = await hearExam(pieces(changed), {
    ...hearer,
    measured: (evidence) => measured.push(evidence),
  });
  tally.audioMs += audioMs;
  tally.decodeMs += decodeMs;
  const label = `${room} ${voice} ${script.name}`;
  const groups = together(placed, session.utterances);
  for (const { lines, near } of groups) {
    const findings = lines.flatMap(({ said }) => said.findings);
    const words = lines.map(({ said }) => said.words).join(', ');
    const talk = lines.every(({ said }) => said.by === 'patient-talk');
    const [command] = lines.map(({ said }) => said.command);
    const recorded = near.filter((u) => u.outcome === 'recorded').flatMap((u) => u.findings);
    const asked = near.filter((u) => u.outcome === 'ask');
    if (talk) {
      tally.talkRecorded += recorded.length;
      tally.talkAsked += asked.length;
    } else {
      tally.said(
        findings,
        recorded,
        asked.flatMap((u) => u.findings),
      );
    }
    const [first] = near;
    if (lines.some(({ said }) => said.by === 'examiner') && first !== undefined) {
      const until = Math.max(...near.map((u) => u.endMs));
      heard.push({
        said: words,
        heard: near.flatMap((u) => (u.heard === '' ? [] : u.heard.split(' '))),
        sound: changed.slice((first.startMs * soundRate) / 1000, (until * soundRate) / 1000),
      });
    }
    for (const u of near) {
      const evidence = measured[session.utterances.indexOf(u)];
      if (evidence === undefined) continue;
      // What was passed over may have been heard right, too.
      const meaning = interpret(english(), u.heard === '' ? [] : u.heard.split(' '));
      const right =
        command !== undefined
          ? meaning.is === 'command' && meaning.command === command
          : same(u.findings, findings) ||
            (meaning.is === 'findings' && same(meaning.findings, findings));
      const kind = talk ? 'talk' : right ? 'right' : 'wrong';
      trials.push(trial(room, u, evidence, kind));
      const passed = kind === 'talk' ? u.outcome === 'ignored' : u.outcome !== 'ask';
      if (kind === 'wrong' || !passed) errors.push(`${label}: "${words}" ${told(u, evidence)}`);
    }
    if (near.length === 0 && !talk) errors.push(`${label}: "${words}" not heard at all`);
  }
  const taken = new Set(groups.flatMap(({ near }) => near));
  // What somebody else said: nobody placed it there.
  for (const u of session.utterances.filter((one) => !taken.has(one))) {
    if (u.outcome === 'recorded') tally.talkRecorded += u.findings.length;
    if (u.outcome === 'ask') tally.talkAsked += 1;
    if (u.outcome === 'recorded' || u.outcome === 'ask') {
      errors.push(`${label}: nobody here heard as "${u.heard}" (${u.outcome})`);
    }
  }
  const final = new Set(standingFindings(session.state.record).map(key));
  const lost = expectedRecord(script).filter((finding) => !final.has(key(finding)));
  if (lost.length > 0) errors.push(`${label}: not in the record: ${lost.map(key).join('; ')}`);
}

/** Lines with the utterances that came of them; lines that became one utterance stand together. */
function together(placed: readonly Placed[], utterances: readonly Utterance[]) {
  const groups: { readonly lines: readonly Placed[]; readonly near: readonly Utterance[] }[] = [];
  for (const line of placed) {
    const near = utterances.filter((u) => u.endMs > line.startMs && u.startMs < line.endMs);
    const before = groups.at(-1);
    if (before === undefined || !near.some((u) => before.near.includes(u))) {
      groups.push({ lines: [line], near });
    } else {
      const lines = [...before.lines, line];
      groups[groups.length - 1] = { lines, near: [...new Set([...before.near, ...near])] };
    }
  }
  return groups;
}

const trial = (where: string, u: Utterance, evidence: Evidence, kind: Trial['kind']): Trial => {
  const { outcome, heard, confidence } = u;
  return { ...evidence, where, kind, outcome, heard, confidence };
};

const told = (u: Utterance, { advantage, margin }: Evidence): string =>
  `heard as "${u.heard}" (${u.outcome}, sure ${u.confidence.toFixed(2)}, advantage ${advantage.toFixed(2)}, margin ${margin?.toFixed(0) ?? '–'})`;

/** Single words of real people put together to replies, each to a prompt for the patellar reflex. */
async function replies(
  hearer: LoadedModel,
  corpus: string,
  count: number,
  { trials, errors }: Notes,
): Promise<string> {
  const tally = new Tally();
  for (const { words, findings, sound } of await splicedReplies(join(corpus, 'words'), count)) {
    const measured: Evidence[] = [];
    const { session, audioMs, decodeMs } = await hearExam(pieces(sound), {
      ...hearer,
      expected: { kind: 'reflex', site: 'patellar' },
      measured: (evidence) => measured.push(evidence),
    });
    tally.audioMs += audioMs;
    tally.decodeMs += decodeMs;
    const heard = session.utterances;
    const of = (outcome: Utterance['outcome']): Utterance['findings'] =>
      heard.filter((u) => u.outcome === outcome).flatMap((u) => u.findings);
    tally.said(findings, of('recorded'), of('ask'));
    for (const [i, u] of heard.entries()) {
      const evidence = measured[i];
      if (evidence === undefined) continue;
      const kind = same(u.findings, findings) ? 'right' : 'wrong';
      trials.push(trial('replies', u, evidence, kind));
      if (kind === 'wrong') errors.push(`reply: "${words}" ${told(u, evidence)}`);
    }
  }
  return tally.row('real words spliced', 'people');
}

/** Real people reading aloud: whatever is recorded of it is a false record. */
async function conversation(
  hearer: LoadedModel,
  corpus: string,
  { trials, errors }: Notes,
): Promise<string> {
  const folder = join(corpus, 'conversation');
  const tally = new Tally();
  for (const file of (await readdir(folder)).filter((name) => name.endsWith('.wav'))) {
    const measured: Evidence[] = [];
    const { session, audioMs, decodeMs } = await hearExam(
      pieces(await recording(join(folder, file))),
      {
        ...hearer,
        measured: (evidence) => measured.push(evidence),
      },
    );
    tally.audioMs += audioMs;
    tally.decodeMs += decodeMs;
    for (const [i, u] of session.utterances.entries()) {
      const evidence = measured[i];
      if (evidence === undefined) continue;
      trials.push(trial('conversation', u, evidence, 'talk'));
      if (u.outcome === 'recorded') tally.talkRecorded += 1;
      if (u.outcome === 'ask') tally.talkAsked += 1;
      if (u.outcome !== 'ignored') errors.push(`conversation ${file}: ${told(u, evidence)}`);
    }
  }
  return tally.row(`conversation, ${(tally.audioMs / 60_000).toFixed(1)} min`, 'people');
}
