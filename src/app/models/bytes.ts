/** SHA-256 as 64 hexadecimal digits. */
export async function sha256Of(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

export const lengthOf = (parts: readonly Uint8Array[]): number =>
  parts.reduce((sum, { length }) => sum + length, 0);

/** Parts as one. */
export function joined(parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(lengthOf(parts));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** For people: `6.6 MB`. */
export const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(1)} MB`;
