import type { Trial } from './hearing.ts';

/** Where the bar for a record might lie. */
const bars = [0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.97, 0.98, 0.99] as const;

/** For each condition, how many utterances would be recorded right and wrong with the bar at each place. */
export function curves(trials: readonly Trial[]): readonly string[] {
  const rows = [
    '',
    `| right, wrong, with the bar at | utterances | ${bars.join(' | ')} |`,
    `|---|---|${bars.map(() => '---|').join('')}`,
  ];
  for (const where of new Set(trials.map((trial) => trial.where))) {
    const all = trials.filter((trial) => trial.where === where);
    const said = all.filter(({ kind }) => kind !== 'talk');
    const heard = all.filter(({ outcome }) => outcome !== 'ignored');
    const cells = bars.map((bar) => {
      const over = heard.filter(({ confidence }) => confidence >= bar);
      const right = over.filter(({ kind }) => kind === 'right').length;
      return `${((100 * right) / Math.max(1, said.length)).toFixed(1)} %, ${over.length - right}`;
    });
    rows.push(`| ${where} | ${said.length} | ${cells.join(' | ')} |`);
  }
  return rows;
}
