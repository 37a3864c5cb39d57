// Builds everything that runs: the page, the command line and the benchmark. Nothing is downloaded.
import { createHash } from 'node:crypto';
import { existsSync, realpathSync } from 'node:fs';
import { cp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import preact from '@preact/preset-vite';
import { build } from 'vite';
import { fetchPages, framePages, pagePolicy } from './policy.mjs';

const top = new URL('../../', import.meta.url);
const at = (path) => fileURLToPath(new URL(path, top));

const shared = { configFile: false, logLevel: 'warn' };

/** A program for Node; what is installed in node_modules stays there. */
const program = (entry, outDir) =>
  build({
    ...shared,
    root: at('.'),
    publicDir: false,
    build: {
      ssr: entry,
      outDir,
      target: 'node20',
      emptyOutDir: true,
      // One file, so that a build in the middle of a run never leaves it with half a program.
      rolldownOptions: { output: { entryFileNames: 'main.js', codeSplitting: false } },
    },
  });

/** The recogniser asks for a Blob that touches the document, which a worker has not. */
const alias = existsSync(at('src/engines/soundswallower/blob.ts'))
  ? { 'blob-polyfill': at('src/engines/soundswallower/blob.ts') }
  : {};
// Of the runtime of networks only the plain one: it needs no graphics processor, and half the bytes.
alias['onnxruntime-web/webgpu'] = 'onnxruntime-web/wasm';

/**
 * `vosk-browser` starts its worker from a text inside itself, which the page's policy forbids; here
 * that worker is a file like any other, with a policy of its own.
 */
async function voskWorker() {
  const packed = await readFile(at('node_modules/vosk-browser/dist/vosk.js'), 'utf8');
  const found = /createBase64WorkerFactory\('([A-Za-z0-9+/=]+)'/.exec(packed);
  if (found === null)
    throw new Error('this version of vosk-browser brings its worker in another way');
  return Buffer.from(found[1], 'base64');
}

/** What makes the page a program that can be installed. */
const manifest = {
  name: 'Plessor',
  short_name: 'Plessor',
  description: 'The neurological examination, hands free.',
  start_url: './',
  scope: './',
  display: 'standalone',
  background_color: '#ffffff',
  theme_color: '#ffffff',
  icons: [
    { src: './mark.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
    // Not every system takes a drawing for the icon of a program.
    { src: './icon-192.png', sizes: '192x192', type: 'image/png', purpose: 'any' },
    // The mark fills its middle, since a system may cut a circle out of it.
    { src: './icon-512.png', sizes: '512x512', type: 'image/png', purpose: 'any maskable' },
  ],
};
const icons = ['mark.svg', 'icon-192.png', 'icon-512.png'];

/** Files of other engines: they are kept only once they were used. */
const seldom = /^(vosk-worker\.js|fetch-.*\.html|assets\/ort-.*\.wasm|offline\.js)$/;

/** The worker that keeps the page on the device, with the names of its files and their hash. */
async function offline(outDir) {
  const names = (await readdir(outDir, { recursive: true, withFileTypes: true }))
    .filter((entry) => entry.isFile())
    .map((entry) => relative(outDir, resolve(entry.parentPath, entry.name)).replaceAll('\\', '/'))
    .filter((name) => !seldom.test(name))
    .sort();
  const worker = await readFile(at('src/app/offlineWorker.js'), 'utf8');
  const hash = createHash('sha256').update(worker);
  for (const name of names) hash.update(name).update(await readFile(resolve(outDir, name)));
  const files = ['./', ...names.filter((name) => name !== 'index.html').map((name) => `./${name}`)];
  await writeFile(
    resolve(outDir, 'offline.js'),
    worker
      .replace('__VERSION__', hash.digest('hex').slice(0, 16))
      .replace('__FILES__', JSON.stringify(files)),
  );
}

const policy = {
  name: 'content-security-policy',
  transformIndexHtml: (_html, { path }) => [
    ...(path.endsWith('/index.html')
      ? [{ tag: 'link', attrs: { rel: 'manifest', href: './page.webmanifest' }, injectTo: 'head' }]
      : []),
    {
      tag: 'meta',
      attrs: { 'http-equiv': 'Content-Security-Policy', content: pagePolicy },
      injectTo: 'head-prepend',
    },
  ],
};

/** The half that has no effects (tsconfig.core.json), and the store's. */
const pure = /\/src\/(exam|grammar|interpret|dialogue|anatomy|localize|report|store)\/[^/]*\.ts$/;

/** As an attribute's value is written. */
const written = (text) => text.replaceAll("'", '&#39;');

/** Pages that start at the HTML files of these names, with all that they load. */
const pages = (root, outDir, names, output) =>
  build({
    ...shared,
    root,
    base: './',
    plugins: [preact(), policy],
    resolve: { alias },
    worker: { format: 'es' },
    build: {
      outDir,
      target: 'es2022',
      emptyOutDir: false,
      // An inlined asset would be a data: address, which the page's policy refuses.
      assetsInlineLimit: 0,
      modulePreload: { polyfill: false },
      rolldownOptions: {
        // Loading these does nothing: what of them is not used where they are loaded is left out there.
        treeshake: { moduleSideEffects: [{ test: pure, sideEffects: false }] },
        output,
        input: names.map((name) => resolve(root, name)),
      },
      // The voice and the recogniser are big by nature; app code is counted below.
      chunkSizeWarningLimit: Number.POSITIVE_INFINITY,
    },
  });

/** A page that starts at `root`/index.html, and the frames it opens, into `outDir`. */
export async function page(root, outDir) {
  await rm(outDir, { recursive: true, force: true });
  // What a page needs to be ready is one file; the rest is fetched when it is first wanted.
  const start = { codeSplitting: { groups: [{ name: 'start', tags: ['$initial'] }] } };
  await pages(root, outDir, ['index.html'], start);
  const frames = ['fetch.html', ...framePages.keys()].filter((name) =>
    existsSync(resolve(root, name)),
  );
  if (frames.length > 0) await pages(root, outDir, frames, {});
  if (existsSync(resolve(root, 'fetch.html'))) {
    const html = await readFile(resolve(outDir, 'fetch.html'), 'utf8');
    for (const [name, allowed] of fetchPages) {
      await writeFile(resolve(outDir, name), html.replace(written(pagePolicy), written(allowed)));
    }
    await rm(resolve(outDir, 'fetch.html'));
  }
  for (const [name, allowed] of framePages) {
    const file = resolve(outDir, name);
    if (!existsSync(file)) continue;
    const html = await readFile(file, 'utf8');
    await writeFile(file, html.replace(written(pagePolicy), written(allowed)));
  }
  await cp(at('node_modules/soundswallower/model/en-us'), resolve(outDir, 'model/en-us'), {
    recursive: true,
  });
  await cp(at('src/engines/examear/examear.bin'), resolve(outDir, 'model/examear.bin'));
  const notices = await Promise.all(
    ['NOTICES.md', 'node_modules/@huggingface/transformers/LICENSE'].map((path) =>
      readFile(at(path), 'utf8'),
    ),
  );
  await writeFile(resolve(outDir, 'notices.txt'), notices.join('\n## Apache License 2.0\n\n'));
  await cp(at('dist/networks.bin'), resolve(outDir, 'networks.bin'));
  await writeFile(resolve(outDir, 'vosk-worker.js'), await voskWorker());
  await writeFile(resolve(outDir, 'page.webmanifest'), `${JSON.stringify(manifest, null, 2)}\n`);
  for (const name of icons) await cp(at(`src/app/${name}`), resolve(outDir, name));
  await offline(outDir);
  const scripts = (await readdir(resolve(outDir, 'assets'))).filter((name) => name.endsWith('.js'));
  for (const name of scripts) {
    const size = gzipSync(await readFile(resolve(outDir, 'assets', name))).length;
    console.log(`  ${name} ${(size / 1000).toFixed(1)} kB gzipped`);
  }
}

/** The word networks of the grammar, made once here and not at every start. */
async function networks() {
  await program('src/app/networks.ts', at('dist/make'));
  const { packedNetworks } = await import(`${at('dist/make/main.js')}?${Date.now()}`);
  const bytes = packedNetworks();
  await writeFile(at('dist/networks.bin'), bytes);
  console.log(`  networks.bin ${(gzipSync(bytes).length / 1000).toFixed(1)} kB gzipped`);
}

const parts = [
  { name: 'networks of the grammar', entry: 'src/app/networks.ts', make: networks },
  { name: 'page', entry: 'src/app/index.html', make: () => page(at('src/app'), at('dist/page')) },
  {
    name: 'command line',
    entry: 'src/cli/main.ts',
    make: () => program('src/cli/main.ts', 'dist/cli'),
  },
  {
    name: 'benchmark',
    entry: 'tests/bench/main.ts',
    make: () => program('tests/bench/main.ts', 'dist/bench'),
  },
];

async function everything() {
  for (const { name, entry, make } of parts) {
    if (existsSync(at(entry))) {
      console.log(`building the ${name}`);
      await make();
    } else {
      console.log(`skipping the ${name}: there is no ${entry}`);
    }
  }
}

if (process.argv[1] && realpathSync(process.argv[1]) === fileURLToPath(import.meta.url)) {
  try {
    await everything();
  } catch (failure) {
    console.error(failure.message);
    process.exitCode = 1;
  }
}
