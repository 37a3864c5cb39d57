import { describe, expect, test } from 'vitest';
import { english } from '../../src/app/language.ts';
import { answered, itemId, nextItem } from '../../src/app/lead.ts';
import { createSession, type Session } from '../../src/app/session.ts';
import { ms, type PlanItem } from '../../src/exam/index.ts';

const language = english();
function exam(plan: string, ...said: readonly string[]): Session {
  const session = createSession({
    language,
    now: () => ms(0),
    say: () => {},
    hush: () => {},
    keep: () => {},
    help: () => {},
    changed: () => {},
  });
  session.begin(plan);
  for (const words of said) session.type(words);
  return session;
}
const none = new Set<string>();
const patellar: PlanItem = { kind: 'reflex', site: 'patellar' };

describe('when Plessor leads', () => {
  test('it begins with the first item of the plan', () => {
    expect(nextItem(exam('reflexes').state.record, none, undefined)).toMatchObject({
      kind: 'reflex',
      site: 'biceps',
    });
  });
  test('it stays with an item until both sides were told', () => {
    const { record } = exam('reflexes', 'right patellar two plus').state;
    expect(nextItem(record, none, patellar)).toMatchObject({ site: 'patellar', sides: ['left'] });
  });
  test('what the examiner told out of order is not asked for', () => {
    const { record } = exam('reflexes', 'biceps reflexes two plus on both sides').state;
    expect(nextItem(record, none, undefined)).toMatchObject({ site: 'brachioradialis' });
  });
  test('"not tested" is an answer', () => {
    const { record } = exam('magnesium', 'patellar not tested on both sides').state;
    expect(nextItem(record, none, undefined)).toMatchObject({ site: 'respiratory-difficulty' });
  });
  test('a skipped item does not come again', () => {
    const { record } = exam('magnesium').state;
    expect(nextItem(record, new Set([itemId(patellar)]), undefined)).toMatchObject({
      kind: 'context',
    });
  });
  test('it ends with the plan', () => {
    const { record } = exam(
      'magnesium',
      'patellar two plus on both sides',
      'no respiratory difficulty',
    ).state;
    expect(nextItem(record, none, undefined)).toBeUndefined();
  });
});

describe('one item asked for on its own', () => {
  test('is answered when both sides were told since', () => {
    const session = exam('reflexes', 'patellar two plus on both sides');
    const from = session.state.record.events.length;
    expect(answered(session.state.record, patellar, from)).toBe(false);
    session.type('right patellar three plus');
    expect(answered(session.state.record, patellar, from)).toBe(false);
    session.type('left patellar three plus');
    expect(answered(session.state.record, patellar, from)).toBe(true);
  });
});
