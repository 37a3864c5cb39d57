import { chosenLanguage, type LanguageId } from '../exam/language.ts';

/** What can go wrong with records, packs and sending, each in one line, in English. */
const english = {
  taken: 'This exam was changed in another window; save what is here as a copy, or go on there.',
  relocked: 'The passphrase was set in another window; reload this one.',
  locked: 'The records are locked; the exam goes on in memory until you unlock.',
  deleted:
    'The records on this device were deleted while they were open here. Save this exam as a file, then reload the page.',
  newer: 'This was written by a newer version of Plessor; update the program or reload the page.',
  damaged: 'A record is damaged and cannot be read.',
  damagedEvent: (event: number, total: number) =>
    `Event ${event} of ${total} of this exam is damaged; the ${event - 1} before it can be restored.`,
  noPassphrase: 'No passphrase was set on this device yet; choose one.',
  shortPassphrase: (least: number) => `Choose a passphrase of at least ${least} signs.`,
  wrongPassphrase: 'The passphrase does not open the records; try it again.',
  damagedLock: 'The lock of the records is damaged; restore it from a copy.',
  database: {
    late: 'The database does not answer; the exam goes on in memory. Reload when it is over, or export it.',
    lost: 'This browser lost its database; earlier exams on this device are gone. Exports that you made are not.',
    held: 'An older Plessor in another window holds the records; close that window and try again.',
    full: 'There is no room left on this device; the exam goes on in memory. Export it, or delete old exams.',
    unusable:
      'The database of this browser cannot be used; the exam goes on in memory. Export it at its end.',
  },
  folder: {
    full: 'The disk is full; the exam goes on in memory. Make room.',
    denied: 'The folder of the records may not be written; check it.',
    unusable: 'The folder of the records cannot be used; check it.',
    damagedLock: 'lockbox.json is damaged; restore it from a copy.',
  },
  pack: {
    none: 'This is no review pack; choose a file that Plessor wrote.',
    damagedFront: 'The front of this pack is damaged; ask for the file again.',
    wrongPassphrase: 'The passphrase does not open this pack; ask for it again.',
    /** What is wrong with one part, which is named before it. */
    followed: 'is followed by something that is no part of it',
    cutOff: 'is missing: the pack is cut off',
    damaged: 'is damaged',
    unlinked: 'does not follow from what is before it: something was changed, put in or taken out',
    signsUnreadable: 'signs parts that cannot be read any more',
    signatureUnfit: 'is a signature that does not fit what is before it',
    signatureUnchecked: 'is no signature that can be checked',
  },
  server: {
    stopped: 'Sending was stopped; nothing more is sent.',
    notSent: (why: string) =>
      `The Bundle was not sent: ${why}. It is still here; check the server and send it again.`,
    unreachable: 'the server could not be reached',
    answered: (status: number) => `the server answered ${status}`,
    said: (status: number, what: string) => `the server answered ${status}, ${what}`,
    insecure: 'The server needs an address that begins with https://.',
    notBase: 'The address of the server is its base alone; no name or ?.',
  },
};

export type StoreMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, StoreMessages>> = { en: english };
export const storeMessages: StoreMessages = byLanguage[chosenLanguage];
