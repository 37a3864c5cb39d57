import type { Finding } from '../../src/exam/index.ts';
import { readCases } from './caseText.ts';

/** Findings written in the form of the case files, without an answer. */
export function findings(...lines: readonly string[]): readonly Finding[] {
  const [one] = readCases(['case x', 'accept no-lesion none', ...lines].join('\n'));
  return one?.findings ?? [];
}
