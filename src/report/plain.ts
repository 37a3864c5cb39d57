/**
 * Text that came from outside (a label, a name, words that were heard), made safe to stand on one
 * line of a note: no line of its own can be forged with a line break, and no sign that reverses the
 * reading direction can make a left read as a right.
 */
export function plain(text: string): string {
  return text
    .replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ')
    .replace(/[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu, '')
    .replace(/\p{Cs}/gu, '\ufffd')
    .trim();
}

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Plain text for the inside of an element or a quoted attribute, HTML or XHTML. */
export const escapeMarkup = (text: string): string =>
  text
    .replace(/[&<>"']/g, (c) => entities[c] ?? c)
    // What XML 1.0 does not allow as a character at all (section 2.2).
    .replace(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '\ufffd');

/** First letter in upper case, the rest as it is. */
export const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
