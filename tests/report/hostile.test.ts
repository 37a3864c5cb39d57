import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fromFhir, fromJson, toFhir, toJson } from '../../src/report/index.ts';
import { rootExam } from './exams.ts';

const json = toJson(rootExam);
const fhir = JSON.stringify(toFhir(rootExam));

/** A text with a piece of it replaced, doubled, dropped, or with something foul put in. */
const mutated = (text: string): fc.Arbitrary<string> =>
  fc
    .tuple(
      fc.nat(text.length),
      fc.nat(60),
      fc.oneof(
        fc.constantFrom(
          '',
          '[',
          '{',
          '"',
          'null',
          '-1',
          '1e999',
          '"__proto__":{"x":1},',
          '"constructor":1,',
          '</script><script>alert(1)</script>',
          '\\u0000',
          '"left"',
          '"right"',
        ),
        fc.string({ unit: 'binary', maxLength: 12 }),
      ),
      fc.boolean(),
    )
    .map(([at, length, put, doubled]) =>
      doubled
        ? text.slice(0, at + length) + put + text.slice(at)
        : text.slice(0, at) + put + text.slice(at + length),
    );

describe('an import from a hostile hand', () => {
  test.each([
    ['record', json, fromJson],
    ['Bundle', fhir, fromFhir],
  ] as const)(
    'never crashes as a %s, and comes in whole or not at all',
    (_, text, read) => {
      const whole = read(text);
      if (!whole.ok) throw new Error(whole.fault.message);
      const exam = whole.value.record.events;
      fc.assert(
        fc.property(mutated(text), (mangled) => {
          const result = read(mangled);
          if (!result.ok) {
            expect(result.fault.message).not.toMatch(/[\n\r]/);
            expect(result.fault.message.length).toBeLessThan(300);
          } else {
            // What still reads may differ in words or in times, never in how many events there are.
            expect(result.value.record.events).toHaveLength(exam.length);
          }
        }),
        { numRuns: 5000 },
      );
    },
    120_000,
  );

  test('whose first event ran into the next is refused', () => {
    const merged = json.replace(/"plan": "[^"]*"\n\s*\},\n\s*\{/, '');
    expect(merged).not.toBe(json);
    const result = fromJson(merged);
    expect(result.ok ? '' : result.fault.message).toContain('is not the start of an exam');
  });

  test.each([
    ['[', ']'],
    ['{"a":', '}'],
  ])('of a million %s is refused', (open, close) => {
    const deep = `${open.repeat(1_000_000)}1${close.repeat(1_000_000)}`;
    expect(fromJson(deep).ok).toBe(false);
    expect(fromFhir(deep).ok).toBe(false);
  });

  test('with a value nested a million deep is refused', () => {
    const deep = '['.repeat(1_000_000) + ']'.repeat(1_000_000);
    expect(fromJson(json.replace('"side": "left"', `"side": ${deep}`)).ok).toBe(false);
  });

  test('leaves the prototypes of the program alone', () => {
    fromJson('{"__proto__":{"polluted":true},"format":"plessor-record"}');
    expect(Object.hasOwn(Object.prototype, 'polluted')).toBe(false);
  });
});
