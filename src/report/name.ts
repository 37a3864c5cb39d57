import type {
  ClonusSite,
  ContextSite,
  Finding,
  Kind,
  Modality,
  Movement,
  ReflexQualifier,
  ReflexSite,
  Side,
  SignSite,
  SkinDistribution,
  SkinRegion,
  SuperficialSite,
} from '../exam/index.ts';

/** Names as an examiner writes them in a note, English. Wording is common clinical usage, from memory. */

export const kindNames: Readonly<Record<Kind, string>> = {
  reflex: 'tendon reflex',
  clonus: 'clonus',
  plantar: 'plantar response',
  sign: 'sign',
  superficial: 'superficial reflex',
  strength: 'strength',
  tone: 'tone',
  bulk: 'muscle bulk',
  fasciculation: 'fasciculation',
  sensation: 'sensation',
  coordination: 'coordination',
  gait: 'gait',
  context: 'context',
};

export const sideNames: Readonly<Record<Side, string>> = {
  left: 'left',
  right: 'right',
  midline: 'midline',
};

export const modalityNames: Readonly<Record<Modality, string>> = {
  'light-touch': 'light touch',
  pinprick: 'pinprick',
  temperature: 'temperature',
  vibration: 'vibration',
  'joint-position': 'joint position',
};

export const qualifierNames: Readonly<Record<ReflexQualifier, string>> = {
  trace: 'trace',
  'with-reinforcement': 'with reinforcement',
  pendular: 'pendular',
  'delayed-relaxation': 'delayed relaxation',
  crossed: 'crossed',
  spread: 'spread',
  inverted: 'inverted',
};

export const reflexNames: Readonly<Record<ReflexSite, string>> = {
  jaw: 'jaw',
  deltoid: 'deltoid',
  pectoralis: 'pectoralis',
  biceps: 'biceps',
  brachioradialis: 'brachioradialis',
  triceps: 'triceps',
  'finger-flexor': 'finger flexor',
  adductor: 'adductor',
  patellar: 'patellar',
  'medial-hamstring': 'medial hamstring',
  'lateral-hamstring': 'lateral hamstring',
  achilles: 'Achilles',
};

export const clonusNames: Readonly<Record<ClonusSite, string>> = {
  ankle: 'ankle',
  patellar: 'patellar',
  wrist: 'wrist',
};

export const signNames: Readonly<Record<SignSite, string>> = {
  hoffmann: 'Hoffmann sign',
  tromner: 'Trömner sign',
  romberg: 'Romberg sign',
  'pronator-drift': 'pronator drift',
  'straight-leg-raise': 'straight leg raise',
  'femoral-stretch': 'femoral stretch test',
  spurling: 'Spurling test',
  lhermitte: 'Lhermitte sign',
  'finger-escape': 'finger escape sign',
  palmomental: 'palmomental reflex',
  grasp: 'grasp reflex',
  snout: 'snout reflex',
  glabellar: 'glabellar tap sign',
  'scapular-winging': 'scapular winging',
  'tinel-wrist': 'Tinel sign at the wrist',
  'tinel-elbow': 'Tinel sign at the elbow',
  'tinel-fibular-neck': 'Tinel sign at the fibular neck',
  phalen: 'Phalen test',
  'facial-weakness-lower': 'lower facial weakness',
  'facial-weakness-whole': 'facial weakness, forehead included',
  ptosis: 'ptosis',
  horner: 'Horner syndrome',
  dysarthria: 'dysarthria',
  'fatigable-weakness': 'fatigable weakness',
  'post-effort-facilitation': 'facilitation after effort',
  'tongue-wasting': 'tongue wasting',
  'tongue-fasciculation': 'tongue fasciculation',
  'gaze-palsy': 'gaze palsy',
  'visual-field-loss': 'visual field loss',
  aphasia: 'aphasia',
  neglect: 'neglect',
};

export const superficialNames: Readonly<Record<SuperficialSite, string>> = {
  'abdominal-upper': 'upper abdominal',
  'abdominal-lower': 'lower abdominal',
  cremasteric: 'cremasteric',
  anal: 'anal',
  bulbocavernosus: 'bulbocavernosus',
};

export type Region = 'neck' | 'upper limb' | 'lower limb';

/** Movements with the muscle that mainly does them, and the region a strength table puts them in. */
export const movementNames: Readonly<
  Record<Movement, { readonly name: string; readonly muscle: string; readonly region: Region }>
> = {
  'neck-flexion': { name: 'neck flexion', muscle: 'neck flexors', region: 'neck' },
  'neck-extension': { name: 'neck extension', muscle: 'neck extensors', region: 'neck' },
  'shoulder-shrug': { name: 'shoulder shrug', muscle: 'trapezius', region: 'upper limb' },
  'shoulder-abduction': { name: 'shoulder abduction', muscle: 'deltoid', region: 'upper limb' },
  'shoulder-adduction': {
    name: 'shoulder adduction',
    muscle: 'pectoralis, latissimus',
    region: 'upper limb',
  },
  'shoulder-external-rotation': {
    name: 'shoulder external rotation',
    muscle: 'infraspinatus',
    region: 'upper limb',
  },
  'scapular-protraction': {
    name: 'scapular protraction',
    muscle: 'serratus anterior',
    region: 'upper limb',
  },
  'elbow-flexion': { name: 'elbow flexion', muscle: 'biceps', region: 'upper limb' },
  brachioradialis: {
    name: 'elbow flexion, mid-prone',
    muscle: 'brachioradialis',
    region: 'upper limb',
  },
  'elbow-extension': { name: 'elbow extension', muscle: 'triceps', region: 'upper limb' },
  'forearm-pronation': {
    name: 'forearm pronation',
    muscle: 'pronator teres',
    region: 'upper limb',
  },
  'wrist-extension': {
    name: 'wrist extension',
    muscle: 'extensor carpi radialis',
    region: 'upper limb',
  },
  'wrist-flexion': {
    name: 'wrist flexion',
    muscle: 'flexor carpi radialis and ulnaris',
    region: 'upper limb',
  },
  'finger-extension': {
    name: 'finger extension',
    muscle: 'extensor digitorum',
    region: 'upper limb',
  },
  'finger-flexion': {
    name: 'finger flexion',
    muscle: 'flexor digitorum profundus',
    region: 'upper limb',
  },
  'thumb-flexion': {
    name: 'thumb flexion',
    muscle: 'flexor pollicis longus',
    region: 'upper limb',
  },
  'thumb-abduction': {
    name: 'thumb abduction',
    muscle: 'abductor pollicis brevis',
    region: 'upper limb',
  },
  'thumb-adduction': {
    name: 'thumb adduction',
    muscle: 'adductor pollicis',
    region: 'upper limb',
  },
  'finger-abduction': {
    name: 'finger abduction',
    muscle: 'dorsal interossei',
    region: 'upper limb',
  },
  'hip-flexion': { name: 'hip flexion', muscle: 'iliopsoas', region: 'lower limb' },
  'hip-extension': { name: 'hip extension', muscle: 'gluteus maximus', region: 'lower limb' },
  'hip-abduction': { name: 'hip abduction', muscle: 'gluteus medius', region: 'lower limb' },
  'hip-adduction': { name: 'hip adduction', muscle: 'adductors', region: 'lower limb' },
  'knee-extension': { name: 'knee extension', muscle: 'quadriceps', region: 'lower limb' },
  'knee-flexion': { name: 'knee flexion', muscle: 'hamstrings', region: 'lower limb' },
  'ankle-dorsiflexion': {
    name: 'ankle dorsiflexion',
    muscle: 'tibialis anterior',
    region: 'lower limb',
  },
  'ankle-plantarflexion': {
    name: 'ankle plantarflexion',
    muscle: 'gastrocnemius, soleus',
    region: 'lower limb',
  },
  'ankle-inversion': {
    name: 'ankle inversion',
    muscle: 'tibialis posterior',
    region: 'lower limb',
  },
  'ankle-eversion': { name: 'ankle eversion', muscle: 'fibularis', region: 'lower limb' },
  'great-toe-extension': {
    name: 'great toe extension',
    muscle: 'extensor hallucis longus',
    region: 'lower limb',
  },
  'toe-extension': {
    name: 'toe extension',
    muscle: 'extensor digitorum longus',
    region: 'lower limb',
  },
  'toe-flexion': { name: 'toe flexion', muscle: 'flexor digitorum longus', region: 'lower limb' },
};

export const bodyPartNames = {
  'upper-limb': 'upper limb',
  'lower-limb': 'lower limb',
  trunk: 'trunk',
} as const;

export const skinNames: Readonly<Record<SkinRegion | SkinDistribution, string>> = {
  face: 'face',
  thumb: 'thumb',
  'middle-finger': 'middle finger',
  'little-finger': 'little finger',
  palm: 'palm',
  'dorsum-of-hand': 'dorsum of the hand',
  'lateral-arm': 'lateral arm',
  'medial-forearm': 'medial forearm',
  'lateral-forearm': 'lateral forearm',
  trunk: 'trunk',
  'anterior-thigh': 'anterior thigh',
  'lateral-thigh': 'lateral thigh',
  'medial-thigh': 'medial thigh',
  'medial-leg': 'medial leg',
  'lateral-leg': 'lateral leg',
  'dorsum-of-foot': 'dorsum of the foot',
  'lateral-foot': 'lateral foot',
  'first-web-space': 'first web space',
  sole: 'sole',
  'great-toe': 'great toe',
  saddle: 'saddle area',
  stocking: 'stocking distribution',
  glove: 'glove distribution',
  'whole-upper-limb': 'whole upper limb',
  'whole-lower-limb': 'whole lower limb',
  hemibody: 'half of the body',
  cape: 'cape distribution',
};

export const contextNames: Readonly<Record<ContextSite, string>> = {
  age: 'age',
  onset: 'onset',
  diabetes: 'diabetes',
  'thyroid-low': 'low thyroid',
  'thyroid-high': 'thyroid excess',
  'magnesium-infusion': 'magnesium infusion',
  'calcium-low': 'low calcium',
  'b12-deficiency': 'vitamin B12 deficiency',
  'copper-deficiency': 'copper deficiency',
  'nitrous-oxide': 'nitrous oxide use',
  'recent-infection': 'recent infection',
  alcohol: 'alcohol excess',
  'neck-pain': 'neck pain',
  'back-pain': 'back pain',
  'bladder-bowel': 'bladder or bowel trouble',
  'respiratory-difficulty': 'difficulty breathing',
  dysphagia: 'difficulty swallowing',
};

function skinName(site: string): string {
  if (Object.hasOwn(skinNames, site)) return skinNames[site as SkinRegion];
  return site.startsWith('level-') ? `level ${site.slice(6)} and below` : `${site} dermatome`;
}

/** Where a finding was made, without its kind and side: "patellar", "L5 dermatome", "hip flexion". */
export function siteName(finding: Finding): string {
  switch (finding.kind) {
    case 'reflex':
      return reflexNames[finding.site];
    case 'clonus':
      return clonusNames[finding.site];
    case 'plantar':
      return 'foot';
    case 'sign':
      return signNames[finding.site];
    case 'superficial':
      return superficialNames[finding.site];
    case 'strength':
    case 'bulk':
    case 'fasciculation':
      return movementNames[finding.site].name;
    case 'tone':
    case 'coordination':
      return bodyPartNames[finding.site];
    case 'sensation':
      return skinName(finding.site);
    case 'gait':
      return 'gait';
    case 'context':
      return contextNames[finding.site];
    default:
      return finding satisfies never;
  }
}

/** What was examined, without the side: "patellar reflex", "pinprick, L5 dermatome". */
export function itemTitle(finding: Finding): string {
  const site = siteName(finding);
  switch (finding.kind) {
    case 'reflex':
    case 'superficial':
      return `${site} reflex`;
    case 'clonus':
      return `${site} clonus`;
    case 'plantar':
      return 'plantar response';
    case 'sign':
    case 'gait':
    case 'context':
      return site;
    case 'strength':
      return `${site} strength`;
    case 'tone':
      return `${site} tone`;
    case 'bulk':
      return `bulk, ${movementNames[finding.site].muscle} (${site})`;
    case 'fasciculation':
      return `fasciculation, ${movementNames[finding.site].muscle} (${site})`;
    case 'sensation':
      return `${modalityNames[finding.modality]}, ${site}`;
    case 'coordination':
      return `${site} coordination`;
    default:
      return finding satisfies never;
  }
}

/** What was found: "3+ (with reinforcement)", "unsustained, 4 beats", "54 years", "not tested". */
export function valueText(finding: Finding): string {
  if (finding.value === 'not-tested') return 'not tested';
  if (finding.kind === 'context' && finding.site === 'age') {
    return `${finding.value} ${finding.value === 1 ? 'year' : 'years'}`;
  }
  const value = String(finding.value);
  if (finding.kind === 'reflex' && finding.qualifiers !== undefined && finding.qualifiers.length) {
    return `${value} (${finding.qualifiers.map((q) => qualifierNames[q]).join(', ')})`;
  }
  if (finding.kind === 'clonus' && finding.beats !== undefined) {
    return `${value}, ${finding.beats} ${finding.beats === 1 ? 'beat' : 'beats'}`;
  }
  return value;
}

/** One finding in full, side first: "left patellar reflex: 3+". The midline goes without saying. */
export function findingLine(finding: Finding): string {
  const side = finding.side === 'midline' ? '' : `${sideNames[finding.side]} `;
  return `${side}${itemTitle(finding)}: ${valueText(finding)}`;
}
