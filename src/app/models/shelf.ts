/**
 * Where models are kept on this device. Files in progress and installed models are apart: what is
 * in progress is never heard with.
 *
 * @throws PortError `full` from whatever writes
 */
export interface ModelShelf {
  /** Free bytes, where that can be told. */
  room(): Promise<number | undefined>;
  /** How many bytes of a file in progress there are. */
  kept(model: string, path: string): Promise<number>;
  /** Adds bytes to the end of a file in progress. */
  add(model: string, path: string, bytes: Uint8Array): Promise<void>;
  /** A file in progress. */
  read(model: string, path: string): Promise<Uint8Array<ArrayBuffer>>;
  /** Lets go of a file in progress. */
  drop(model: string, path: string): Promise<void>;
  /** Puts the files in progress in place, all at once, with their hashes. */
  finish(model: string, hashes: Readonly<Record<string, string>>): Promise<void>;
  /** The hashes of an installed model's files; nothing when it is not installed. */
  installed(model: string): Promise<Readonly<Record<string, string>> | undefined>;
  /** A file of an installed model. @throws PortError `not-found` */
  file(model: string, path: string): Promise<Uint8Array<ArrayBuffer>>;
  /** Frees all that is kept of a model, in progress or installed. */
  remove(model: string): Promise<void>;
}
