/**
 * A UUID that always comes out the same for the same parts (RFC 9562, version 8: bits of one's own
 * making). Exports need ids, and the pure half has no randomness; exam ids are random already, so
 * four independent 32-bit hashes (FNV-1a with a final mix) keep the derived ids apart.
 */
export function uuidOf(...parts: readonly string[]): string {
  const text = JSON.stringify(parts);
  const hex = [0x811c9dc5, 0x9e3779b9, 0x85ebca6b, 0xc2b2ae35]
    .map((seed) => hash(text, seed).toString(16).padStart(8, '0'))
    .join('');
  const variant = ((Number.parseInt(hex.charAt(16), 16) & 3) | 8).toString(16);
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    `8${hex.slice(13, 16)}`,
    `${variant}${hex.slice(17, 20)}`,
    hex.slice(20),
  ].join('-');
}

function hash(text: string, seed: number): number {
  let h = seed;
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}
