import { computed, signal } from '@preact/signals';
import {
  checkFinding,
  type ExamEvent,
  type Finding,
  type LanguageId,
  standingFindings,
} from '../exam/index.ts';
import { match, tagsOf } from '../grammar/index.ts';
import { interpret, type Language } from '../interpret/index.ts';
import { PortError } from '../ports.ts';
import {
  type Difference,
  findingLine,
  hypothesisName,
  type Opinion,
  type Review,
  type Verdict,
} from '../report/index.ts';
import type { SealedVault } from '../store/index.ts';
import {
  type Messages,
  type OpenReview,
  type Reviewing,
  recordsMessages as text,
} from '../ui/index.ts';
import type { Localizer } from './localizer.ts';
import type { Identities } from './recordsIdentity.ts';
import { packs } from './recordsLate.ts';
import type { OpenedPack } from './recordsPack.ts';
import type { HeardWords } from './session.ts';

export interface ReviewParts {
  readonly language: Language;
  readonly messages: Pick<Messages, 'language' | 'names' | 'report'>;
  /** One of its own: it answers the latest request only. */
  readonly localizer: Localizer;
  /** Plays a WAV file, base64, until its end. */
  readonly play: (wav: string) => Promise<void>;
  readonly say: (text: string) => void;
  readonly now: () => number;
  readonly save: (name: string, content: Uint8Array<ArrayBuffer>) => void;
  readonly vault: SealedVault;
  readonly identities: Identities;
  readonly doing: (act: () => Promise<string | undefined>) => Promise<void>;
  /** The events of an exam as they are kept here, where they are. */
  readonly ownEvents: (exam: string) => Promise<readonly ExamEvent[] | undefined>;
  readonly opened: () => void;
  readonly closed: () => void;
}

/** A pack as it was opened, against the exam as it is kept here, and what tells its differences. */
interface Opened extends OpenedPack {
  readonly against: string;
  readonly differences: (review: Review, language: LanguageId) => readonly Difference[];
}

/** Largest pack that is read, in bytes: an hour of sound and more. */
const largest = 300_000_000;
const shownSites = 5;

export interface ReviewRoom {
  readonly reviewing: Reviewing;
  openPack(file: Blob, passphrase: string): Promise<string | undefined>;
  close(): void;
  /** Takes an utterance while a review is open; says whether it did. */
  said(heard: Pick<HeardWords, 'words' | 'certainty'>): boolean;
}

/** A supervisor goes through a pack finding by finding; a trainee reads what came back. */
export function createReview(parts: ReviewParts): ReviewRoom {
  const { language, say } = parts;
  const line = (finding: Finding): string => findingLine(finding, parts.messages.report);
  const opened = signal<Opened | undefined>(undefined);
  const added = signal<readonly Verdict[]>([]);
  const computedSites = signal<OpenReview['computed']>([]);
  const at = signal(0);
  const playing = signal(false);
  const reviewer = signal('');
  const own = signal('');

  const open = computed((): OpenReview | undefined => {
    const now = opened.value;
    if (now === undefined) return undefined;
    const { review, faults, signatures, against } = now;
    const { kept, clips, opinions } = review;
    const all = { ...review, verdicts: [...review.verdicts, ...added.value] };
    const clipEntries = clips.flatMap((clip) => clip.entries.map((id) => [id, clip] as const));
    return {
      label: kept.patientLabel ?? '',
      examiner: kept.examiner ?? '',
      startedAt: kept.startedAt ?? '',
      items: now.differences(all, parts.messages.language),
      sounds: new Set(clipEntries.map(([id]) => id)),
      words: new Map([
        ...kept.record.entries.map(
          ({ id, hearing }) => [id, { said: hearing.words, readBack: '' }] as const,
        ),
        ...clipEntries.map(([id, { words, readBack }]) => [id, { said: words, readBack }] as const),
      ]),
      opinions,
      computed: computedSites.value,
      signatures,
      faults,
      against,
      changed: added.value.length > 0 || own.value.trim() !== '',
    };
  });
  const current = (): Difference | undefined => open.peek()?.items[at.peek()];

  async function openPack(file: Blob, passphrase: string): Promise<string | undefined> {
    if (file.size > largest) throw new PortError('corrupt', text.packTooLong);
    const { openedPack, differencesIn, firstChange } = await packs.get();
    const pack = await openedPack(new Uint8Array(await file.arrayBuffer()), passphrase);
    const { kept } = pack.review;
    const ownEvents = await parts.ownEvents(kept.exam).catch(() => undefined);
    const against =
      ownEvents === undefined ? '' : againstText(firstChange(ownEvents, kept.record.events));
    added.value = [];
    own.value = '';
    at.value = 0;
    computedSites.value = [];
    opened.value = { ...pack, against, differences: differencesIn };
    parts.opened();
    parts.localizer
      .localize(standingFindings(kept.record))
      .then((found) => {
        computedSites.value = (found?.hypotheses ?? []).slice(0, shownSites).map((one) => ({
          name: hypothesisName(one, parts.messages.report),
          probability: one.probability,
        }));
      })
      .catch(() => undefined);
    return undefined;
  }

  function verdict(more: Omit<Verdict, 'kind' | 'by' | 'entry'>, told: string): void {
    const item = current();
    if (item === undefined) return;
    const by = reviewer.peek().trim() || text.supervisor;
    added.value = [
      ...added.peek(),
      { kind: 'verdict' as const, by, entry: item.entry.id, ...more },
    ];
    const next = go(at.peek() + 1);
    say(
      next === undefined ? `${told} ${text.lastFinding}` : `${told} ${line(next.entry.finding)}.`,
    );
  }
  function go(to: number): Difference | undefined {
    const items = open.peek()?.items ?? [];
    if (to < 0 || to >= items.length) return undefined;
    at.value = to;
    return items[to];
  }
  function tellCurrent(moved: Difference | undefined): void {
    say(moved === undefined ? text.noMoreFindings : `${line(moved.entry.finding)}.`);
  }
  function hear(): void {
    const id = current()?.entry.id;
    const clip = opened.peek()?.review.clips.find(({ entries }) => entries.some((e) => e === id));
    if (clip === undefined || playing.peek()) return;
    playing.value = true;
    parts
      .play(clip.wav)
      .catch(() => say(text.notPlayed))
      .finally(() => {
        playing.value = false;
      });
  }
  function amendTo(finding: Finding): void {
    verdict({ verdict: 'amend', finding }, `${text.amended} ${line(finding)}.`);
  }
  function close(): void {
    opened.value = undefined;
    added.value = [];
    parts.closed();
  }

  const reviewing: Reviewing = {
    open,
    at,
    playing,
    reviewer,
    own,
    go: (to) => void go(to),
    hear,
    agree: () => verdict({ verdict: 'agree' }, text.agreed),
    query: (remark) =>
      verdict(
        { verdict: 'query', ...(remark.trim() === '' ? {} : { remark: remark.trim() }) },
        text.queried,
      ),
    amend(value) {
      const finding = current()?.entry.finding;
      if (finding === undefined) return;
      const {
        beats: _counted,
        qualifiers: _heard,
        ...item
      } = { ...finding } as Record<string, unknown>;
      const checked = checkFinding({ ...item, value });
      if (checked.ok) amendTo(checked.value);
    },
    amendTo,
    sign: () =>
      void parts.doing(async () => {
        const now = opened.peek();
        if (now === undefined) return undefined;
        if (now.faults.length > 0) throw new PortError('corrupt', text.notSigned);
        const name = reviewer.peek().trim();
        if (name === '') throw new PortError('denied', text.nameFirst);
        const site = own.peek().trim();
        const opinion: readonly Opinion[] =
          site === '' ? [] : [{ kind: 'opinion', by: name, site }];
        const named = added.peek().map((one) => ({ ...one, by: name }));
        const all = [...now.parts, ...named, ...opinion];
        const identity = await parts.identities.own();
        const signer = { identity, name, at: new Date(parts.now()).toISOString() };
        const { fingerprint, signedPack } = await packs.get();
        parts.save('exam-reviewed.plessor', await signedPack(all, signer, now.passphrase));
        close();
        return text.signed(await fingerprint(identity.publicKey));
      }),
    close,
  };

  return {
    reviewing,
    openPack,
    close,
    said({ words, certainty }) {
      const item = current();
      if (item === undefined) return false;
      if (certainty === 'foreign') return true;
      const reading = match(language.program('records.verdict'), words);
      const spoken = reading && tagsOf(reading).join(' ');
      const meaning = interpret(language, words, { last: [item.entry.finding] });
      const command = meaning.is === 'command' ? meaning.command : undefined;
      // What was heard with doubt changes nothing; moving about and hearing again do no harm.
      const sure = certainty === 'sure';
      if (spoken === 'verdict=hear' || command === 'say-again') hear();
      else if (spoken === 'verdict=next' || command === 'skip') tellCurrent(go(at.peek() + 1));
      else if (spoken === 'verdict=back') tellCurrent(go(at.peek() - 1));
      else if (!sure) say(text.sayAgain);
      else if (spoken === 'verdict=agree' || command === 'confirm') reviewing.agree();
      else if (spoken === 'verdict=query') reviewing.query('');
      else if (spoken === 'verdict=sign') reviewing.sign();
      else if (meaning.is === 'findings') {
        const [finding, ...more] = meaning.findings;
        const one = finding !== undefined && more.length === 0 && meaning.questions.length === 0;
        const about =
          one &&
          finding.kind === item.entry.finding.kind &&
          finding.site === item.entry.finding.site;
        if (about) amendTo(finding);
        else say(text.notThisFinding);
      } else say(text.sayAgain);
      return true;
    },
  };
}

const againstText = (change: number | undefined): string =>
  change === undefined ? text.asSent : text.notAsSent(change + 1);
