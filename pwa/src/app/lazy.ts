// Every dynamic import stands here; each becomes a file of its own that the service worker caches.
// Nothing that the first paint needs may be behind one of them.
import type { Book, BookOptions } from "../records/open";
import type { Loaders } from "../screen/load";

const coming = new Set<Promise<unknown>>();

/** Settles when what the screens asked for so far has come, or cannot. */
export const loaded = (): Promise<unknown> => Promise.allSettled(coming);

/** Loads once; after a failure, as with no network, the next call tries again. */
function once<T>(load: () => Promise<T>): () => Promise<T> {
  let going: Promise<T> | undefined;
  return () => {
    if (!going) {
      going = load().catch((cause: unknown) => {
        going = undefined;
        throw cause;
      });
      coming.add(going);
    }
    return going;
  };
}

const records = once(() => import("../records/open"));

/**
 * Opens the job book. PouchDB is the largest part of the page, so it is loaded after the first
 * screen is shown.
 */
export async function openBook(options: BookOptions): Promise<Book> {
  return (await records()).openBook("shop", options);
}

const jobbook = once(() => import("../jobbook"));
const office = once(() => import("../office"));
const print = once(() => import("../print"));
const page = once(() => import("../page/page"));

const other: Record<string, Loaders["screens"]> = {
  where: office,
  pair: office,
  open: office,
  office,
  print,
  files: print,
  page,
};

export const loaders: Loaders = {
  screens: (view) => (other[view] ?? jobbook)(view),
  fromJob: once(() => import("../jobbook/from-job")),
  mill: jobbook,
  drawings: once(() => import("../drawing/shown")),
  transfer: once(() => import("../records/transfer")),
};
