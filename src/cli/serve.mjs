// Serves the built page to this machine: `npm start`, or `npm start -- --port 8000`.
import { createReadStream, existsSync, realpathSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { createServer } from 'node:http';
import { basename, extname, join, normalize, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { headerPolicy } from '../app/policy.mjs';

const types = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json',
  '.webmanifest': 'application/manifest+json',
  '.wasm': 'application/wasm',
  '.wav': 'audio/wav',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.txt': 'text/plain; charset=utf-8',
};

/** Where a request's path lies under the root, or nothing where it would leave it. */
export function fileFor(root, url) {
  let path;
  try {
    path = decodeURIComponent(new URL(url, 'http://local').pathname);
  } catch {
    return undefined;
  }
  if (path.includes('\0')) return undefined;
  const file = normalize(join(root, path.endsWith('/') ? `${path}index.html` : path));
  return file.startsWith(root + sep) ? file : undefined;
}

/** A server of the files under a folder, for GET and HEAD. */
export function serve(root) {
  return createServer(async (request, response) => {
    const refuse = (status, why) => {
      response.writeHead(status, { 'content-type': types['.txt'] });
      response.end(`${why}\n`);
    };
    if (request.method !== 'GET' && request.method !== 'HEAD') {
      response.setHeader('allow', 'GET, HEAD');
      return refuse(405, 'Only GET and HEAD are answered.');
    }
    const file = fileFor(root, request.url ?? '/');
    const found = file && (await stat(file).catch(() => undefined));
    if (!found?.isFile() || !realpathSync(file).startsWith(root + sep)) {
      return refuse(404, 'There is no such file.');
    }
    response.writeHead(200, {
      'content-type': types[extname(file)] ?? 'application/octet-stream',
      'content-length': found.size,
      // Built files carry a hash in their name; the rest must be asked for anew.
      'cache-control': file.includes(`${sep}assets${sep}`)
        ? 'public, max-age=31536000, immutable'
        : 'no-cache',
      'content-security-policy': headerPolicy(basename(file)),
      'permissions-policy': 'microphone=(self), camera=(), geolocation=()',
      'referrer-policy': 'no-referrer',
      'x-content-type-options': 'nosniff',
    });
    if (request.method === 'HEAD') return response.end();
    createReadStream(file)
      .on('error', () => response.destroy())
      .pipe(response);
  });
}

function fail(line) {
  console.error(line);
  process.exitCode = 2;
}

function main() {
  let port;
  try {
    const { values } = parseArgs({ options: { port: { type: 'string', default: '4173' } } });
    port = Number(values.port);
  } catch (wrong) {
    return fail(`${wrong.message.split('.')[0]}; use npm start -- --port NUMBER`);
  }
  if (!Number.isInteger(port) || port < 0 || port > 65_535) {
    return fail('The port must be a whole number from 0 to 65535; use npm start -- --port NUMBER');
  }
  const folder = fileURLToPath(new URL('../../dist/page', import.meta.url));
  if (!existsSync(folder)) return fail('The page is not built yet; run "npm run build".');
  const server = serve(realpathSync(folder));
  server.on('error', ({ code, message }) =>
    fail(
      code === 'EADDRINUSE'
        ? `Port ${port} is taken; use npm start -- --port NUMBER`
        : `The page cannot be served: ${message}`,
    ),
  );
  server.listen(port, '127.0.0.1', () => {
    console.log(`Plessor is at http://127.0.0.1:${server.address().port}/  (stop with Ctrl+C)`);
  });
}

// Bundled into another program, this file is that program's; its name tells.
const started = process.argv[1] === undefined ? '' : realpathSync(process.argv[1]);
if (started === fileURLToPath(import.meta.url) && basename(started) === 'serve.mjs') main();
