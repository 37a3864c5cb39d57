export * from './idle.ts';
export * from './indexeddb.ts';
export { forgottenPassphrase } from './lockbox.ts';
export { memoryShelf, memoryVault } from './memory.ts';
export type { Shelf } from './shelf.ts';
export * from './vault.ts';
