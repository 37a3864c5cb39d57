import { type Finding, type Lateral, mirror } from '../exam/index.ts';
import type { Evidence, Weighed } from './evidence.ts';
import { itemOf, scaleOf } from './item.ts';
import type { LocalizeMessages } from './messages/argument.ts';
import type { Model } from './model.ts';
import { isAbnormal } from './normal.ts';
import { heaviest, type Posterior } from './posterior.ts';
import { asSpoken, chanceIn } from './reason.ts';
import type { Caution } from './result.ts';

/** A finding this improbable beside all the others is worth a second look. */
const unlikely = 0.02;
/** Moved to the other side, it must fit this many times better to be called a likely slip of side. */
const betterBy = 12;
const rowsUsed = 150;

/**
 * Findings that do not fit the rest under any site that the rest makes likely; and among them those
 * that would fit on the other side.
 */
export function slipCautions(
  model: Model,
  posterior: Posterior,
  weighed: Weighed,
  messages: LocalizeMessages,
): readonly Caution[] {
  const words = messages.places.finding;
  const cautions: Caution[] = weighed.replaced.map(({ by, earlier }) => ({
    urgency: 'note',
    text: messages.replaced(words(earlier), words(by)),
    because: [earlier, by],
  }));
  const weights = heaviest(posterior.weights(), rowsUsed);
  const recorded = new Set(weighed.evidence.map(({ finding }) => place(finding)));
  for (const evidence of weighed.evidence) {
    const { finding } = evidence;
    if (finding.kind === 'context' || evidence.item.kind === 'quality') continue;
    let all = 0;
    let rest = 0;
    let swapped = 0;
    // Whether it is weak is asked, not whether it is just that grade.
    const spoken = asSpoken(evidence);
    const moved = movedAcross(evidence);
    const spokenAcross = moved === undefined ? [] : asSpoken(moved);
    const together = (row: number, baseline: number, values: readonly Evidence[]): number =>
      values.reduce((sum, e) => sum + chanceIn(model, row, baseline, e), 0);
    for (const { row, baseline, mass } of weights) {
      const chance = chanceIn(model, row, baseline, evidence);
      all += (mass / chance) * together(row, baseline, spoken);
      rest += mass / chance;
      swapped += (mass / chance) * together(row, baseline, spokenAcross);
    }
    const here = all / rest;
    const across = swapped / rest;
    const free = moved !== undefined && !recorded.has(place(moved.finding));
    if (isAbnormal(finding) && free && across > betterBy * here && here < 0.08) {
      cautions.push({
        urgency: 'note',
        text: messages.fitsAcross(words(finding), moved.finding.side),
        because: [finding],
      });
    } else if (here < unlikely) {
      cautions.push({
        urgency: 'note',
        text: messages.fitsNot(words(finding)),
        because: [finding],
      });
    }
  }
  return [...cautions, ...pairSwaps(model, weights, weighed, messages)];
}

const place = (f: Finding): string =>
  `${f.kind}/${f.site}/${f.side}/${f.kind === 'sensation' ? f.modality : ''}`;

function movedAcross(evidence: Evidence): Evidence | undefined {
  const { finding } = evidence;
  if (finding.side === 'midline') return undefined;
  const moved = { ...finding, side: mirror(finding.side as Lateral) } as Finding;
  const item = itemOf(moved);
  return { finding: moved, item, scale: scaleOf(item), value: evidence.value };
}

/** Left and right of one item that would fit far better the other way round. */
function pairSwaps(
  model: Model,
  weights: readonly { readonly row: number; readonly baseline: number; readonly mass: number }[],
  weighed: Weighed,
  { fitsSwapped, places }: LocalizeMessages,
): readonly Caution[] {
  const cautions: Caution[] = [];
  const byPlace = new Map(weighed.evidence.map((e) => [place(e.finding), e]));
  for (const left of weighed.evidence) {
    if (left.finding.side !== 'left' || left.item.kind === 'quality') continue;
    const right = byPlace.get(place({ ...left.finding, side: 'right' } as Finding));
    if (right === undefined || right.value === left.value) continue;
    const leftMoved = { ...left, value: right.value };
    const rightMoved = { ...right, value: left.value };
    let all = 0;
    let rest = 0;
    let swapped = 0;
    for (const { row, baseline, mass } of weights) {
      const chance = chanceIn(model, row, baseline, left) * chanceIn(model, row, baseline, right);
      all += mass;
      rest += mass / chance;
      swapped +=
        (mass / chance) *
        chanceIn(model, row, baseline, leftMoved) *
        chanceIn(model, row, baseline, rightMoved);
    }
    if (swapped > 25 * all && all / rest < 0.01) {
      cautions.push({
        urgency: 'note',
        text: fitsSwapped(places.finding(left.finding), places.finding(right.finding)),
        because: [left.finding, right.finding],
      });
    }
  }
  return cautions;
}
