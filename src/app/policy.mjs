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

/** For the header. */
export const headerPolicy = joined([...Object.entries(directives), ['frame-ancestors', "'none'"]]);
