import { planItemId, planItems } from '../exam/index.ts';
import type { Fit } from '../ports.ts';
import { keyUses, ownerOf, type Settings, type TalkKey, themes, voices } from '../ui/index.ts';

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
  key: { use: 'none', code: '', name: '' },
  attention: '',
  own: [],
  learn: false,
};

/** What a store holds under a name, where that is a JSON object. */
function keptIn(
  store: Pick<Storage, 'getItem'>,
  name: string,
): Readonly<Record<string, unknown>> | undefined {
  try {
    const kept: unknown = JSON.parse(store.getItem(name) ?? 'null');
    return typeof kept === 'object' && kept !== null ? { ...kept } : undefined;
  } catch {
    return undefined;
  }
}

/** What this browser remembers of the examiner's wishes; anything odd is passed over. */
export function loadSettings(store: Pick<Storage, 'getItem'>): Settings {
  const raw = keptIn(store, key);
  if (raw === undefined) return defaultSettings;
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
    key: keyOf(raw.key),
    attention: typeof raw.attention === 'string' ? raw.attention : '',
    learn: one('learn', [true, false], false),
    own: planItems.map(planItemId).filter((id) => own.includes(id)),
  };
}

function keyOf(raw: unknown): TalkKey {
  const none = defaultSettings.key;
  if (typeof raw !== 'object' || raw === null) return none;
  const { use, code, name } = raw as Readonly<Record<string, unknown>>;
  const known = keyUses.find((one) => one === use) ?? none.use;
  if (typeof code !== 'string' || typeof name !== 'string') return { ...none, use: known };
  const free = ownerOf({ code, key: name, chord: false }) === undefined;
  return free ? { use: known, code, name } : { ...none, use: known };
}

const fitKey = 'plessor-fit';

/** What was learnt of how the examiner speaks; anything odd is as if there were nothing. */
export function loadFit(store: Pick<Storage, 'getItem'>): Fit | undefined {
  const { of, replies, scale, shift } = keptIn(store, fitKey) ?? {};
  const numbers = (row: unknown): row is readonly number[] =>
    Array.isArray(row) && row.every((one) => Number.isFinite(one));
  if (typeof of !== 'string' || typeof replies !== 'number') return undefined;
  if (!numbers(scale) || !numbers(shift)) return undefined;
  return { of, replies, scale, shift };
}

/** Keeps what was learnt, or lets go of it; a full or forbidden store learns nothing for next time. */
export function storeFit(
  store: Pick<Storage, 'setItem' | 'removeItem'>,
  fit: Fit | undefined,
): void {
  // Six digits are as many as the network's own numbers have.
  const short = (row: readonly number[]) => row.map((one) => Number(one.toPrecision(6)));
  try {
    if (fit === undefined) store.removeItem(fitKey);
    else {
      const { scale, shift } = fit;
      const kept: Fit = { ...fit, scale: short(scale), shift: short(shift) };
      store.setItem(fitKey, JSON.stringify(kept));
    }
  } catch {
    return;
  }
}

/** A full or forbidden store loses the wishes, never the exam. */
export function storeSettings(store: Pick<Storage, 'setItem'>, settings: Settings): void {
  try {
    store.setItem(key, JSON.stringify(settings));
  } catch {
    return;
  }
}
