/**
 * Stands in for the package `blob-polyfill`, which `soundswallower` imports and which touches the
 * document as it loads, so that it cannot load in a worker. Everything here has a Blob of its own.
 */
export const Blob = globalThis.Blob;
