// Caches the whole app on the device. Requests for records or calculations are left to the page.
import {
  cleanupOutdatedCaches,
  createHandlerBoundToURL,
  precacheAndRoute,
  PrecacheController,
  PrecacheRoute,
  type PrecacheEntry,
} from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";

/** Every file of this version, inserted by the build, so that each version's sw.js differs. */
declare const PRECACHE: PrecacheEntry[];
/** What is cached once the app is ready: lazily imported screens and drawings, the checks. */
declare const LATER: PrecacheEntry[];

const scope = self as unknown as ServiceWorkerGlobalScope;

precacheAndRoute(PRECACHE, { directoryIndex: "index.html", cleanURLs: false });
cleanupOutdatedCaches();

// The second step has a cache of its own. A later version updates both caches where both exist.
const REST = "datumbook-rest";
const rest = new PrecacheController({ cacheName: REST });
rest.addToCacheList(LATER);
registerRoute(new PrecacheRoute(rest));
scope.addEventListener("install", (event) => {
  event.waitUntil(caches.has(REST).then((had) => (had ? rest.install(event) : undefined)));
});

// Any navigation is answered with the app's page, also offline, except for the server's own paths.
registerRoute(
  new NavigationRoute(createHandlerBoundToURL("/index.html"), {
    denylist: [/^\/(sync|api|healthz|metrics)(\/|$)/, /^\/licences\.txt$/, /^\/start(\/|$)/],
  }),
);

// A newer version waits until the page activates it, so that unsaved input is not lost.
scope.addEventListener("message", (event) => {
  const type = (event.data as { type?: string } | null)?.type;
  if (type === "SKIP_WAITING") {
    event.waitUntil(scope.skipWaiting());
  }
  // The page is ready and idle: cache the rest, and report when it is complete.
  if (type === "STORE_REST") {
    event.waitUntil(
      rest.install(event).then(
        () => event.source?.postMessage({ type: "REST_STORED" }),
        () => undefined, // office unreachable: tried again at the next start
      ),
    );
  }
});

// The very first version controls the open page at once, so that 'ready to work offline' is true
// when it is shown.
scope.addEventListener("activate", (event) => {
  event.waitUntil(scope.clients.claim());
  event.waitUntil(caches.has(REST).then((had) => (had ? rest.activate(event) : undefined)));
});
