import { type Finding, itemKey, type Lateral, laterals, type ReflexSite } from '../exam/index.ts';
import { drawingsEnglish } from './english/drawings.ts';
import type { DrawingMessages, DrawnFinding } from './messages/drawings.ts';
import { escapeMarkup } from './plain.ts';

const width = 300;
const height = 440;
const middle = width / 2;

/** Where on the figure each reflex is written: distance from the midline, and height. */
const places: Readonly<Record<Exclude<ReflexSite, 'jaw'>, readonly [x: number, y: number]>> = {
  deltoid: [44, 96],
  pectoralis: [22, 116],
  biceps: [72, 128],
  triceps: [96, 138],
  brachioradialis: [88, 166],
  'finger-flexor': [112, 206],
  adductor: [16, 250],
  patellar: [40, 300],
  'medial-hamstring': [20, 322],
  'lateral-hamstring': [64, 322],
  achilles: [42, 392],
};

const abdominal = { 'abdominal-upper': 164, 'abdominal-lower': 192 } as const;
const at = (side: Lateral, x: number): number => middle + (side === 'left' ? x : -x);

/**
 * The figure that examiners draw by hand: grades of the stretch reflexes at their places, plantar
 * responses as arrows, abdominal reflexes as present or absent. The patient faces the reader. SVG
 * text, `role="img"`; abnormal grades are boxed, so that nothing rests on colour.
 *
 * @param id keeps the labels of several drawings on one page apart
 */
export function drawBody(
  findings: readonly Finding[],
  id = 'body',
  messages: DrawingMessages = drawingsEnglish,
): string {
  const { body } = messages;
  const last = [...new Map(findings.map((finding) => [itemKey(finding), finding])).values()];
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" role="img" aria-labelledby="${id}-title ${id}-desc" font-family="system-ui, sans-serif" font-size="13" fill="currentColor" stroke="currentColor" stroke-width="1.5">`,
    `<title id="${id}-title">${escapeMarkup(body.title)}</title>`,
    `<desc id="${id}-desc">${escapeMarkup(described(last, body))}</desc>`,
    words(at('right', 100), 20, messages.patientsRight, 11),
    words(at('left', 100), 20, messages.patientsLeft, 11),
    figure(),
    ...last.flatMap((finding) => drawn(finding, body.notTested)),
    '</svg>',
  ].join('\n');
}

const figure = (): string => {
  const limbs = laterals.map((side) => {
    const p = (x: number, y: number): string => `${at(side, x)} ${y}`;
    return `M${p(0, 84)} L${p(34, 84)} L${p(66, 146)} L${p(100, 196)} M${p(0, 216)} L${p(24, 222)} L${p(28, 308)} L${p(30, 404)} L${p(50, 410)}`;
  });
  return `<g fill="none" stroke-linecap="round" stroke-linejoin="round"><circle cx="${middle}" cy="46" r="24"/><path d="M${middle} 70 L${middle} 216 ${limbs.join(' ')}"/></g>`;
};

function words(x: number, y: number, text: string, size = 13, weight = 600): string {
  return `<text x="${x}" y="${y}" text-anchor="middle" stroke="none" font-size="${size}" font-weight="${weight}">${escapeMarkup(text)}</text>`;
}

/** A grade on a ground of its own, boxed where it departs from 2+. */
function grade(x: number, y: number, text: string, abnormal: boolean): string {
  const box = `<rect x="${x - 13}" y="${y - 10}" width="26" height="19" rx="4" fill="Canvas" ${abnormal ? '' : 'stroke="none"'}/>`;
  return `<g>${box}${words(x, y + 4, text, 13, abnormal ? 700 : 500)}</g>`;
}

function drawn(finding: Finding, notTested: string): readonly string[] {
  if (finding.kind === 'reflex') {
    const text = finding.value === 'not-tested' ? notTested : finding.value;
    const abnormal = finding.value !== '2+' && finding.value !== 'not-tested';
    if (finding.site === 'jaw') return [grade(middle, 60, text, abnormal)];
    if (finding.side === 'midline') return [];
    const [x, y] = places[finding.site];
    return [grade(at(finding.side, x), y, text, abnormal)];
  }
  if (finding.kind === 'plantar' && finding.side !== 'midline') {
    const x = at(finding.side, 66);
    const arrow = {
      flexor: '↓',
      extensor: '↑',
      equivocal: '±',
      mute: '–',
      'not-tested': notTested,
    }[finding.value];
    return [grade(x, 416, arrow, finding.value !== 'flexor' && finding.value !== 'not-tested')];
  }
  if (finding.kind === 'superficial' && finding.side !== 'midline' && finding.site in abdominal) {
    const y = abdominal[finding.site as keyof typeof abdominal];
    const sign = { present: '+', reduced: '±', absent: '0', 'not-tested': notTested }[
      finding.value
    ];
    return [
      grade(
        at(finding.side, 18),
        y,
        sign,
        finding.value === 'absent' || finding.value === 'reduced',
      ),
    ];
  }
  return [];
}

function described(findings: readonly Finding[], messages: DrawingMessages['body']): string {
  const told = findings.flatMap(({ kind, site, side, value }): readonly DrawnFinding[] =>
    kind === 'reflex' || kind === 'plantar' || (kind === 'superficial' && site in abdominal)
      ? [{ kind, site, side, value: String(value) }]
      : [],
  );
  return told.length === 0 ? messages.nothing : messages.found(told);
}
