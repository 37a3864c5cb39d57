import { batch, effect, type Signal, signal } from '@preact/signals';
import type { RecordsAct } from '../dialogue/index.ts';
import { type EntryId, fold, planName } from '../exam/index.ts';
import { PortError } from '../ports.ts';
import type { Report } from '../report/index.ts';
import { type Cover, type CoveredExam, lockWhenIdle, type SealedVault } from '../store/index.ts';
import { type ListedExam, type PanelName, type Records, recordsMessages } from '../ui/index.ts';
import type { Exam } from './exam.ts';
import { lineOf } from './fault.ts';
import { createIdentities } from './recordsIdentity.ts';
import type { Keeper } from './recordsKeeper.ts';
import { comparisons, imports, packs } from './recordsLate.ts';
import { dueOf, retentionOf } from './recordsRetention.ts';
import { clipOf } from './recordsSound.ts';
import { createReview, type ReviewParts } from './review.ts';
import type { HeardWords } from './session.ts';

export interface RecordsParts
  extends Pick<ReviewParts, 'language' | 'messages' | 'localizer' | 'play'> {
  readonly vault: SealedVault;
  readonly keeper: Keeper;
  readonly exam: Exam;
  readonly panel: Signal<PanelName>;
  readonly now: () => number;
  readonly say: (text: string) => void;
  /** Hands a file to the browser's downloads. */
  readonly save: (name: string, content: Uint8Array<ArrayBuffer>) => void;
  /** Asks the browser not to clear the records for want of room. */
  readonly persist: () => void;
  /** Sends a Bundle; settles when the server has answered. */
  readonly send: SendBundle<Report>;
  readonly print: (report: Report) => Promise<void>;
  readonly copyNote: () => void;
  /** The exam at hand would be lost if another took its place. */
  readonly unsaved: () => boolean;
}

export type SendBundle<Sent> = (
  server: { readonly base: string; readonly token?: string },
  sent: Sent,
  on: { readonly again: (why: string) => void; readonly signal: AbortSignal },
) => Promise<string | undefined>;

/** How long the records stay open without a sign of the examiner. */
export const idleMs = 15 * 60_000;

export interface RecordsRoom {
  readonly records: Records;
  /** The exam at hand, with what the examiner wrote of it. */
  report(): Report;
  act(act: RecordsAct): void;
  /** A sign of the examiner. */
  touch(): void;
  /** Takes an utterance that belongs to an open review; says whether it did. */
  reviewed(heard: Pick<HeardWords, 'words' | 'certainty'>): boolean;
  /** Keeps the sound of an utterance beside what became of it, with consent. */
  heard(heard: HeardWords, before: number): void;
  /** Another exam begins. */
  begin(): void;
}

/** The records on this device joined to the exam at hand. */
export function createRecords(parts: RecordsParts): RecordsRoom {
  const { vault, keeper, exam, panel, now, say } = parts;
  const text = recordsMessages;
  const busy = signal(false);
  const fault = signal('');
  const done = signal('');
  const list = signal<readonly ListedExam[]>([]);
  const damaged = signal<Records['damaged']['value']>(undefined);
  const label = signal('');
  const examiner = signal('');
  const opinion = signal('');
  const consent = signal(false);
  const sounds = signal(0);
  const retention = signal(0);
  const due = signal(0);
  const comparison = signal<Records['comparison']['value']>(undefined);
  const identities = createIdentities(vault);
  let sending: AbortController | undefined;

  const report = (): Report => {
    const own = exam.report();
    const [l, e] = [label.peek().trim(), examiner.peek().trim()];
    return {
      ...own,
      ...(l === '' ? {} : { patientLabel: l }),
      ...(e === '' ? {} : { examiner: e }),
    };
  };
  const empty = (): boolean => exam.dialogue.peek().record.entries.length === 0;

  /** Does one thing at a time; what goes wrong is one line, and nothing else is touched. */
  async function doing(act: () => Promise<string | undefined>): Promise<void> {
    if (busy.peek()) return;
    busy.value = true;
    fault.value = '';
    done.value = '';
    try {
      done.value = (await act()) ?? '';
    } catch (why) {
      fault.value = lineOf(why);
    } finally {
      busy.value = false;
    }
  }
  const must = (fine: boolean, line: string): void => {
    if (!fine) throw new PortError('denied', line);
  };
  const twice = (passphrase: string, repeated: string): void =>
    must(passphrase === repeated, text.notTheSame);

  const review = createReview({
    ...parts,
    vault,
    identities,
    doing,
    ownEvents: async (id) =>
      id === exam.id.peek() && !empty()
        ? exam.session.state.record.events
        : vault.locked
          ? undefined
          : await vault.load(id).then((events) => (events.length === 0 ? undefined : events)),
    opened: () => {
      panel.value = 'review';
    },
    closed: () => {
      if (panel.peek() === 'review') panel.value = 'none';
    },
  });

  const coverNow = (): Cover => {
    const { patientLabel, examiner: by, startedAt, record } = report();
    return {
      plan: record.plan,
      ...(patientLabel === undefined ? {} : { patientLabel }),
      ...(by === undefined ? {} : { examiner: by }),
      ...(startedAt === undefined ? {} : { startedAt }),
    };
  };
  effect(() => {
    void [label.value, examiner.value, exam.id.value, exam.dialogue.value.record.plan];
    void keeper.cover(exam.id.peek(), coverNow());
  });

  async function look(): Promise<void> {
    if (vault.locked) {
      list.value = [];
      return;
    }
    const covered = await vault.covers();
    list.value = covered.map((one) => listed(one, exam.id.peek())).toSorted(latestFirst);
    due.value = dueOf(covered, retention.peek(), now()).length;
  }
  effect(() => {
    if (panel.value === 'records' && keeper.lock.value === 'open') void look().catch(() => {});
  });

  /** What was chosen earlier, and what the time limit asks for, once the records are open. */
  async function opened(): Promise<void> {
    const kept = await retentionOf(vault);
    retention.value = kept.days;
    const known = await vault.setting('examiner').catch(() => undefined);
    if (examiner.peek() === '' && typeof known === 'string') examiner.value = known;
    await identities.load();
    if (kept.mayDelete(now())) await removeDue();
    // A full disk takes no note of this; the records are open all the same.
    await kept.seen(now()).catch(() => undefined);
    await look();
  }
  async function removeDue(): Promise<void> {
    const old = dueOf(await vault.covers(), retention.peek(), now());
    for (const { exam: id } of old) if (id !== exam.id.peek()) await vault.remove(id);
  }

  /** Shuts the records and puts away all that was read from them. */
  function shut(): void {
    // An exam that is kept is put away with the others; one that is not stays to be saved.
    const away = keeper.keeping.peek().is === 'kept' && !empty();
    keeper.shut();
    list.value = [];
    comparison.value = undefined;
    damaged.value = undefined;
    fault.value = '';
    done.value = '';
    review.close();
    identities.forget();
    if (away) begin();
  }
  const idle = lockWhenIdle(idleMs, () => {
    if (keeper.lock.peek() === 'open') shut();
  });

  function begin(): void {
    batch(() => {
      exam.begin();
      begun();
    });
  }
  function begun(): void {
    label.value = '';
    opinion.value = '';
    consent.value = false;
    sounds.value = 0;
  }

  async function take(id: string, events: Parameters<typeof fold>[0], cover: Cover): Promise<void> {
    // At once: a label must never be written beside another exam on the way.
    batch(() => {
      keeper.known(id);
      exam.take({ id, record: fold(events), startedAt: cover.startedAt });
      begun();
      label.value = cover.patientLabel ?? '';
      if (cover.examiner !== undefined) examiner.value = cover.examiner;
    });
    const clips = vault.locked ? [] : await vault.attachments(id);
    sounds.value = clips.length;
    comparison.value = undefined;
  }

  const records: Records = {
    lock: keeper.lock,
    keeping: keeper.keeping,
    busy,
    fault,
    done,
    list,
    damaged,
    forgotten: text.noWayBack,
    label,
    examiner,
    opinion,
    consent,
    sounds,
    retention,
    due,
    comparison,
    review: review.reviewing,
    create: (passphrase, repeated) =>
      void doing(async () => {
        twice(passphrase, repeated);
        await keeper.create(passphrase);
        parts.persist();
        await opened();
        return text.created;
      }),
    unlock: (passphrase) =>
      void doing(async () => {
        await keeper.unlock(passphrase);
        await opened();
        return text.unlocked;
      }),
    shut,
    change: (passphrase, next, repeated) =>
      void doing(async () => {
        twice(next, repeated);
        await vault.changePassphrase(passphrase, next);
        return text.changed;
      }),
    clear: () =>
      void doing(async () => {
        await vault.clear();
        shut();
        await keeper.cleared();
        begin();
        return text.cleared;
      }),
    tryAgain: () => void doing(async () => void (await keeper.again(exam.id.peek()))),
    saveCopy: () =>
      void doing(async () => {
        const copy = crypto.randomUUID();
        const { record } = exam.session.state;
        await vault.saveCopy(exam.id.peek(), copy);
        const cover = coverNow();
        await take(copy, record.events, cover);
        await keeper.cover(copy, cover);
        return text.copied;
      }),
    giveWay: () =>
      void doing(async () => {
        const id = exam.id.peek();
        vault.giveWay(id);
        const events = await vault.load(id);
        if (events.length === 0) begin();
        else await take(id, events, coverNow());
        return text.gaveWay;
      }),
    open: (id) =>
      void doing(async () => {
        must(!parts.unsaved(), text.saveFirst);
        damaged.value = undefined;
        try {
          const events = await vault.load(id);
          const cover = (await vault.covers()).find((one) => one.exam === id)?.cover ?? {};
          await take(id, events, cover);
          panel.value = 'none';
        } catch (why) {
          if (!(why instanceof PortError && why.code === 'corrupt')) throw why;
          const { events } = await vault.salvage(id);
          damaged.value = { exam: id, line: why.message, readable: events.length };
        }
        return undefined;
      }),
    salvage: () =>
      void doing(async () => {
        const from = damaged.peek()?.exam;
        if (from === undefined) return undefined;
        must(!parts.unsaved(), text.saveFirst);
        const { events } = await vault.salvage(from);
        const cover = (await vault.covers()).find((one) => one.exam === from)?.cover ?? {};
        const id = crypto.randomUUID();
        await store(id, events, cover);
        damaged.value = undefined;
        await take(id, events, cover);
        panel.value = 'none';
        return text.salvaged;
      }),
    remove: (id) =>
      void doing(async () => {
        await vault.remove(id);
        if (id === exam.id.peek()) begin();
        damaged.value = undefined;
        await look();
        return text.removed;
      }),
    setRetention: (days) =>
      void doing(async () => {
        await (await retentionOf(vault)).set(days);
        retention.value = days;
        await look();
        return undefined;
      }),
    removeDue: () =>
      void doing(async () => {
        await removeDue();
        await look();
        return text.removed;
      }),
    bring: (file) => void doing(() => bring(file)),
    compare: () => void doing(compare),
    packOut: (passphrase) =>
      void doing(async () => {
        must(!empty(), text.nothingYet);
        const kept = report();
        const { clipsOf, packOf } = await packs.get();
        const clips = vault.locked ? [] : await clipsOf(vault, kept.exam, kept.record);
        const by = examiner.peek().trim() || text.trainee;
        const site = opinion.peek().trim();
        const opinions = site === '' ? [] : [{ kind: 'opinion' as const, by, site }];
        const at = new Date(now()).toISOString();
        const identity = await identities.own();
        const bytes = await packOf(kept, clips, opinions, { identity, name: by, at }, passphrase);
        parts.save('exam-to-review.plessor', bytes);
        return text.packed(clips.length);
      }),
    packIn: (file, passphrase) => void doing(() => review.openPack(file, passphrase)),
    send: (base, token) =>
      void doing(async () => {
        must(!empty(), text.nothingYet);
        sending = new AbortController();
        const where = await parts.send({ base, ...(token === '' ? {} : { token }) }, report(), {
          again: (why) => {
            done.value = text.sendingAgain(why);
          },
          signal: sending.signal,
        });
        return text.sent(where ?? '');
      }),
    stopSending: () => sending?.abort(),
    print: () => void doing(async () => void (await parts.print(report()))),
  };

  async function store(id: string, events: Parameters<typeof fold>[0], cover: Cover) {
    try {
      for (const event of events) await vault.append(id, event);
      await vault.setCover(id, cover);
    } catch (why) {
      // Whole or not at all: half an import would look like an exam.
      await vault.remove(id).catch(() => undefined);
      throw why;
    }
  }

  async function bring(file: File): Promise<string> {
    const kept = await (await imports.get()).readImport(file);
    const { events } = kept.record;
    const { patientLabel, examiner: by, startedAt } = kept;
    const cover: Cover = {
      plan: kept.record.plan,
      ...(patientLabel === undefined ? {} : { patientLabel }),
      ...(by === undefined ? {} : { examiner: by }),
      ...(startedAt === undefined ? {} : { startedAt }),
    };
    if (vault.locked) {
      must(empty(), text.saveFirst);
      for (const event of events) void keeper.keep(kept.exam, event);
      await take(kept.exam, events, cover);
      return text.broughtIntoMemory;
    }
    const here = await vault.load(kept.exam).catch(() => undefined);
    const same = here !== undefined && JSON.stringify(here) === JSON.stringify(events);
    if (same) return text.alreadyHere;
    const id = here?.length === 0 ? kept.exam : crypto.randomUUID();
    await store(id, events, cover);
    await look();
    return text.brought(planName(kept.record.plan, parts.messages.names));
  }

  async function compare(): Promise<string | undefined> {
    panel.value = 'compare';
    const own = report();
    const { comparisonOf } = await comparisons.get();
    const wanted = plainLabel(own.patientLabel ?? '');
    const found = vault.locked || wanted === '' ? [] : await vault.covers();
    const earlier = found.filter(
      ({ exam: id, cover }) => id !== own.exam && plainLabel(cover.patientLabel ?? '') === wanted,
    );
    let lost = 0;
    const kept = await Promise.all(
      earlier.map(async ({ exam: id, cover }) => {
        const events = await vault.load(id).catch(() => {
          lost++;
          return [];
        });
        return events.length === 0 ? [] : [{ ...cover, exam: id, record: fold(events) }];
      }),
    );
    const all = [...kept.flat(), ...(empty() ? [] : [own])];
    comparison.value = comparisonOf(
      own.patientLabel ?? '',
      all,
      all.at(-1)?.exam === own.exam,
      parts.messages.language,
    );
    const line =
      wanted === ''
        ? text.labelFirst
        : vault.locked
          ? text.unlockFirst
          : all.length < 2
            ? text.noEarlier
            : '';
    if (line !== '') say(line);
    else say(text.changesAloud(comparison.peek()?.changes ?? []));
    return [line, lost > 0 ? text.someDamaged(lost) : ''].filter((one) => one !== '').join(' ');
  }

  effect(() => {
    const name = examiner.value.trim();
    if (name !== '' && !vault.locked) void vault.setSetting('examiner', name).catch(() => {});
  });
  void keeper.look();

  return {
    records,
    report,
    act(act) {
      switch (act) {
        case 'compare':
          return records.compare();
        case 'show-records':
          panel.value = 'records';
          return undefined;
        case 'copy-note':
          return parts.copyNote();
        case 'lock-records':
          return shut();
        default:
          return act satisfies never;
      }
    },
    touch: () => idle.touch(),
    reviewed: (heard) => review.said(heard),
    heard(heard, before) {
      if (!consent.peek() || heard.sound === undefined || vault.locked) return;
      const { record } = exam.session.state;
      const made = record.events
        .slice(before)
        .flatMap((event): readonly EntryId[] =>
          event.type === 'recorded' || event.type === 'corrected' ? [event.entry] : [],
        );
      const last = exam.session.utterances.at(-1);
      const clip = clipOf(heard.sound, made, heard.words.join(' '), last?.readBack ?? '');
      vault.attach(exam.id.peek(), clip.name, clip.content).then(
        () => {
          sounds.value++;
        },
        (why: unknown) => {
          fault.value = `${text.soundNotKept} ${lineOf(why)}`;
        },
      );
    },
    begin,
  };
}

const plainLabel = (label: string): string => label.trim().toLocaleLowerCase();

const listed = ({ exam, cover }: CoveredExam, current: string): ListedExam => ({
  exam,
  label: cover.patientLabel ?? '',
  examiner: cover.examiner ?? '',
  startedAt: cover.startedAt ?? '',
  plan: cover.plan ?? '',
  current: exam === current,
});

const latestFirst = (a: ListedExam, b: ListedExam): number =>
  a.startedAt < b.startedAt ? 1 : a.startedAt > b.startedAt ? -1 : 0;
