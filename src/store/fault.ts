import { PortError } from '../ports.ts';

/** What more than one part of the store has to say, once. */

export const taken = (cause?: unknown): PortError =>
  new PortError(
    'in-use',
    'This exam was changed in another window; save what is here as a copy, or go on there.',
    { cause },
  );

export const relocked = (): PortError =>
  new PortError('in-use', 'The passphrase was set in another window; reload this one.');

export const locked = (): PortError =>
  new PortError('denied', 'The records are locked; the exam goes on in memory until you unlock.');

export const deleted = (): PortError =>
  new PortError(
    'not-found',
    'The records on this device were deleted while they were open here. Save this exam as a file, then reload the page.',
  );

export const newer = (cause?: unknown): PortError =>
  new PortError(
    'unsupported',
    'This was written by a newer version of Plessor; update the program or reload the page.',
    { cause },
  );
