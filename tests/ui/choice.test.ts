import { signal } from '@preact/signals';
import { describe, expect, test } from 'vitest';
import { createExam } from '../../src/app/exam.ts';
import { english } from '../../src/app/language.ts';
import { createSession } from '../../src/app/session.ts';
import { defaultSettings } from '../../src/app/settings.ts';
import { itemKey, kinds, ms, type PlanItem, plans, vocabulary } from '../../src/exam/index.ts';
import { choicesOf, repliesTo } from '../../src/ui/index.ts';

const language = english();

function exam() {
  return createSession({
    language,
    now: () => ms(0),
    say: () => {},
    hush: () => {},
    keep: () => {},
    help: () => {},
    changed: () => {},
  });
}

/** The exam as the page runs it, where a typed answer need not keep to the prompt. */
const page = () =>
  createExam({
    language,
    now: () => ms(0),
    mouth: { say: () => {}, hush: () => {}, quiet: async () => {} },
    settings: signal(defaultSettings),
    help: () => {},
    question: () => {},
    recorded: () => {},
    wish: () => undefined,
    records: () => {},
    keep: () => undefined,
    localizer: { prepare: () => {}, localize: async () => undefined },
    notice: () => {},
    planDone: '',
  });

const items: readonly PlanItem[] = [
  ...plans.flatMap((plan) => plan.items),
  ...kinds.flatMap((kind) =>
    vocabulary[kind].sites
      .filter((site) => kind !== 'sensation' || ['L5', 'saddle', 'thumb'].includes(site))
      .map(
        (site): PlanItem =>
          kind === 'sensation' ? { kind, site, modality: 'pinprick' } : { kind, site },
      ),
  ),
];

describe('a button for an answer says words that give exactly that answer', () => {
  for (const kind of kinds) {
    test(`to a prompt for ${kind}`, () => {
      const asked = items.filter((item) => item.kind === kind);
      expect(asked.length).toBeGreaterThan(0);
      for (const item of asked) {
        for (const { side, choices } of repliesTo(item)) {
          for (const { label, words } of choices) {
            const room = page();
            room.prompt(item);
            room.type(words);
            const { findings, outcome } = room.said.value[0] ?? {
              findings: [],
              outcome: 'nothing',
            };
            const what = `${kind} ${item.site}: "${words}"`;
            expect(outcome, what).toBe('recorded');
            expect(findings, what).toHaveLength(1);
            expect(findings[0], what).toMatchObject({
              kind,
              site: item.site,
              side,
              value: label === 'not tested' ? 'not-tested' : label,
            });
          }
        }
      }
    });
  }
});

describe('every button under a question answers it', () => {
  const questions = [
    'patellar three plus',
    'right patellar six plus',
    'right biceps four',
    'right plantar not extensor',
    'right ankle clonus',
    'increased tone in the right leg',
    'right patellar two plus right patellar three plus',
    'sensation reduced over the right L5',
    'right knee jerk',
    'right hip flexion eight out of five',
  ];
  for (const words of questions) {
    test(words, () => {
      const first = exam();
      first.type(words);
      const [asked] = first.state.asked;
      if (asked === undefined) return expect(first.state.record.entries).toEqual([]);
      const choices = choicesOf(asked);
      expect(choices.length).toBeGreaterThan(1);
      const answers = choices.map((choice) => {
        const session = exam();
        session.type(words);
        session.type(choice.words);
        // A strength may still lack a side or a grade, but never the same answer again.
        expect(session.state.asked[0], choice.words).not.toEqual(asked);
        const found = session.state.record.entries.map(
          ({ finding }) => `${itemKey(finding)} ${finding.value}`,
        );
        return found.join();
      });
      expect(new Set(answers).size).toBe(choices.length);
    });
  }
});
