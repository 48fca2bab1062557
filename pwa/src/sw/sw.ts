// Keeps the whole app on the device. It never looks at records or calculations' calls: those belong to the page.
import {
  cleanupOutdatedCaches,
  createHandlerBoundToURL,
  precacheAndRoute,
  type PrecacheEntry,
} from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";

/** Every file of this version, put in by the build; so each version's sw.js differs from the last. */
declare const PRECACHE: PrecacheEntry[];

const scope = self as unknown as ServiceWorkerGlobalScope;

precacheAndRoute(PRECACHE, { directoryIndex: "index.html", cleanURLs: false });
cleanupOutdatedCaches();

// Any address of the app opens the app, also with no network. What the server answers itself is left to it.
registerRoute(
  new NavigationRoute(createHandlerBoundToURL("/index.html"), {
    denylist: [/^\/(sync|api|healthz|metrics)(\/|$)/, /^\/licences\.txt$/, /^\/start(\/|$)/],
  }),
);

// A newer version waits until the page says so: nobody loses what is half typed.
scope.addEventListener("message", (event) => {
  if ((event.data as { type?: string } | null)?.type === "SKIP_WAITING") {
    void scope.skipWaiting();
  }
});

// The very first version serves the open page at once, so that 'ready to work offline' is true when it is said.
scope.addEventListener("activate", (event) => {
  event.waitUntil(scope.clients.claim());
});
