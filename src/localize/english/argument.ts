import { nerves } from '../../anatomy/index.ts';
import type { CordPattern, Focus, Lesion, LesionPlexus } from '../lesion.ts';
import type { LocalizeMessages } from '../messages/argument.ts';
import { placesEnglish } from './places.ts';

const whole = new Intl.NumberFormat('en', { maximumFractionDigits: 0 });
const percent = (share: number): string => `${whole.format(share * 100)} %`;

const patterns: Readonly<Record<CordPattern, string>> = {
  complete: 'the whole cord across',
  hemi: 'one half of the cord',
  central: 'centre of the cord',
  anterior: 'front of the cord',
  posterolateral: 'posterior and lateral columns',
};

const plexuses: Readonly<Record<LesionPlexus, string>> = {
  'brachial-upper-trunk': 'upper trunk of the brachial plexus',
  'brachial-middle-trunk': 'middle trunk of the brachial plexus',
  'brachial-lower-trunk': 'lower trunk of the brachial plexus',
  lumbar: 'lumbar plexus',
  sacral: 'sacral plexus',
};

function focusName(focus: Focus): string {
  switch (focus.group) {
    case 'no-lesion':
      return 'no lesion: normal, or variation within normal';
    case 'hemisphere':
      return 'cerebral hemisphere';
    case 'internal-capsule':
      return 'internal capsule';
    case 'cerebellum':
      return 'cerebellum';
    case 'brainstem':
      return focus.place;
    case 'cord':
      return `spinal cord at ${focus.level}, ${patterns[focus.pattern]}`;
    case 'conus':
      return 'conus medullaris';
    case 'cauda-equina':
      return 'cauda equina';
    case 'motor-neuron':
      return 'upper and lower motor neurons (motor neuron disease)';
    case 'anterior-horn':
      return 'anterior horn cells';
    case 'root':
      return `${focus.level} root`;
    case 'plexus':
      return plexuses[focus.place];
    case 'nerve':
      return nerves[focus.place].name;
    case 'polyneuropathy':
      return focus.place === 'length-dependent'
        ? 'length-dependent polyneuropathy'
        : 'demyelinating polyradiculoneuropathy';
    case 'junction':
      return focus.place === 'postsynaptic'
        ? 'neuromuscular junction, postsynaptic (myasthenic)'
        : 'neuromuscular junction, presynaptic (Lambert-Eaton, botulism)';
    case 'muscle':
      return 'proximal muscle disease';
    case 'systemic':
      return {
        hypermagnesaemia: 'raised magnesium',
        hypothyroid: 'low thyroid',
        hyperthyroid: 'high thyroid',
        hypocalcaemia: 'low calcium',
      }[focus.place];
  }
}

/** Diseases, not places: said without an article. */
const articleFree: ReadonlySet<string> = new Set(['polyneuropathy', 'muscle', 'systemic']);
const short = (lesion: Lesion): string => {
  const { focus } = lesion;
  if (focus.group === 'cord') return `the cord at ${focus.level}`;
  if (focus.group === 'root') return `the ${focus.level} root`;
  if (focus.group === 'motor-neuron') return 'motor neuron disease';
  if (focus.group === 'junction') {
    return focus.place === 'postsynaptic'
      ? 'a myasthenic junction'
      : 'a presynaptic junction disease';
  }
  if (articleFree.has(focus.group)) return focusName(focus);
  return `the ${focusName(focus)}`;
};

const diseases: ReadonlySet<string> = new Set([...articleFree, 'motor-neuron', 'junction']);
/** A place is not to blame, a lesion of it is; a disease is. */
const blamed = (lesion: Lesion): string => {
  const { group } = lesion.focus;
  if (diseases.has(group)) return short(lesion);
  return `${group === 'anterior-horn' ? 'disease' : 'a lesion'} of ${short(lesion)}`;
};
/** "with a lesion of the L5 root", "in healthy people". */
const company = (lesion: Lesion): string =>
  lesion.focus.group === 'no-lesion' ? 'in healthy people' : `with ${blamed(lesion)}`;

/** What a lesion would have done, said of something that was found normal. */
const missed =
  (what: string) =>
  (lesion: Lesion): string =>
    `${what} would be expected ${company(lesion)}`;

const advised = (text: string): string =>
  `${text} Judge with the patient in front of you and follow local guidance.`;

/** "sudden", "sudden or days", "sudden, days or weeks". */
const anyOf = (values: readonly string[]): string =>
  [values.slice(0, -1).join(', '), ...values.slice(-1)].filter((part) => part !== '').join(' or ');

/** What the reasoning says, in English. Nerves, arcs and skin are named in anatomy/. */
export const argumentEnglish: LocalizeMessages = {
  places: placesEnglish,
  focus: focusName,
  sided: (name, side) => `${name}, ${side === 'both' ? 'both sides' : side}`,
  candidate: (names) => {
    const name = names.join(' with ');
    return name.charAt(0).toUpperCase() + name.slice(1);
  },
  reason: (findings, why, several) =>
    `${findings}: ${several ? why.replace(/\bits\b/g, 'their').replace(/\bit\b/g, 'them') : why}`,
  text: {
    nothing: 'Nothing was examined that could localize.',
    enough:
      'Enough is known to tell these sites apart: no single bedside test would be expected to change the first one.',
    exhausted:
      'No single bedside test would be expected to tell these sites further apart; what is left open needs other means.',
    briskAlike:
      'Reflexes brisk alike everywhere, with nothing else abnormal, may be normal; thyroid, calcium and medicines are worth a question.',
    lowAlike:
      'Reflexes low alike everywhere, with nothing else abnormal, may be normal; try reinforcement, and think of thyroid and magnesium.',
    noSite: 'No site stands out yet; the proposed tests would help most.',
  },
  why: {
    normal: 'normal',
    healthy: 'within what healthy people show',
    moreThanHealthy: 'more than variation within normal',
    lostAbove: 'control from above is lost on both sides',
    slack: 'an acute lesion above may leave the limb slack',
    released: 'released from above: the descending control is lost',
    tractCut: 'the corticospinal tract is cut above S1',
    toesOrArc: 'the toes cannot answer, or the arc is cut',
    arcAtLevel: 'its arc lies at the level of the lesion',
    belowOrAtSegment: 'lost below a cut of the descending tract or at its segment',
    upperNeuronsLost: 'the upper motor neurons are lost',
    tractCutAbove: 'its corticospinal tract is cut above',
    hornAtLevel: 'its anterior horn cells lie at the level of the lesion',
    hornLost: 'its anterior horn cells are lost',
    rootsInCauda: 'its roots run in the cauda equina',
    longestWeaken: 'the longest nerves weaken first',
    arcAtLevelOrShock: 'its arc lies at the level of the lesion, or the cord is in shock',
    acuteLow: 'an acute lesion above may leave reflexes low',
    arcHornLost: 'the anterior horn cells of its arc are lost',
    longestArcs: 'the longest arcs are lost first',
    lostWithMyelin: 'reflexes are lost early where nerve and root lose their myelin',
    dorsalColumn: 'the dorsal column of the same side is cut at the level',
    painWhereCrossing: 'pain and temperature fibres are cut where they cross',
    painCrossed: 'pain and temperature have crossed and are cut at the level',
    segmentsInConus: 'its segments lie in the conus',
    longestFibres: 'the longest fibres go first',
    lumbosacralRoots: 'the lumbosacral roots together',
  },
  whyOf: {
    expected: (lesion) => `expected ${company(lesion)}`,
    usual: (lesion) => `usual ${company(lesion)}`,
    unusual: (lesion) => `unusual ${company(lesion)}`,
    common: (lesion) => `common ${company(lesion)}`,
    notUsual: (lesion) => `not usual ${company(lesion)}`,
    arcThrough: (lesion) => `its arc runs through ${short(lesion)}`,
    suppliedThrough: (lesion) => `supplied through ${short(lesion)}`,
    tractThrough: (lesion) => `its corticospinal tract runs through ${short(lesion)}`,
    changesAlike: (lesion) => `reflexes change alike everywhere with ${short(lesion)}`,
    skinOf: (lesion) => `skin of ${short(lesion)}`,
    skinBeyond: (lesion) => `skin beyond ${short(lesion)}`,
    pathwayThrough: (lesion) => `its pathway runs through ${short(lesion)}`,
    spared: (lesion) => `spared, as ${blamed(lesion)} would leave it`,
    cannotRelease: (lesion) => {
      const { group } = lesion.focus;
      const what = group === 'root' ? 'a root' : group === 'nerve' ? 'a nerve' : blamed(lesion);
      return `${what} cannot release a reflex or raise the toe; that takes a lesion above`;
    },
    notAccounted: (lesion) => `not accounted for by ${blamed(lesion)}`,
    onArc: (lesion) => `${short(lesion)} is on its arc, but it may have been so before`,
    shouldWeaken: (lesion) => `${short(lesion)} serves it and should weaken it`,
  },
  whyShare: {
    serves: (lesion, share) => `${short(lesion)} serves it (about ${percent(share)})`,
    suppliedInPart: (lesion, share) =>
      `supplied in part through ${short(lesion)} (about ${percent(share)})`,
    carriesArc: (lesion, share) => `${short(lesion)} carries its arc (about ${percent(share)})`,
    servesOnly: (lesion, share) => `${short(lesion)} serves only about ${percent(share)} of it`,
  },
  whySegments: {
    sparedServedBy: (_lesion, segments) => `spared as expected: served by ${segments.join(', ')}`,
    notWeakened: (lesion, segments) =>
      `not weakened by ${blamed(lesion)}; served by ${segments.join(', ')}`,
    notAccountedArc: (lesion, segments) =>
      `not accounted for by ${blamed(lesion)}; the arc is ${segments.join(', ')}`,
  },
  missed: {
    weakness: missed('weakness'),
    wasting: missed('wasting'),
    briskJaw: missed('a brisk one'),
    briskReflex: missed('a brisk reflex'),
    lowReflex: missed('a low reflex'),
    risingToe: missed('a rising toe'),
    muteResponse: missed('a mute response'),
    feeling: missed('loss of feeling there'),
    loss: missed('its loss'),
    tone: missed('a change of tone'),
    clumsiness: missed('clumsiness'),
    gait: missed('a changed gait'),
    presence: missed('its presence'),
  },
  otherSide: (lesion, finding) =>
    `a lesion on the ${lesion.side} leaves the ${finding.side} side alone`,
  urgent: {
    saddle: advised(
      'Saddle or sphincter findings: compression of the cauda equina or conus cannot wait. Emergency imaging and referral are usual.',
    ),
    sphincter: advised(
      'Bladder or bowel trouble with leg signs: compression of the cord, conus or cauda equina cannot wait. Emergency imaging and referral are usual.',
    ),
    breathingMayFail: advised(
      'Weakness of both sides with low reflexes and breathing, swallowing or facial trouble: breathing may fail. Measure vital capacity and get help now.',
    ),
    climbing: advised(
      'Weakness with lost reflexes that may be climbing: watch breathing (vital capacity), swallowing and pulse.',
    ),
    breathingWeak: advised(
      'Breathing difficulty with weakness: neuromuscular failure of breathing may come without warning. Measure vital capacity.',
    ),
    magnesium: advised(
      'Reflexes are low or lost on magnesium: the level may be becoming too high. Consider stopping the infusion, check breathing and the level, have calcium at hand.',
    ),
    stroke: advised(
      'Sudden onset with signs of a brain lesion: treat as a possible stroke; time matters.',
    ),
    sensoryLevel: advised(
      'A sensory level: the cord may be compressed. Urgent imaging of the whole cord is usual.',
    ),
    cordLegs: advised(
      'Signs of a cord lesion with weak legs: imaging of the cord is needed, urgently where it is new or getting worse.',
    ),
  },
  replaced: (earlier, later) =>
    `${earlier} was recorded before ${later}; only the later one counts. Check which is right.`,
  fitsAcross: (finding, side) => `${finding} would fit the rest on the ${side}; check the side.`,
  fitsNot: (finding) =>
    `${finding} does not fit the other findings; examine it again before relying on either.`,
  fitsSwapped: (left, right) =>
    `${left} and ${right} fit the rest far better the other way round; check the sides.`,
  outcome: (kind, values) =>
    anyOf(values.map((value) => (kind === 'strength' && value === '5' ? '5/5' : value))),
  test: (name, outcomes) =>
    `${name}: ${outcomes.map(({ value, towards }) => `${value} towards ${towards}`).join('; ')}`,
};
