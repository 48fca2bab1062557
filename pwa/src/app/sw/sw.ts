// Caches the whole app on the device. Requests for records or calculations are left to the page.
import { cleanupOutdatedCaches, PrecacheController, PrecacheRoute } from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";
import { putShared } from "../../storage/shared";

interface Entry {
  url: string;
  revision: string | null;
  /** Bytes, unpacked. */
  size: number;
}

/** Every file of this version, inserted by the build, so that each version's sw.js differs. */
declare const PRECACHE: Entry[];
/** What is cached once the app is ready: lazily imported screens and drawings, the checks. */
declare const LATER: Entry[];

const scope = self as unknown as ServiceWorkerGlobalScope;

const first = new PrecacheController();
first.addToCacheList(PRECACHE);
registerRoute(new PrecacheRoute(first, { directoryIndex: "index.html", cleanURLs: false }));
cleanupOutdatedCaches();

// The second step has a cache of its own. A later version waits for both where both exist.
const REST = "datumbook-rest";
const rest = new PrecacheController({ cacheName: REST });
rest.addToCacheList(LATER);
registerRoute(new PrecacheRoute(rest));

const LARGE = 2e6;
let stored = 0;

/**
 * Stores what is not stored yet, all of it asked for at once: the controller stores one file after the
 * other, each of which would wait for the line to and fro. What the page has fetched comes from the
 * browser's own cache. A file that fails is left to the controller.
 */
async function bring(into: PrecacheController, list: readonly Entry[]): Promise<void> {
  const cache = await caches.open(into.strategy.cacheName);
  const one = async ({ url, revision, size }: Entry): Promise<void> => {
    const key = into.getCacheKeyForURL(url)!;
    if (!(await cache.match(key))) {
      const response = await fetch(url, revision ? { cache: "reload" } : {});
      if (!response.ok) return;
      await cache.put(key, response);
    }
    stored += size;
    const pages = await scope.clients.matchAll({ includeUncontrolled: true, type: "window" });
    for (const page of pages) page.postMessage({ type: "STORED", bytes: stored });
  };
  // calc.wasm last: the page may be fetching the end of it, and it would come twice in some browsers.
  for (const some of [list.filter(({ size }) => size < LARGE), list.filter(({ size }) => size >= LARGE)])
    await Promise.all(some.map((entry) => one(entry).catch(() => undefined)));
}

let going: Promise<void> | undefined;
const bringRest = (): Promise<void> => (going ??= bring(rest, LATER));

async function install(event: ExtendableEvent): Promise<void> {
  const had = await caches.has(REST);
  const behind = bringRest(); // it is not waited for the first time
  await bring(first, PRECACHE);
  await first.install(event);
  if (!had) return;
  await behind;
  await rest.install(event);
}

scope.addEventListener("install", (event) => event.waitUntil(install(event)));

// Any navigation is answered with the app's page, also offline, except for the server's own paths.
registerRoute(
  new NavigationRoute(first.createHandlerBoundToURL("/index.html"), {
    denylist: [/^\/(sync|api|healthz|metrics)(\/|$)/, /^\/licences\.txt$/, /^\/start(\/|$)/],
  }),
);

// A photo that is shared to the app is on disk before this answers; the page puts it where it belongs.
// What could not be kept is said: it is still where it was shared from.
registerRoute(
  "/share",
  async ({ request }) => {
    let as = "full";
    try {
      const given = (await request.formData()).getAll("photo").filter((f) => f instanceof File);
      await putShared(given);
      as = given.length > 0 ? "now" : "none";
    } catch {
      // no room, or not to be read
    }
    return Response.redirect(`/#/shared?as=${as}`, 303);
  },
  "POST",
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
      bringRest()
        .then(() => rest.install(event))
        .then(
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
  event.waitUntil(first.activate(event));
  event.waitUntil(caches.has(REST).then((had) => (had ? rest.activate(event) : undefined)));
});
