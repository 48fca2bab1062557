// Keeps the whole app on the device. It never looks at records or calculations' calls: those belong
// to the page.
import {
  cleanupOutdatedCaches,
  createHandlerBoundToURL,
  precacheAndRoute,
  PrecacheController,
  PrecacheRoute,
  type PrecacheEntry,
} from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";

/**
 * Every file of this version, put in by the build; so each version's sw.js differs from the last.
 */
declare const PRECACHE: PrecacheEntry[];
/** What may follow once the app is ready: lazily imported screens and drawings, the checks. */
declare const LATER: PrecacheEntry[];

const scope = self as unknown as ServiceWorkerGlobalScope;

precacheAndRoute(PRECACHE, { directoryIndex: "index.html", cleanURLs: false });
cleanupOutdatedCaches();

// The second step has a store of its own. A later version brings both steps along for those who
// have both.
const REST = "datumbook-rest";
const rest = new PrecacheController({ cacheName: REST });
rest.addToCacheList(LATER);
registerRoute(new PrecacheRoute(rest));
scope.addEventListener("install", (event) => {
  event.waitUntil(caches.has(REST).then((had) => (had ? rest.install(event) : undefined)));
});

// Any address of the app opens the app, also with no network. What the server answers itself is
// left to it.
registerRoute(
  new NavigationRoute(createHandlerBoundToURL("/index.html"), {
    denylist: [/^\/(sync|api|healthz|metrics)(\/|$)/, /^\/licences\.txt$/, /^\/start(\/|$)/],
  }),
);

// A newer version waits until the page says so: nobody loses what is half typed.
scope.addEventListener("message", (event) => {
  const type = (event.data as { type?: string } | null)?.type;
  if (type === "SKIP_WAITING") {
    event.waitUntil(scope.skipWaiting());
  }
  // The page is ready and at rest: store what is left, and say when all of it is there.
  if (type === "STORE_REST") {
    event.waitUntil(
      rest.install(event).then(
        () => event.source?.postMessage({ type: "REST_STORED" }),
        () => undefined, // out of reach just now: asked again at the next start
      ),
    );
  }
});

// The very first version serves the open page at once, so that 'ready to work offline' is true when
// it is said.
scope.addEventListener("activate", (event) => {
  event.waitUntil(scope.clients.claim());
  event.waitUntil(caches.has(REST).then((had) => (had ? rest.activate(event) : undefined)));
});
