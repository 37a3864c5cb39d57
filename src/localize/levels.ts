import {
  type Dermatome,
  type Finding,
  type Lateral,
  laterals,
  type Movement,
  type MrcGrade,
  type Segment,
  segments,
} from '../exam/index.ts';

/**
 * ISNCSCI key muscles (ASIA/ISCoS, International Standards, 2019). C8 is tested at the finger flexors,
 * T1 at the small-finger abductor.
 */
export const keyMuscles: readonly (readonly [level: Segment, movement: Movement])[] = [
  ['C5', 'elbow-flexion'],
  ['C6', 'wrist-extension'],
  ['C7', 'elbow-extension'],
  ['C8', 'finger-flexion'],
  ['T1', 'finger-abduction'],
  ['L2', 'hip-flexion'],
  ['L3', 'knee-extension'],
  ['L4', 'ankle-dorsiflexion'],
  ['L5', 'great-toe-extension'],
  ['S1', 'ankle-plantarflexion'],
];

/** A level, or what has to be examined before there is one. `intact` when nothing is lost. */
export type Level =
  | { readonly is: 'level'; readonly segment: Segment }
  | { readonly is: 'intact' }
  | { readonly is: 'unknown'; readonly missing: string };

export interface Levels {
  readonly motor: Readonly<Record<Lateral, Level>>;
  readonly sensory: Readonly<Record<Lateral, Level>>;
  /** The most cephalad of the four, once all four are known. */
  readonly neurological: Level;
}

const atLeastThree: ReadonlySet<MrcGrade> = new Set(['3', '3+', '4-', '4', '4+', '5-', '5']);
const full = (grade: MrcGrade): boolean => grade === '5';

/** ISNCSCI knows no plus and minus: a 3- does not hold against gravity all the way and counts 2. */
const antigravity = (grade: MrcGrade): boolean => atLeastThree.has(grade);

/**
 * Motor level: the lowest key muscle graded at least 3 with all key muscles above it graded 5. Where
 * the level falls among segments without key muscle it is the sensory level.
 */
function motorLevel(grades: ReadonlyMap<Movement, MrcGrade>, sensory: Level): Level {
  let reached: Segment | undefined;
  for (const [level, movement] of keyMuscles) {
    const grade = grades.get(movement);
    if (grade === undefined) return { is: 'unknown', missing: movement };
    if (full(grade)) {
      reached = level;
      continue;
    }
    if (antigravity(grade)) return { is: 'level', segment: level };
    // Below antigravity: the level is the one above, or the sensory level where that has no key muscle.
    if (level === 'C5' || level === 'L2') return sensoryAbove(sensory, level);
    return reached === undefined ? sensory : { is: 'level', segment: reached };
  }
  return sensory.is === 'intact' ? { is: 'intact' } : atOrBelow(sensory, 'S1');
}

function sensoryAbove(sensory: Level, level: Segment): Level {
  const above = segments[segments.indexOf(level) - 1];
  if (sensory.is !== 'level') {
    return sensory.is === 'unknown' || above === undefined
      ? sensory
      : { is: 'level', segment: above };
  }
  const limit = segments.indexOf(level) - 1;
  const at = Math.min(segments.indexOf(sensory.segment), limit);
  const segment = segments[at];
  return segment === undefined ? sensory : { is: 'level', segment };
}

/** With every key muscle 5 the level is the sensory one where that lies among S2 to S5, else S1. */
function atOrBelow(sensory: Level, floor: Segment): Level {
  if (sensory.is !== 'level') return sensory;
  const below = segments.indexOf(sensory.segment) > segments.indexOf(floor);
  return below ? sensory : { is: 'level', segment: floor };
}

/** Sensory level: the lowest dermatome normal for light touch and pinprick with all above normal. */
function sensoryLevel(skin: ReadonlyMap<string, string>): Level {
  let reached: Segment = 'C1';
  for (const dermatome of segments.slice(1)) {
    for (const modality of ['light-touch', 'pinprick'] as const) {
      const value = skin.get(`${dermatome}/${modality}`);
      if (value === undefined) return { is: 'unknown', missing: `${modality} ${dermatome}` };
      if (value !== 'normal') return { is: 'level', segment: reached };
    }
    reached = dermatome as Dermatome;
  }
  return { is: 'intact' };
}

/** Levels in the ISNCSCI sense, where enough was examined; each says what is missing where not. */
export function levelsOf(findings: readonly Finding[]): Levels {
  const motor = {} as Record<Lateral, Level>;
  const sensory = {} as Record<Lateral, Level>;
  for (const side of laterals) {
    const grades = new Map<Movement, MrcGrade>();
    const skin = new Map<string, string>();
    for (const finding of findings) {
      if (finding.side !== side || finding.value === 'not-tested') continue;
      if (finding.kind === 'strength') grades.set(finding.site, finding.value);
      if (finding.kind === 'sensation')
        skin.set(`${finding.site}/${finding.modality}`, finding.value);
    }
    sensory[side] = sensoryLevel(skin);
    motor[side] = motorLevel(grades, sensory[side]);
  }
  return {
    motor,
    sensory,
    neurological: highest([...laterals.map((s) => motor[s]), ...laterals.map((s) => sensory[s])]),
  };
}

function highest(levels: readonly Level[]): Level {
  let top: Segment | undefined;
  for (const level of levels) {
    if (level.is === 'unknown') return level;
    if (
      level.is === 'level' &&
      (top === undefined || segments.indexOf(level.segment) < segments.indexOf(top))
    ) {
      top = level.segment;
    }
  }
  return top === undefined ? { is: 'intact' } : { is: 'level', segment: top };
}
