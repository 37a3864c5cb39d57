import { type EntryId, type ExamEvent, type Finding, ms } from '../../src/exam/index.ts';

const knee: Finding = { kind: 'reflex', site: 'patellar', side: 'left', value: '3+' };

/** The n-th event of an invented exam. */
export const nth = (n: number): ExamEvent =>
  n === 0
    ? { type: 'started', at: ms(0), plan: 'full' }
    : {
        type: 'recorded',
        at: ms(n * 1000),
        entry: n as EntryId,
        finding: knee,
        hearing: { words: `left patellar three plus, ${n}`, confidence: 0.9 },
      };

export const firstOnes = (n: number): readonly ExamEvent[] =>
  Array.from({ length: n }, (_, i) => nth(i));

/** A key from its bytes, for two programs that have to share one. */
export const keyFrom = (raw: Uint8Array<ArrayBuffer>): Promise<CryptoKey> =>
  crypto.subtle.importKey('raw', raw, 'AES-GCM', false, ['encrypt', 'decrypt']);
