// The page without a network: what the build made is kept on this device, one store a version, and
// answered from there. The build puts in the version and the files.

const version = '__VERSION__';
const files = JSON.parse('__FILES__');
const store = `plessor-${version}`;
const own = (name) => name.startsWith('plessor-');

self.addEventListener('install', (event) => {
  event.waitUntil(
    caches.open(store).then((cache) =>
      // Asked for anew: what the browser still remembers may be of another version.
      cache.addAll(files.map((file) => new Request(file, { cache: 'no-cache' }))),
    ),
  );
});

// A page that was opened with the version before this one may still be in use: its store stays.
self.addEventListener('activate', (event) => {
  event.waitUntil(
    caches.keys().then(async (names) => {
      const before = names.filter((name) => own(name) && name !== store);
      await Promise.all(before.slice(0, -1).map((name) => caches.delete(name)));
      await self.clients.claim();
    }),
  );
});

// Only a page with no exam in it says so.
self.addEventListener('message', ({ data }) => {
  if (data === 'take over') void self.skipWaiting();
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== self.location.origin) return;
  event.respondWith(answer(request, url));
});

async function answer(request, url) {
  const cache = await caches.open(store);
  const kept = (await cache.match(url.href)) ?? (await caches.match(url.href));
  if (kept !== undefined) return kept;
  const fresh = await fetch(request);
  // Parts of other engines: kept from their first use on.
  if (fresh.ok && fresh.type === 'basic') await cache.put(url.href, fresh.clone()).catch(() => {});
  return fresh;
}
