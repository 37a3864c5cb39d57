import type { DrawingMessages } from '../messages/drawings.ts';

const plain = (id: string): string => id.replaceAll('-', ' ');
const sided = (side: string): string => (side === 'midline' ? '' : ` ${side}`);
const whole = new Intl.NumberFormat('en', { maximumFractionDigits: 0 });
const percent = (p: number): string => (p < 0.01 ? 'under 1 %' : `${whole.format(p * 100)} %`);
const changes = { less: 'reduced', more: 'increased', normal: 'normal' } as const;

/** What the drawings say in English. */
export const drawingsEnglish: DrawingMessages = {
  patientsRight: "patient's right",
  patientsLeft: "patient's left",
  body: {
    title: 'Reflexes on the body',
    notTested: 'NT',
    nothing: 'No reflex was recorded.',
    found: (all) => {
      const told = all.map(
        ({ kind, site, side, value }) =>
          `${kind === 'plantar' ? 'plantar' : plain(site)}${sided(side)} ${plain(value)}`,
      );
      return `${told.join('; ')}.`;
    },
  },
  pathway: {
    title: 'Pathway from brain to limbs with the candidate sites',
    stations: {
      hemisphere: 'cortex',
      'internal-capsule': 'internal capsule',
      midbrain: 'midbrain',
      pons: 'pons',
      medulla: 'medulla',
      cerebellum: 'cerebellum',
    },
    crossing: 'crossing of the tracts',
    key: '▼ reduced or weak · ▲ increased · ○ normal · dashed: a lesser root',
    share: (way, segment, share) => `${way}: ${segment} ${whole.format(share * 100)} %`,
    end: (way, value) => `${way} ${value}`,
    candidate: (name, probability, general) =>
      `${name}, ${percent(probability)}${general ? ' (not at one place)' : ''}`,
    described: (candidates, abnormal) => {
      const sites = candidates.map((c) => `${c.letter}: ${c.name}, ${percent(c.probability)}.`);
      const list = abnormal.map(
        ({ label, side, value, change, segments }) =>
          `${label} ${side} ${value}, ${changes[change]}, by ${segments.join(' and ')}`,
      );
      return [
        sites.length === 0 ? 'No candidate site.' : `Candidate sites. ${sites.join(' ')}`,
        list.length === 0 ? 'Nothing abnormal on a drawn way.' : `Abnormal: ${list.join('; ')}.`,
      ].join(' ');
    },
  },
  plot: {
    sides: { left: 'left', right: 'right', midline: 'midline' },
    hours: (hours) => `${hours} h`,
    days: (days) => `${days} days`,
    grade: (side, grade) => `${side} ${grade}`,
    grades: (side, grades) => `${side}: ${grades.join(', ')}`,
  },
};
