import { type Finding, itemKey } from '../../src/exam/index.ts';

export const key = (finding: Finding): string => `${itemKey(finding)} ${finding.value}`;

export const same = (a: readonly Finding[], b: readonly Finding[]): boolean =>
  JSON.stringify(a.map(key).sort()) === JSON.stringify(b.map(key).sort());

/** What came of the findings that were said, and of what was no finding. */
export class Tally {
  wanted = 0;
  right = 0;
  asked = 0;
  missed = 0;
  wrong = 0;
  wrongSide = 0;
  wrongValue = 0;
  /** Recorded from talk to the patient, and questions asked about it. */
  talkRecorded = 0;
  talkAsked = 0;
  audioMs = 0;
  decodeMs = 0;

  /** One utterance of the examiner's. */
  said(wanted: readonly Finding[], recorded: readonly Finding[], asked: readonly Finding[]): void {
    const keys = new Set(wanted.map(key));
    this.wanted += keys.size;
    this.right += recorded.filter((finding) => keys.has(key(finding))).length;
    this.asked += asked.filter((finding) => keys.has(key(finding))).length;
    const found = new Set([...recorded, ...asked].map(key));
    this.missed += [...keys].filter((one) => !found.has(one)).length;
    for (const finding of recorded) {
      if (keys.has(key(finding))) continue;
      this.wrong += 1;
      const near = wanted.filter((w) => w.kind === finding.kind && w.site === finding.site);
      if (near.some((w) => w.value === finding.value && w.side !== finding.side)) {
        this.wrongSide += 1;
      } else if (near.some((w) => w.side === finding.side)) this.wrongValue += 1;
    }
  }

  add(other: Tally): void {
    for (const name of Object.keys(this) as (keyof Tally)[]) {
      const mine = this[name];
      const more = other[name];
      if (typeof mine === 'number' && typeof more === 'number')
        Object.assign(this, { [name]: mine + more });
    }
  }

  row(...names: readonly string[]): string {
    const numbers = [
      this.wanted,
      `${percent(this.right, this.wanted)} (${interval(this.right, this.wanted)})`,
      this.asked,
      this.missed,
      this.wrong,
      this.wrongSide,
      this.wrongValue,
      this.talkRecorded,
      this.talkAsked,
      (this.decodeMs / Math.max(1, this.audioMs)).toFixed(3),
    ];
    return `| ${[...names, ...numbers].join(' | ')} |`;
  }

  static header(...names: readonly string[]): readonly string[] {
    const columns = [
      ...names,
      'findings',
      'right, not asked (95 % interval)',
      'asked',
      'missed',
      'wrong',
      'of them side',
      'value',
      'from talk: recorded',
      'asked',
      'real-time factor',
    ];
    return [`| ${columns.join(' | ')} |`, `|${columns.map(() => '---|').join('')}`];
  }
}

export const percent = (part: number, of: number): string =>
  of === 0 ? '–' : `${((100 * part) / of).toFixed(1)} %`;

/** Wilson's score interval for a share, at 95 % (Wilson 1927, J Am Stat Assoc 22:209). */
function interval(part: number, of: number): string {
  if (of === 0) return '–';
  const z = 1.96;
  const p = part / of;
  const middle = (p + (z * z) / (2 * of)) / (1 + (z * z) / of);
  const half = (z / (1 + (z * z) / of)) * Math.sqrt((p * (1 - p)) / of + (z * z) / (4 * of * of));
  return `${(100 * (middle - half)).toFixed(1)}–${(100 * (middle + half)).toFixed(1)}`;
}
