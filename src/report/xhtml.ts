import { escapeMarkup } from './plain.ts';

/** A FHIR narrative: the only form of markup that the standard lets a resource carry. */
export const div = (text: string): string =>
  `<div xmlns="http://www.w3.org/1999/xhtml">${escapeMarkup(text)}</div>`;

/** The same for text whose line breaks and columns carry meaning. */
export const preformatted = (text: string): string =>
  `<div xmlns="http://www.w3.org/1999/xhtml"><pre>${escapeMarkup(text)}</pre></div>`;
