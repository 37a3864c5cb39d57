import { describe, expect, test } from 'vitest';
import { english } from '../../src/app/language.ts';
import { createIdentities } from '../../src/app/recordsIdentity.ts';
import { createReview } from '../../src/app/review.ts';
import { findingName } from '../../src/exam/index.ts';
import { checkReview, differences, partsOf } from '../../src/report/index.ts';
import { memoryShelf, readPack, SealedVault, writePack } from '../../src/store/index.ts';
import { english as messages } from '../../src/ui/index.ts';
import { rootExam } from '../report/exams.ts';

const language = english();
const word = 'plessor and pack';

/** A review opened on a device without records; what it says and saves is kept here. */
async function opened() {
  const vault = new SealedVault(memoryShelf());
  const said: string[] = [];
  const saved: Uint8Array<ArrayBuffer>[] = [];
  const played: string[] = [];
  const room = createReview({
    language,
    messages,
    localizer: { prepare: () => {}, localize: async () => undefined },
    play: async (wav) => void played.push(wav),
    say: (text) => said.push(text),
    now: () => Date.parse('2026-11-25T12:00:00Z'),
    save: (_name, content) => saved.push(content),
    vault,
    identities: createIdentities(vault),
    doing: async (act) => void (await act()),
    ownEvents: async () => undefined,
    opened: () => {},
    closed: () => {},
  });
  const clip = { kind: 'clip' as const, words: 'said', readBack: 'read', wav: 'UklGRg==' };
  const [first] = rootExam.record.entries;
  if (first === undefined) throw new Error('the exam has no entries');
  const parts = partsOf(rootExam, [{ ...clip, entries: [first.id] }]);
  await room.openPack(new Blob([await writePack(parts, word)]), word);
  const hear = (words: string, certainty: 'sure' | 'unsure' | 'foreign' = 'sure') =>
    room.said({ words: language.words(words), certainty });
  return { room, hear, said, saved, played };
}

describe('a review by voice', () => {
  test('goes finding by finding: agree, query, amend, back, hear', async () => {
    const { room, hear, said, played } = await opened();
    const { reviewing } = room;
    hear('play it');
    expect(played).toEqual(['UklGRg==']);
    hear('agree');
    hear('query that');
    expect(reviewing.at.value).toBe(2);
    hear('previous finding');
    hear('next finding');
    hear('next finding');
    expect(said.at(-1)).toContain('patellar reflex: 2+');
    hear('correction three plus');
    const items = reviewing.open.value?.items ?? [];
    expect(items.slice(0, 4).map(({ verdict }) => verdict)).toEqual([
      'agree',
      'query',
      'open',
      'amend',
    ]);
    expect(items[3]?.amended && findingName(items[3].amended)).toMatch(/3\+/);
  });

  test('takes nothing that was heard with doubt, that is talk, or that is of another finding', async () => {
    const { room, hear, said } = await opened();
    hear('agree', 'unsure');
    expect(said.at(-1)).toBe('Say again.');
    hear('agree', 'foreign');
    hear('left hip flexion four');
    expect(said.at(-1)).toContain('another finding');
    hear('exam complete');
    expect(room.reviewing.open.value?.items.every(({ verdict }) => verdict === 'open')).toBe(true);
  });

  test('is signed with what was said, under the name of who signs', async () => {
    const { room, hear, saved } = await opened();
    hear('agree');
    room.reviewing.reviewer.value = 'Dr Invented';
    room.reviewing.own.value = 'left L5 root';
    hear('sign the review');
    for (let i = 0; i < 200 && saved.length === 0; i++) {
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    const pack = await readPack(saved[0] ?? new Uint8Array(), word);
    expect(pack.faults).toEqual([]);
    const review = checkReview(pack.parts);
    if (!review.ok) throw new Error(review.fault.message);
    expect(review.value.verdicts.map(({ by }) => by)).toEqual(['Dr Invented']);
    expect(review.value.opinions).toEqual([
      { kind: 'opinion', by: 'Dr Invented', site: 'left L5 root' },
    ]);
    expect(review.value.signatures.map(({ name }) => name)).toEqual(['Dr Invented']);
    expect(differences(review.value)[0]?.verdict).toBe('agree');
  });
});
