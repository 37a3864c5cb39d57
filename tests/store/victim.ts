import { fileShelf } from '../../src/store/files.ts';
import { SealedVault } from '../../src/store/vault.ts';
import { keyFrom, nth } from './events.ts';

/** A program in mid exam: says the number of each event as its read-back would begin. */
const [folder = '', exam = '', hex = ''] = process.argv.slice(2);
const vault = new SealedVault(
  fileShelf(folder),
  await keyFrom(Uint8Array.from(Buffer.from(hex, 'hex'))),
);
for (let n = (await vault.load(exam)).length; ; n++) {
  await vault.append(exam, nth(n));
  process.stdout.write(`${n}\n`);
}
