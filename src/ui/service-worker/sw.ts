import { cleanupOutdatedCaches, type PrecacheEntry, precacheAndRoute } from 'workbox-precaching';

declare const self: ServiceWorkerGlobalScope;

/** Every file of the app, put in when it is built. */
declare const __PRECACHE__: PrecacheEntry[];

precacheAndRoute(__PRECACHE__);
cleanupOutdatedCaches();

// The first one answers for the page that brought it too: what that has not fetched yet comes from here.
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));

// A new version waits until the page asks for it: nobody is interrupted while editing.
self.addEventListener('message', (event) => {
  if (event.data === 'use-new-version') void self.skipWaiting();
});
