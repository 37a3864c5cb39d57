/**
 * The scales findings are graded on, least to greatest where they have an order.
 *
 * Reflexes: the common 0 to 4+ scale (Walker HK, Clinical Methods, 3rd ed., 1990: 0 absent, 2+
 * normal, 4+ with clonus). Strength: MRC Memorandum 45 (1976), grades 0 to 5; the plus and minus
 * marks are clinic usage, the MRC itself divides only grade 4.
 */
export const reflexGrades = ['0', '1+', '2+', '3+', '4+'] as const;
export const mrcGrades = ['0', '1', '2', '3-', '3', '3+', '4-', '4', '4+', '5-', '5'] as const;
export const clonusValues = ['absent', 'unsustained', 'sustained'] as const;
export const plantarValues = ['flexor', 'extensor', 'equivocal', 'mute'] as const;
export const signValues = ['present', 'absent', 'equivocal'] as const;
export const superficialValues = ['present', 'reduced', 'absent'] as const;
export const toneValues = ['normal', 'reduced', 'spastic', 'rigid'] as const;
export const bulkValues = ['normal', 'wasted'] as const;
export const sensationValues = ['normal', 'reduced', 'absent', 'increased'] as const;
export const coordinationValues = ['normal', 'impaired'] as const;
export const gaitValues = [
  'normal',
  'spastic',
  'steppage',
  'ataxic',
  'hemiparetic',
  'waddling',
  'antalgic',
  'unable',
] as const;
export const onsetValues = ['sudden', 'days', 'weeks', 'months', 'years'] as const;
export const contextValues = ['present', 'absent'] as const;

export const modalities = [
  'light-touch',
  'pinprick',
  'temperature',
  'vibration',
  'joint-position',
] as const;

export type ReflexGrade = (typeof reflexGrades)[number];
export type MrcGrade = (typeof mrcGrades)[number];
export type Modality = (typeof modalities)[number];

/** A place on a reflex scale for arithmetic: 0 for "0" up to 4 for "4+". */
export const reflexNumber = (grade: ReflexGrade): number => reflexGrades.indexOf(grade);
/** A place on the MRC ladder for arithmetic: 0 for "0" up to 10 for "5", in steps of clinic usage. */
export const mrcNumber = (grade: MrcGrade): number => mrcGrades.indexOf(grade);
