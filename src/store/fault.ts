import { PortError } from '../ports.ts';
import { storeMessages } from './messages.ts';

/** What more than one part of the store has to say, once. */

export const taken = (cause?: unknown): PortError =>
  new PortError('in-use', storeMessages.taken, { cause });

export const relocked = (): PortError => new PortError('in-use', storeMessages.relocked);

export const locked = (): PortError => new PortError('denied', storeMessages.locked);

export const deleted = (): PortError => new PortError('not-found', storeMessages.deleted);

export const newer = (cause?: unknown): PortError =>
  new PortError('unsupported', storeMessages.newer, { cause });
