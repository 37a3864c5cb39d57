import type { Speech } from './flite/flite.ts';

/** About 46 dB below full scale: softer than the faintest consonant that the voices make. */
const soft = 0.005;
const leadSeconds = 0.02;
const tailSeconds = 0.15;

/**
 * Speech without most of the silence around it. The synthesiser begins with up to a quarter of a
 * second of it, which would be heard as slowness.
 */
export function trimmed({ samples, sampleRate }: Speech): Speech {
  const first = samples.findIndex((x) => Math.abs(x) > soft);
  if (first < 0) return { samples: new Float32Array(0), sampleRate };
  const last = samples.findLastIndex((x) => Math.abs(x) > soft);
  const from = Math.max(0, first - Math.round(leadSeconds * sampleRate));
  const to = Math.min(samples.length, last + 1 + Math.round(tailSeconds * sampleRate));
  return { samples: samples.slice(from, to), sampleRate };
}
