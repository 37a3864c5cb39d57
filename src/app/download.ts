/** A file for the examiner, text in UTF-8 or bytes. */
export interface Download {
  readonly name: string;
  readonly mediaType: string;
  readonly content: string | Uint8Array<ArrayBuffer>;
}

/** Hands a file to the browser's downloads. */
export function download({ name, mediaType, content }: Download): void {
  const address = URL.createObjectURL(new Blob([content], { type: mediaType }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser has taken hold of it by the next minute.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
