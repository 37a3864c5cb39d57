import type { ReadonlySignal } from '@preact/signals';

/** What hears, as the page shows it. */
export interface ModelRow {
  readonly id: string;
  readonly name: string;
  readonly language: string;
  readonly bytes: number;
  readonly memoryMB: number;
  readonly licence: string;
  readonly notice: string;
  /** Hosts that its files come from; none for what comes with the program. */
  readonly hosts: readonly string[];
  /** It comes with the program and cannot be removed. */
  readonly bundled: boolean;
  /** Every file has a hash in the manifest, so nothing is left for the user to compare. */
  readonly hashed: boolean;
  /** Its measurements, a line each; none when it was not run. */
  readonly measured: readonly string[];
  /** Why this device cannot run it, in one line; empty when it can. */
  readonly unfit: string;
  readonly state: ModelState;
  /** What went wrong last with it, in one line; empty when nothing did. */
  readonly fault: string;
}

export type ModelState =
  | { readonly is: 'installed' }
  /** Some bytes may be there from a time before. */
  | { readonly is: 'absent'; readonly kept: number }
  | { readonly is: 'coming'; readonly done: number }
  /** All is there, and of these files the user must compare the hash. */
  | {
      readonly is: 'unconfirmed';
      readonly hashes: readonly { readonly path: string; readonly sha256: string }[];
    };

/** The recognition models, and all that can be done with them. */
export interface ModelList {
  readonly rows: ReadonlySignal<readonly ModelRow[]>;
  /** Id of the one that hears. */
  readonly chosen: ReadonlySignal<string>;
  /** Looks what is installed; the page calls it when the list is opened. */
  look(): void;
  /** Fetches a model from its addresses; goes on where it was stopped. */
  add(id: string): void;
  /** Takes a model from files that the user chose. */
  addFrom(id: string, files: readonly File[]): void;
  stop(id: string): void;
  /** The user has compared the hashes and found them right. */
  confirm(id: string): void;
  remove(id: string): void;
  choose(id: string): void;
}
