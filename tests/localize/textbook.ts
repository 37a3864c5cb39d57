import type { Finding, Lateral } from '../../src/exam/index.ts';
import { mirror } from '../../src/exam/index.ts';

/**
 * Two simpler ways to localize, to be measured beside the real one: a look-up in the textbook's lists
 * of expected signs, and naive Bayes over the same lists. Neither knows anatomy, severity or pairs.
 *
 * Lists after the patterns of standard works (pattern tables after Brazis, DeJong and Blumenfeld, from Brazis, DeJong and Blumenfeld).
 * `w` weak, `d` reflex down, `u` reflex up, `n` numb to anything, `p` numb to pain, `v` numb to
 * vibration or joint sense, `x` extensor plantar, `c` clonus, `+` a sign present, `s` spastic,
 * `a` bulk wasted or fasciculation, `h` history. `*` before a letter: on both sides.
 */
const lists: Readonly<Record<string, string>> = {
  hemisphere:
    'w:arm w:leg u:arm u:leg x n:hemibody n:face +facial-weakness-lower +aphasia +neglect +visual-field-loss +pronator-drift s',
  'internal-capsule':
    'w:arm w:leg u:arm u:leg x +facial-weakness-lower +dysarthria +pronator-drift s',
  'brainstem:midbrain': 'w:arm w:leg u:arm u:leg x +facial-weakness-lower !ptosis',
  'brainstem:pons': 'w:arm w:leg u:arm u:leg x !facial-weakness-whole +gaze-palsy',
  'brainstem:medulla':
    'p:hemibody !horner !face +dysarthria h:dysphagia +tongue-wasting w:arm w:leg',
  cerebellum: '+ataxia +dysarthria',
  'cord:C4:complete':
    '*w:arm *w:leg *u:arm *u:leg *x *+hoffmann h:neck-pain *n:level-C4 *s *v:great-toe',
  'cord:C5:complete':
    '*w:arm *w:leg *d:biceps *d:brachioradialis *u:triceps *u:leg *x *+hoffmann h:neck-pain *s',
  'cord:C7:complete':
    '*w:elbow-extension *w:finger-abduction *w:finger-flexion *w:leg *d:triceps *u:finger-flexor *u:leg *x h:neck-pain *s',
  'cord:T4:complete': '*w:leg *u:leg *x *c *n:level-T4 *v:great-toe h:bladder-bowel *s',
  'cord:T8:complete': '*w:leg *u:leg *x *c *n:level-T8 *v:great-toe h:bladder-bowel *s',
  'cord:T10:complete': '*w:leg *u:leg *x *c *n:level-T10 *v:great-toe h:bladder-bowel *s',
  'cord:T8:hemi': 'w:leg u:leg x v:great-toe ~p:level-T8 ~p:leg s',
  'cord:C6:hemi': 'w:arm w:leg u:leg x v:great-toe ~p:hemibody ~p:leg d:triceps s',
  'cord:C5:central': '*w:arm *d:arm *p:cape *u:leg *x *a:finger-abduction',
  'cord:C8:central': '*w:finger-abduction *a:finger-abduction *p:cape *d:arm *u:leg +horner',
  'cord:T8:anterior': '*w:leg *p:level-T8 *d:leg h:bladder-bowel *x',
  'cord:T8:posterolateral':
    '*v:great-toe *v:stocking *x *u:patellar *d:achilles +romberg h:b12-deficiency h:nitrous-oxide',
  conus: '*n:saddle *d:achilles h:bladder-bowel *+anal',
  'cauda-equina':
    '*n:saddle *d:achilles *d:patellar *w:leg *+straight-leg-raise h:bladder-bowel h:back-pain',
  'motor-neuron':
    '*w:arm *w:leg *u:arm *u:leg *x *a:arm *a:leg +tongue-wasting +tongue-fasciculation +jaw',
  'anterior-horn': 'w:leg w:arm a:leg a:arm d:leg d:arm',
  'root:C5':
    'w:shoulder-abduction w:shoulder-external-rotation w:elbow-flexion d:biceps n:lateral-arm n:C5 h:neck-pain +spurling',
  'root:C6':
    'w:elbow-flexion w:wrist-extension w:forearm-pronation w:brachioradialis d:biceps d:brachioradialis n:thumb n:lateral-forearm n:C6 h:neck-pain +spurling',
  'root:C7':
    'w:elbow-extension w:wrist-flexion w:finger-extension w:forearm-pronation d:triceps n:middle-finger n:C7 h:neck-pain +spurling',
  'root:C8':
    'w:finger-flexion w:finger-abduction w:thumb-flexion w:finger-extension n:little-finger n:medial-forearm n:C8 d:finger-flexor h:neck-pain',
  'root:T1': 'w:finger-abduction w:thumb-abduction n:medial-forearm n:T1 +horner',
  'root:L2': 'w:hip-flexion n:anterior-thigh n:L2 h:back-pain',
  'root:L3':
    'w:hip-flexion w:knee-extension w:hip-adduction d:patellar d:adductor n:anterior-thigh n:L3 +femoral-stretch h:back-pain',
  'root:L4':
    'w:knee-extension w:hip-adduction w:ankle-dorsiflexion d:patellar n:medial-leg n:L4 h:back-pain',
  'root:L5':
    'w:great-toe-extension w:ankle-dorsiflexion w:ankle-inversion w:ankle-eversion w:hip-abduction d:medial-hamstring n:lateral-leg n:dorsum-of-foot n:great-toe n:L5 +straight-leg-raise h:back-pain',
  'root:S1':
    'w:ankle-plantarflexion w:hip-extension w:toe-flexion w:knee-flexion d:achilles d:lateral-hamstring n:lateral-foot n:sole n:S1 +straight-leg-raise h:back-pain',
  'plexus:brachial-upper-trunk':
    'w:shoulder-abduction w:shoulder-external-rotation w:elbow-flexion w:brachioradialis d:biceps d:brachioradialis n:lateral-arm n:lateral-forearm',
  'plexus:brachial-middle-trunk':
    'w:elbow-extension w:finger-extension w:wrist-flexion d:triceps n:middle-finger',
  'plexus:brachial-lower-trunk':
    'w:finger-abduction w:thumb-abduction w:finger-flexion w:thumb-flexion d:finger-flexor n:little-finger n:medial-forearm +horner',
  'plexus:lumbar':
    'w:knee-extension w:hip-flexion w:hip-adduction d:patellar d:adductor n:anterior-thigh h:diabetes',
  'plexus:sacral':
    'w:hip-extension w:hip-abduction w:knee-flexion w:ankle-dorsiflexion w:ankle-plantarflexion d:achilles n:sole n:lateral-foot',
  'nerve:axillary': 'w:shoulder-abduction n:lateral-arm',
  'nerve:musculocutaneous': 'w:elbow-flexion d:biceps n:lateral-forearm',
  'nerve:suprascapular': 'w:shoulder-external-rotation a:shoulder-external-rotation',
  'nerve:long-thoracic': 'w:scapular-protraction +scapular-winging',
  'nerve:radial-axilla':
    'w:elbow-extension w:brachioradialis w:wrist-extension w:finger-extension d:triceps d:brachioradialis n:dorsum-of-hand',
  'nerve:radial-spiral-groove':
    'w:brachioradialis w:wrist-extension w:finger-extension d:brachioradialis n:dorsum-of-hand',
  'nerve:posterior-interosseous': 'w:finger-extension',
  'nerve:median-elbow':
    'w:forearm-pronation w:thumb-flexion w:finger-flexion w:thumb-abduction w:wrist-flexion n:thumb n:middle-finger n:palm',
  'nerve:anterior-interosseous': 'w:thumb-flexion w:finger-flexion',
  'nerve:median-wrist':
    'w:thumb-abduction a:thumb-abduction n:thumb n:middle-finger +tinel-wrist +phalen',
  'nerve:ulnar-elbow':
    'w:finger-abduction w:thumb-adduction w:finger-flexion w:wrist-flexion n:little-finger n:dorsum-of-hand +tinel-elbow a:finger-abduction',
  'nerve:ulnar-wrist': 'w:finger-abduction w:thumb-adduction a:finger-abduction',
  'nerve:femoral': 'w:knee-extension w:hip-flexion d:patellar n:anterior-thigh n:medial-leg',
  'nerve:lateral-femoral-cutaneous': 'n:lateral-thigh',
  'nerve:obturator': 'w:hip-adduction d:adductor n:medial-thigh',
  'nerve:sciatic':
    'w:knee-flexion w:ankle-dorsiflexion w:ankle-plantarflexion w:ankle-eversion w:ankle-inversion w:great-toe-extension w:toe-flexion d:achilles d:medial-hamstring n:lateral-leg n:dorsum-of-foot n:sole',
  'nerve:tibial': 'w:ankle-plantarflexion w:ankle-inversion w:toe-flexion d:achilles n:sole',
  'nerve:common-fibular':
    'w:ankle-dorsiflexion w:great-toe-extension w:ankle-eversion w:toe-extension n:lateral-leg n:dorsum-of-foot n:first-web-space +tinel-fibular-neck',
  'nerve:deep-fibular':
    'w:ankle-dorsiflexion w:great-toe-extension w:toe-extension n:first-web-space',
  'nerve:superficial-fibular': 'w:ankle-eversion n:dorsum-of-foot',
  'polyneuropathy:length-dependent':
    '*d:achilles *d:patellar *w:great-toe-extension *w:ankle-dorsiflexion *n:stocking *n:glove *v:great-toe h:diabetes h:alcohol',
  'polyneuropathy:demyelinating':
    '*d:arm *d:leg *w:arm *w:leg *v:great-toe *+facial-weakness-whole h:recent-infection',
  'junction:postsynaptic':
    '*+ptosis +fatigable-weakness *w:shoulder-abduction +neck h:dysphagia +dysarthria',
  'junction:presynaptic':
    '*w:hip-flexion *w:shoulder-abduction *d:arm *d:leg +post-effort-facilitation',
  'muscle:proximal': '*w:hip-flexion *w:hip-abduction *w:hip-extension *w:shoulder-abduction +neck',
  'systemic:hypermagnesaemia': '*d:arm *d:leg *w:arm *w:leg h:magnesium-infusion',
  'systemic:hypothyroid': 'h:thyroid-low *q:achilles *w:hip-flexion',
  'systemic:hyperthyroid': 'h:thyroid-high *u:arm *u:leg',
  'systemic:hypocalcaemia': 'h:calcium-low *u:arm *u:leg',
  'no-lesion': '',
};

const arm = new Set([
  'shoulder-abduction',
  'shoulder-adduction',
  'shoulder-external-rotation',
  'elbow-flexion',
  'brachioradialis',
  'elbow-extension',
  'forearm-pronation',
  'wrist-extension',
  'wrist-flexion',
  'finger-extension',
  'finger-flexion',
  'thumb-flexion',
  'thumb-abduction',
  'thumb-adduction',
  'finger-abduction',
  'biceps',
  'triceps',
  'finger-flexor',
  'deltoid',
  'pectoralis',
]);

/** A finding as letter and place; undefined when it has no place in such a list. */
function token(
  f: Finding,
): { letters: readonly string[]; places: readonly string[]; abnormal: boolean } | undefined {
  const limb = arm.has(f.site) ? 'arm' : 'leg';
  const at = [f.site as string, limb];
  switch (f.kind) {
    case 'strength':
      return {
        letters: f.site.startsWith('neck') ? ['+'] : ['w'],
        places: f.site.startsWith('neck') ? ['neck'] : at,
        abnormal: f.value !== '5',
      };
    case 'reflex':
      if (f.site === 'jaw')
        return { letters: ['+'], places: ['jaw'], abnormal: f.value === '3+' || f.value === '4+' };
      if (f.qualifiers?.includes('delayed-relaxation'))
        return { letters: ['q'], places: at, abnormal: true };
      return {
        letters:
          f.value === '2+' ? ['d', 'u'] : f.value === '3+' || f.value === '4+' ? ['u'] : ['d'],
        places: at,
        abnormal: f.value !== '2+',
      };
    case 'plantar':
      return { letters: ['x'], places: [''], abnormal: f.value === 'extensor' };
    case 'clonus':
      return { letters: ['c'], places: [''], abnormal: f.value !== 'absent' };
    case 'tone':
      return { letters: ['s'], places: [''], abnormal: f.value === 'spastic' };
    case 'bulk':
    case 'fasciculation':
      return {
        letters: ['a'],
        places: at,
        abnormal: f.value === 'wasted' || f.value === 'present',
      };
    case 'sensation': {
      const deep = f.modality === 'vibration' || f.modality === 'joint-position';
      const pain = f.modality === 'pinprick' || f.modality === 'temperature';
      const letters = deep ? ['v'] : pain ? ['n', 'p'] : ['n'];
      return { letters, places: [f.site, 'leg'], abnormal: f.value !== 'normal' };
    }
    case 'sign':
      return { letters: ['+', '!'], places: [f.site], abnormal: f.value === 'present' };
    case 'superficial':
      return f.site === 'anal'
        ? { letters: ['+'], places: ['anal'], abnormal: f.value === 'absent' }
        : undefined;
    case 'coordination':
      return { letters: ['+'], places: ['ataxia'], abnormal: f.value === 'impaired' };
    case 'context':
      return f.site === 'age' || f.site === 'onset'
        ? undefined
        : { letters: ['h'], places: [f.site], abnormal: f.value === 'present' };
    default:
      return undefined;
  }
}

interface Expectation {
  readonly site: string;
  readonly side: string;
  /** Whether a finding is on the list of this site and side. */
  expects(f: Finding): boolean;
}

const crossed = new Set([
  'hemisphere',
  'internal-capsule',
  'brainstem:midbrain',
  'brainstem:pons',
  'brainstem:medulla',
]);

function expectations(): readonly Expectation[] {
  return Object.entries(lists).flatMap(([site, list]) => {
    const entries = list.split(' ').filter(Boolean);
    const symmetric = entries.some((e) => e.startsWith('*')) || site === 'no-lesion';
    const sides = site === 'no-lesion' ? ['none'] : symmetric ? ['both'] : ['left', 'right'];
    return sides.map((side) => ({
      site,
      side,
      expects: (f: Finding) => {
        const t = token(f);
        if (t === undefined) return false;
        return entries.some((raw) => {
          const opposite = raw.startsWith('~');
          const entry = raw.replace(/^[*~]/, '');
          const letter = entry[0] ?? '';
          const place = entry.slice(1).replace(/^:/, '');
          if (!t.letters.includes(letter) || !t.places.includes(place)) return false;
          if (side === 'both' || f.side === 'midline') return true;
          const body =
            crossed.has(site) && letter !== '!' ? mirror(side as Lateral) : (side as Lateral);
          return f.side === (opposite ? mirror(body) : body);
        });
      },
    }));
  });
}

const known = expectations();
export interface Ranked {
  readonly site: string;
  readonly side: string;
  readonly score: number;
}

/** Sites by how many abnormal findings are on their list, less those that are not and less what is missing. */
export function byLookUp(findings: readonly Finding[]): readonly Ranked[] {
  return known
    .map(({ site, side, expects }) => {
      let score = 0;
      for (const f of findings) {
        const abnormal = token(f)?.abnormal ?? false;
        const on = expects(f);
        if (abnormal) score += on ? 1 : -0.5;
        else if (on) score -= 0.25;
      }
      return { site, side, score };
    })
    .sort((a, b) => b.score - a.score);
}

/** Share of the listed signs that are present, and of unlisted ones, set once and the same for all. */
const listed = 0.7;
const unlisted = 0.05;

/** Naive Bayes over the same lists: every finding independent, all sites equally likely before. */
export function byNaiveBayes(findings: readonly Finding[]): readonly Ranked[] {
  return known
    .map(({ site, side, expects }) => {
      let score = 0;
      for (const f of findings) {
        const t = token(f);
        if (t === undefined) continue;
        const p = expects(f) ? listed : unlisted;
        score += Math.log(t.abnormal ? p : 1 - p);
      }
      return { site, side, score };
    })
    .sort((a, b) => b.score - a.score);
}
