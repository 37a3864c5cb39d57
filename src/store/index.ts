export * from './idle.ts';
export * from './indexeddb.ts';
export { memoryShelf, memoryVault } from './memory.ts';
export * from './pack.ts';
export type { Cover, CoveredExam, Salvage } from './reading.ts';
export * from './send.ts';
export type { Bytes, Shelf } from './shelf.ts';
export * from './signature.ts';
export * from './vault.ts';
