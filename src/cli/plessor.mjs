#!/usr/bin/env node
import { existsSync } from 'node:fs';

// The program is TypeScript and built by `npm ci`; this is only the name that it is called by.
const built = new URL('../../dist/cli/main.js', import.meta.url);
if (existsSync(built)) {
  const { run } = await import(built.href);
  process.exitCode = await run(process.argv.slice(2));
} else {
  console.error('plessor: not built yet; run "npm ci" once, or "npm run build" after a change');
  process.exitCode = 2;
}
