import { existsSync, readFileSync } from 'node:fs';
import { spoken } from '../app/language.ts';
import { unpack } from '../app/packed.ts';
import { dialogueMessages } from '../dialogue/index.ts';
import { chosenLanguage, examMessages, type Finding } from '../exam/index.ts';
import type { Language } from '../interpret/index.ts';
import {
  fullDepth,
  type Localization,
  localize,
  localizeMessages,
  placeMessages,
} from '../localize/index.ts';
import { reportMessages } from '../report/index.ts';
import { Fault } from './fault.ts';
import { commandLine } from './messages.ts';

/** What the command line says of an exam and writes of it; its own lines are in `messages.ts`. */
export const messages = {
  names: examMessages[chosenLanguage],
  dialogue: dialogueMessages[chosenLanguage],
  places: placeMessages[chosenLanguage],
  report: reportMessages[chosenLanguage],
} as const;

/** Where the lesion is, told in the language of the command line. */
export const localized = (findings: readonly Finding[]): Localization =>
  localize(findings, fullDepth, localizeMessages[chosenLanguage]);

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
  throw new Fault(commandLine.noNetworks);
}
