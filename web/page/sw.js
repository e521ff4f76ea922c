// Keeps this build of the page for use without a network. The cache is named by the build; a newer build waits until the
// page asks for it (page/offline.js), so that one page never mixes two builds.
const cacheName = 'intercusp-@DIGEST@';
const files = @FILES@;

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(cacheName).then((cache) =>
    cache.addAll(files.map((file) => new Request(file, { cache: file.startsWith('assets/') ? 'default' : 'reload' })))));
});

self.addEventListener('activate', (event) => {
  const outdated = (name) => name.startsWith('intercusp-') && name !== cacheName;
  event.waitUntil(caches.keys()
    .then((names) => Promise.all(names.filter(outdated).map((name) => caches.delete(name))))
    .then(() => self.clients.claim()));
});

self.addEventListener('message', (event) => {
  if (event.data === 'take over') self.skipWaiting();
});

self.addEventListener('fetch', (event) => {
  const request = event.request;
  if (request.method !== 'GET' || new URL(request.url).origin !== self.location.origin) return;
  const wanted = request.mode === 'navigate' ? './' : request;
  event.respondWith(caches.open(cacheName).then((cache) => cache.match(wanted)).then((kept) => kept ?? fetch(request)));
});
