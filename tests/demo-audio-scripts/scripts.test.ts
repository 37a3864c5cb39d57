import { describe, expect, test } from 'vitest';
import { expectedRecord, scripts } from '../../demo-audio-scripts/index.ts';
import { english } from '../../src/app/language.ts';
import { createSession } from '../../src/app/session.ts';
import { type Finding, itemKey, kinds, ms, standingFindings } from '../../src/exam/index.ts';
import { localize } from '../../src/localize/index.ts';

const language = english();
const all = scripts();

const fresh = () => {
  let time = 0;
  const session = createSession({
    localize,
    language,
    now: () => ms(++time),
    say: () => {},
    hush: () => {},
    keep: () => {},
    help: () => {},
    changed: () => {},
  });
  session.begin('full');
  return session;
};

const byItem = (findings: readonly Finding[]) =>
  [...findings].sort((a, b) => (itemKey(a) < itemKey(b) ? -1 : 1));

describe.each(all.map((script) => [script.name, script] as const))('%s', (_name, script) => {
  test('each utterance is understood, and talk to the patient is not', () => {
    const session = fresh();
    for (const line of script.lines) {
      if (line.is !== 'said') continue;
      const { outcome, findings, command } = session.type(line.words);
      const where = `line ${line.line}: ${line.words}`;
      expect(byItem(findings), where).toEqual(byItem(line.findings));
      expect(command, where).toEqual(line.command ?? null);
      expect(outcome, where).toBe(
        { examiner: 'recorded', command: 'command', 'patient-talk': 'ignored' }[line.by],
      );
    }
    expect(byItem(standingFindings(session.state.record))).toEqual(byItem(expectedRecord(script)));
    expect(session.state.record.complete).toBe(true);
    const [first] = session.localization?.hypotheses ?? [];
    expect(script.sites).toEqual([{ site: first?.site, side: first?.side }]);
  });
});

test('every kind of finding is said somewhere', () => {
  const said = new Set(all.flatMap(expectedRecord).map(({ kind }) => kind));
  expect(kinds.filter((kind) => !said.has(kind))).toEqual([]);
  const everything = all.flatMap(expectedRecord);
  expect(everything.some(({ value }) => value === 'not-tested')).toBe(true);
  expect(everything.some((finding) => finding.kind === 'clonus' && finding.beats === 6)).toBe(true);
});

test('there is talk to the patient in most exams', () => {
  const withTalk = all.filter(({ lines }) =>
    lines.some((line) => line.is === 'said' && line.by === 'patient-talk'),
  );
  expect(withTalk.length).toBeGreaterThanOrEqual(8);
});
