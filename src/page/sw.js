/* Keeps the page and the last answers for use without a connection. The network comes first; what is kept is the fallback. */

const k_cache = 'steelyard-1';
const k_files = ['/', '/sheet.css', '/page.css', '/icon.svg', '/manifest.webmanifest', '/uplot.css', '/uplot.js',
  ...['api', 'app', 'at_bar', 'body', 'charts', 'check', 'coach', 'dom', 'figures', 'locale', 'log', 'login', 'me', 'queue', 'today', 'words'].map((name) => `/${name}.js`)];
const k_patience = 4000;  // ms without an answer before the kept one is shown

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(k_cache).then((cache) => cache.addAll(k_files)).then(() => self.skipWaiting()));
});

self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));

async function fromNetwork(request, keep) {
  const response = await fetch(request);
  if (response.ok && keep) {
    const copy = response.clone();
    const cache = await caches.open(k_cache);
    await cache.put(keep, copy);
  }
  return response;
}

async function answer(request, keep) {
  const kept = await caches.match(keep);
  if (!kept) return fromNetwork(request, keep);
  const slow = new Promise((resolve) => setTimeout(() => resolve(kept.clone()), k_patience));
  return Promise.race([fromNetwork(request, keep).catch(() => kept), slow]);
}

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== location.origin) return;
  const page = request.mode === 'navigate' && url.pathname === '/';
  if (url.pathname.startsWith('/v1/') && url.pathname.endsWith('/report')) return;
  event.respondWith(answer(request, page ? '/' : request));
});
