import { readFileSync } from 'node:fs';

/**
 * What the page may load and connect to: its own origin, and nothing else. The build writes it into
 * the page, so that it holds on any server; `npm start` sends it as a header too.
 */
const directives = {
  'default-src': "'self'",
  // Compiling the recogniser and the voice from their own files; no script from anywhere else.
  'script-src': "'self' 'wasm-unsafe-eval'",
  'worker-src': "'self'",
  'connect-src': "'self'",
  'style-src': "'self'",
  'img-src': "'self' data: blob:",
  'media-src': "'self' blob:",
  'object-src': "'none'",
  'base-uri': "'none'",
  'form-action': "'none'",
};

const joined = (entries) => entries.map(([name, value]) => `${name} ${value}`).join('; ');

/** For a meta element, where a policy on framing has no effect. */
export const pagePolicy = joined(Object.entries(directives));

const { models } = JSON.parse(
  readFileSync(new URL('../../models-manifest/manifest.json', import.meta.url), 'utf8'),
);

/**
 * The page that fetches one model, in a frame of the page: it may connect to the addresses of that
 * model beside, and to nothing else. Nothing of an exam is in it.
 */
const fetching = new Map(
  models
    .filter(({ files }) => files.some(({ address }) => address !== undefined))
    .map(({ id, files, hosts = [] }) => [
      `fetch-${id}.html`,
      {
        ...directives,
        'connect-src': ["'self'", ...files.map(({ address }) => address), ...hosts].join(' '),
      },
    ]),
);

/**
 * Frames of the page that are handed one thing and do one thing: send a Bundle to the server that the
 * user named, print a sheet. Neither can reach what the page keeps but what it is handed.
 */
const frames = new Map([
  ['send.html', { ...directives, 'connect-src': 'https: http://127.0.0.1:* http://localhost:*' }],
  ['paper.html', { ...directives, 'connect-src': "'none'", 'style-src': "'unsafe-inline'" }],
]);

/** Names of those pages, each with the policy for its meta element. */
export const framePages = new Map(
  [...frames].map(([name, allowed]) => [name, joined(Object.entries(allowed))]),
);

/** Names of the pages that fetch a model, each with the policy for its meta element. */
export const fetchPages = new Map(
  [...fetching].map(([name, allowed]) => [name, joined(Object.entries(allowed))]),
);

/**
 * The worker of `vosk-browser` makes functions out of text, so it may; but it can connect to nothing
 * except what the page hands it.
 */
const vosk = joined([
  ['default-src', "'none'"],
  ['script-src', "'self' 'unsafe-eval' 'wasm-unsafe-eval'"],
  ['connect-src', 'blob: data:'],
]);

/** For the header of a file of the page. */
export function headerPolicy(name) {
  if (name === 'vosk-worker.js') return vosk;
  const allowed = fetching.get(name) ?? frames.get(name);
  return joined([
    ...Object.entries(allowed ?? directives),
    ['frame-ancestors', allowed === undefined ? "'none'" : "'self'"],
  ]);
}
