import { createReadStream } from 'node:fs';
import { mkdir, readFile, stat, writeFile } from 'node:fs/promises';
import { basename, join, parse } from 'node:path';
import type { LoadedModel } from '../app/models/recogniser.ts';
import type { Utterance } from '../app/session.ts';
import { readWav } from '../audio/wav.ts';
import { standingFindings } from '../exam/index.ts';
import type { Expectation } from '../interpret/index.ts';
import { contractJson, pathwayOf } from '../localize/index.ts';
import { PortError } from '../ports.ts';
import { drawBody } from '../report/body.ts';
import { type Drawings, papersOf, type Report } from '../report/index.ts';
import { drawPathway } from '../report/pathway.ts';
import { Fault } from './fault.ts';
import { type HeardExam, hearExam, loadedModel } from './hearing.ts';
import { localized, messages } from './language.ts';
import { localizationText } from './localization.ts';
import { answer, answerJson, tell, utteranceText } from './output.ts';

export interface ListenOptions {
  readonly files: readonly string[];
  readonly list: string | undefined;
  readonly expected: Expectation | undefined;
  readonly model: string | undefined;
  readonly out: string | undefined;
  readonly json: boolean;
}

/**
 * `listen`: the whole job over recordings, each a separate exam heard by one loaded engine. A file
 * that cannot be heard is told of and the others are heard all the same.
 *
 * @throws Fault when nothing can be heard at all, or, at the end, when some files could not
 */
export async function listen(options: ListenOptions): Promise<void> {
  const files = [...options.files, ...(await listed(options.list))];
  if (files.length === 0) {
    throw new Fault('listen needs a recording: plessor listen exam.wav');
  }
  if (files.length === 1 && files[0] !== undefined) await readable(files[0]);
  const hearer = await loadedModel(options.model);
  const faults: string[] = [];
  try {
    for (const file of files) {
      try {
        await one(file, hearer, options);
      } catch (cause) {
        if (!(cause instanceof Fault)) throw cause;
        faults.push(cause.message);
        if (files.length > 1) {
          tell(`plessor: ${cause.message}`);
          if (options.json) answerJson({ file, error: cause.message });
        }
      }
    }
  } finally {
    await hearer.recogniser.close();
  }
  if (faults.length === 0) return;
  throw new Fault(
    files.length === 1
      ? (faults[0] ?? '')
      : `${faults.length} of ${files.length} recordings could not be heard; the reasons stand above`,
  );
}

async function listed(list: string | undefined): Promise<readonly string[]> {
  if (list === undefined) return [];
  const text = await readFile(list, 'utf8').catch((cause: NodeJS.ErrnoException) => {
    throw new Fault(`--list ${list}: cannot be read (${cause.code}); it holds one path a line`);
  });
  return text
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter((line) => line !== '');
}

/** @throws Fault when there is no such file or it is empty */
async function readable(file: string): Promise<void> {
  const found = await stat(file).catch((cause: NodeJS.ErrnoException) => {
    const why =
      cause.code === 'ENOENT' ? 'there is no such file' : `cannot be read (${cause.code})`;
    throw new Fault(`${file}: ${why}; give a WAV recording`);
  });
  if (!found.isFile()) throw new Fault(`${file}: is not a file; give a WAV recording`);
  if (found.size === 0) throw new Fault(`${file}: the file is empty; give a WAV recording`);
}

/** Peak under which a recording holds nothing that could be heard: about 60 dB below full scale. */
const silentPeak = 0.001;

async function one(file: string, hearer: LoadedModel, options: ListenOptions): Promise<void> {
  await readable(file);
  const show = (utterance: Utterance): void => tell(utteranceText(utterance, true));
  let exam: HeardExam;
  try {
    exam = await hearExam(readWav(createReadStream(file)), {
      ...hearer,
      expected: options.expected,
      heard: show,
    });
  } catch (cause) {
    if (cause instanceof PortError) throw new Fault(`${file}: ${cause.message}`);
    throw cause;
  }
  if (exam.peak < silentPeak) {
    throw new Fault(`${file}: holds only silence; check the microphone and record again`);
  }
  const { session, audioMs, decodeMs } = exam;
  const findings = standingFindings(session.state.record);
  const localization = session.localization;
  if (options.out !== undefined) {
    const sites = localization ?? localized(findings);
    const several = options.files.length + (options.list === undefined ? 0 : 2) > 1;
    const { mtime } = await stat(file);
    const { drawings } = messages.report;
    await writePapers(
      several ? join(options.out, parse(file).name) : options.out,
      {
        exam: parse(file).name,
        record: session.state.record,
        localization: sites,
        notExamined: session.notExamined(),
        // A recording is written as it is made; its file's time is when the exam was.
        startedAt: new Date(mtime.getTime() - audioMs).toISOString(),
      },
      {
        body: drawBody(findings, 'body', drawings),
        pathway: drawPathway(pathwayOf(sites, findings, messages.places), 'pathway', drawings),
      },
    );
  }
  if (options.json) {
    answerJson({
      file,
      utterances: session.utterances,
      record: { findings },
      summary: localization === undefined ? null : contractJson(localization),
      timing: { audioMs, decodeMs },
    });
    return;
  }
  answer(`${basename(file)}: ${findings.length} findings recorded`);
  if (localization !== undefined) answer(localizationText(localization));
  else answer('The exam was not called complete, so no site was computed; say "exam complete".');
}

/** Writes the note, the record and the exports. @throws Fault when the folder cannot be written */
async function writePapers(folder: string, report: Report, drawings: Drawings): Promise<void> {
  try {
    await mkdir(folder, { recursive: true });
    for (const paper of papersOf(report, drawings, messages.report)) {
      await writeFile(join(folder, paper.name), paper.text);
    }
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause);
    throw new Fault(`--out ${folder}: cannot be written (${why}); choose another folder`);
  }
}
