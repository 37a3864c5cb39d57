/** Where a finding is made: the stable ids that the whole program and its exports agree on. */

export const reflexSites = [
  'jaw',
  'deltoid',
  'pectoralis',
  'biceps',
  'brachioradialis',
  'triceps',
  'finger-flexor',
  'adductor',
  'patellar',
  'medial-hamstring',
  'lateral-hamstring',
  'achilles',
] as const;

export const reflexQualifiers = [
  'trace',
  'with-reinforcement',
  'pendular',
  'delayed-relaxation',
  'crossed',
  'spread',
  'inverted',
] as const;

export const clonusSites = ['ankle', 'patellar', 'wrist'] as const;
export const plantarSites = ['foot'] as const;

export const signSites = [
  'hoffmann',
  'tromner',
  'romberg',
  'pronator-drift',
  'straight-leg-raise',
  'femoral-stretch',
  'spurling',
  'lhermitte',
  'finger-escape',
  'palmomental',
  'grasp',
  'snout',
  'glabellar',
  'scapular-winging',
  'tinel-wrist',
  'tinel-elbow',
  'tinel-fibular-neck',
  'phalen',
  'facial-weakness-lower',
  'facial-weakness-whole',
  'ptosis',
  'horner',
  'dysarthria',
  'fatigable-weakness',
  'post-effort-facilitation',
  'tongue-wasting',
  'tongue-fasciculation',
  'gaze-palsy',
  'visual-field-loss',
  'aphasia',
  'neglect',
] as const;

export const superficialSites = [
  'abdominal-upper',
  'abdominal-lower',
  'cremasteric',
  'anal',
  'bulbocavernosus',
] as const;

/** Movements: where strength is graded, and where bulk and fasciculation are looked for. */
export const movements = [
  'neck-flexion',
  'neck-extension',
  'shoulder-shrug',
  'shoulder-abduction',
  'shoulder-adduction',
  'shoulder-external-rotation',
  'scapular-protraction',
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
  'hip-flexion',
  'hip-extension',
  'hip-abduction',
  'hip-adduction',
  'knee-extension',
  'knee-flexion',
  'ankle-dorsiflexion',
  'ankle-plantarflexion',
  'ankle-inversion',
  'ankle-eversion',
  'great-toe-extension',
  'toe-extension',
  'toe-flexion',
] as const;

export const bodyParts = ['upper-limb', 'lower-limb', 'trunk'] as const;

/** Spinal segments from above downwards; the cervical cord has eight, one more than its vertebrae. */
export const segments = [
  ...(['C1', 'C2', 'C3', 'C4', 'C5', 'C6', 'C7', 'C8'] as const),
  ...(['T1', 'T2', 'T3', 'T4', 'T5', 'T6', 'T7', 'T8', 'T9', 'T10', 'T11', 'T12'] as const),
  ...(['L1', 'L2', 'L3', 'L4', 'L5'] as const),
  ...(['S1', 'S2', 'S3', 'S4', 'S5'] as const),
] as const;
export type Segment = (typeof segments)[number];

/** Skin areas named by their segment. C1 has no skin, so the dermatomes begin at C2. */
export type Dermatome = Exclude<Segment, 'C1'>;
export const dermatomes = segments.filter((s): s is Dermatome => s !== 'C1');

export const skinRegions = [
  'face',
  'thumb',
  'middle-finger',
  'little-finger',
  'palm',
  'dorsum-of-hand',
  'lateral-arm',
  'medial-forearm',
  'lateral-forearm',
  'trunk',
  'anterior-thigh',
  'lateral-thigh',
  'medial-thigh',
  'medial-leg',
  'lateral-leg',
  'dorsum-of-foot',
  'lateral-foot',
  'first-web-space',
  'sole',
  'great-toe',
  'saddle',
] as const;

export const skinDistributions = [
  'stocking',
  'glove',
  'whole-upper-limb',
  'whole-lower-limb',
  'hemibody',
  'cape',
] as const;

/** A sensory level: the value holds from this dermatome downwards. */
export type SensoryLevel = `level-${Dermatome}`;
export const sensoryLevels = dermatomes.map((d): SensoryLevel => `level-${d}`);

export const contextSites = [
  'age',
  'onset',
  'diabetes',
  'thyroid-low',
  'thyroid-high',
  'magnesium-infusion',
  'calcium-low',
  'b12-deficiency',
  'copper-deficiency',
  'nitrous-oxide',
  'recent-infection',
  'alcohol',
  'neck-pain',
  'back-pain',
  'bladder-bowel',
  'respiratory-difficulty',
  'dysphagia',
] as const;

export type ReflexSite = (typeof reflexSites)[number];
export type ReflexQualifier = (typeof reflexQualifiers)[number];
export type ClonusSite = (typeof clonusSites)[number];
export type SignSite = (typeof signSites)[number];
export type SuperficialSite = (typeof superficialSites)[number];
export type Movement = (typeof movements)[number];
export type BodyPart = (typeof bodyParts)[number];
export type SkinRegion = (typeof skinRegions)[number];
export type SkinDistribution = (typeof skinDistributions)[number];
export type SkinSite = Dermatome | SkinRegion | SkinDistribution | SensoryLevel;
export type ContextSite = (typeof contextSites)[number];
