import { existsSync, readFileSync } from 'node:fs';
import { chosenLanguage, spoken } from '../app/language.ts';
import { unpack } from '../app/packed.ts';
import type { Language } from '../interpret/index.ts';
import { Fault } from './fault.ts';

let known: Language | undefined;

/**
 * The language of the command line, with the networks that the build made.
 * @throws Fault when the build left none
 */
export function spokenLanguage(): Language {
  known ??= spoken(chosenLanguage, unpack(networks()));
  return known;
}

/** Where the build puts them, seen from a built program and from the sources. */
const places = ['../networks.bin', '../../dist/networks.bin'];

function networks(): Uint8Array {
  for (const place of places) {
    const path = new URL(place, import.meta.url);
    if (existsSync(path)) return readFileSync(path);
  }
  throw new Fault('the networks of the grammar are missing; run "npm run build"');
}
