import { planItemId, planItems } from '../exam/index.ts';
import { type Settings, themes, voices } from '../ui/index.ts';

const key = 'plessor-settings';
const strictnesses = ['every', 'costly', 'end'] as const;

export const defaultSettings: Settings = {
  theme: 'auto',
  voice: 'auto',
  pace: 1,
  volume: 1,
  strictness: 'costly',
  aloud: 'every',
  lead: 'examiner',
  headphones: false,
  earcons: true,
  own: [],
};

/** What this browser remembers of the examiner's wishes; anything odd is passed over. */
export function loadSettings(store: Pick<Storage, 'getItem'>): Settings {
  let kept: unknown;
  try {
    kept = JSON.parse(store.getItem(key) ?? '{}');
  } catch {
    return defaultSettings;
  }
  if (typeof kept !== 'object' || kept === null) return defaultSettings;
  const raw = kept as Readonly<Record<string, unknown>>;
  const one = <T>(name: keyof Settings, all: readonly T[], otherwise: T): T =>
    all.find((value) => value === raw[name]) ?? otherwise;
  const number = (name: keyof Settings, least: number, most: number): number => {
    const value = raw[name];
    const sound = typeof value === 'number' && value >= least && value <= most;
    return sound ? value : Number(defaultSettings[name]);
  };
  const own: readonly unknown[] = Array.isArray(raw.own) ? raw.own : [];
  return {
    theme: one('theme', themes, defaultSettings.theme),
    voice: one('voice', voices, defaultSettings.voice),
    pace: number('pace', 0.6, 1.6),
    volume: number('volume', 0, 1),
    strictness: one('strictness', strictnesses, defaultSettings.strictness),
    aloud: one('aloud', strictnesses, defaultSettings.aloud),
    lead: one('lead', ['examiner', 'plessor'] as const, 'examiner'),
    headphones: one('headphones', [true, false], false),
    earcons: one('earcons', [true, false], true),
    own: planItems.map(planItemId).filter((id) => own.includes(id)),
  };
}

/** A full or forbidden store loses the wishes, never the exam. */
export function storeSettings(store: Pick<Storage, 'setItem'>, settings: Settings): void {
  try {
    store.setItem(key, JSON.stringify(settings));
  } catch {
    return;
  }
}
