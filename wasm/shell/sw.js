// The service worker: keeps one whole version of the app and answers from it,
// with or without a connection. The build puts the constant "site" before this
// text: the version, and every file with the hash of its bytes.

const prefix = 'fourchette-';
const cacheName = prefix + site.version;
const start = new URL('./', location).pathname;

// All files or none: a file that is missing, cut short or of another version
// fails its hash, and with it the whole installation.
self.addEventListener('install', (event) => {
  const files = Object.entries(site.files).map(([name, integrity]) => new Request(name, {integrity}));
  event.waitUntil(caches.open(cacheName).then((cache) => cache.addAll(files)));
});

// The page says when: while a birth is open the version that began it stays.
self.addEventListener('message', ({data}) => {
  if (data === 'take over') self.skipWaiting();
});

self.addEventListener('activate', (event) => {
  event.waitUntil(takeOver());
});

async function takeOver() {
  await self.clients.claim();
  const names = await caches.keys();
  await Promise.all(names.filter((n) => n.startsWith(prefix) && n !== cacheName).map((n) => caches.delete(n)));
}

self.addEventListener('fetch', (event) => {
  const {request} = event;
  if (request.method === 'GET' && new URL(request.url).origin === location.origin) {
    event.respondWith(answer(request));
  }
});

async function answer(request) {
  const cache = await caches.open(cacheName);
  const page = request.mode === 'navigate' && new URL(request.url).pathname === start;
  const kept = await cache.match(page ? 'index.html' : request, {ignoreVary: true});
  return kept ?? fetch(request);
}
