/**
 * Base64 (RFC 4648) over UTF-8, written out because the pure half has neither `btoa` nor
 * `TextEncoder`.
 */
const alphabet = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** UTF-8 of a text. A lone surrogate, which UTF-8 cannot hold, becomes U+FFFD. */
export function utf8(text: string): Uint8Array {
  const escaped = encodeURIComponent(text.replace(/\p{Cs}/gu, '\ufffd'));
  const bytes: number[] = [];
  for (let i = 0; i < escaped.length; i++) {
    if (escaped[i] === '%') {
      bytes.push(Number.parseInt(escaped.slice(i + 1, i + 3), 16));
      i += 2;
    } else {
      bytes.push(escaped.charCodeAt(i));
    }
  }
  return Uint8Array.from(bytes);
}

export function toBase64(text: string): string {
  const bytes = utf8(text);
  const out: string[] = [];
  for (let i = 0; i < bytes.length; i += 3) {
    const [a = 0, b, c] = bytes.subarray(i, i + 3);
    const group = (a << 16) | ((b ?? 0) << 8) | (c ?? 0);
    const digit = (shift: number) => alphabet.charAt((group >> shift) & 63);
    out.push(
      digit(18) +
        digit(12) +
        (b === undefined ? '=' : digit(6)) +
        (c === undefined ? '=' : digit(0)),
    );
  }
  return out.join('');
}

/** The text again, or undefined for what is no base64 of UTF-8. */
export function fromBase64(data: string): string | undefined {
  if (data.length % 4 !== 0 || !/^[A-Za-z0-9+/]*={0,2}$/.test(data)) return undefined;
  const digits = data.replace(/=+$/, '');
  const escaped: string[] = [];
  let held = 0;
  let bits = 0;
  for (const digit of digits) {
    held = ((held << 6) | alphabet.indexOf(digit)) & 0xffff;
    bits += 6;
    if (bits >= 8) {
      bits -= 8;
      escaped.push(`%${((held >> bits) & 255).toString(16).padStart(2, '0')}`);
    }
  }
  try {
    return decodeURIComponent(escaped.join(''));
  } catch {
    return undefined;
  }
}
