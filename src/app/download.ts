import type { Paper } from '../report/index.ts';

/** Hands a paper to the browser's downloads. */
export function download({ name, mediaType, text }: Paper): void {
  const address = URL.createObjectURL(new Blob([text], { type: `${mediaType};charset=utf-8` }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser has taken hold of it by the next minute.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
