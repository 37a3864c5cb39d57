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
import { commandLine } from './messages.ts';
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
    throw new Fault(text.noFile);
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
          tell(commandLine.fault(cause.message));
          if (options.json) answerJson({ file, error: cause.message });
        }
      }
    }
  } finally {
    await hearer.recogniser.close();
  }
  if (faults.length === 0) return;
  throw new Fault(
    files.length === 1 ? (faults[0] ?? '') : text.someNotHeard(faults.length, files.length),
  );
}

async function listed(list: string | undefined): Promise<readonly string[]> {
  if (list === undefined) return [];
  const content = await readFile(list, 'utf8').catch((cause: NodeJS.ErrnoException) => {
    throw new Fault(text.badList(list, `${cause.code}`));
  });
  return content
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter((line) => line !== '');
}

/** @throws Fault when there is no such file or it is empty */
async function readable(file: string): Promise<void> {
  const found = await stat(file).catch((cause: NodeJS.ErrnoException) => {
    const absent = cause.code === 'ENOENT';
    throw new Fault(absent ? text.absent(file) : text.unreadable(file, `${cause.code}`));
  });
  if (!found.isFile()) throw new Fault(text.noRegularFile(file));
  if (found.size === 0) throw new Fault(text.empty(file));
}

const { listen: text } = commandLine;

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
    if (cause instanceof PortError) throw new Fault(commandLine.of(file, cause.message));
    throw cause;
  }
  if (exam.peak < silentPeak) {
    throw new Fault(text.silent(file));
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
  answer(text.recorded(basename(file), findings.length));
  if (localization !== undefined) answer(localizationText(localization));
  else answer(text.notComplete);
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
    throw new Fault(text.notWritten(folder, why));
  }
}
