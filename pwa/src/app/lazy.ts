// The one entry for code that the first screen does not need: every dynamic import stands here, and
// each becomes a file of its own that the service worker stores beside the rest. Keep what the
// first paint needs out of what is behind it.
import type { Book, BookOptions } from "../records/open";
import type { Loaders } from "../screen/load";

/**
 * Opens the book: PouchDB is the heaviest part of the page and comes while the first screen is
 * already there.
 */
export async function openBook(options: BookOptions): Promise<Book> {
  return (await import("../records/open")).openBook("shop", options);
}

/** Loads once; where that fails, as with no network, it is asked for again. */
function once<T>(load: () => Promise<T>): () => Promise<T> {
  let going: Promise<T> | undefined;
  return () =>
    (going ??= load().catch((cause: unknown) => {
      going = undefined;
      throw cause;
    }));
}

const jobbook = once(() => import("../jobbook"));
const office = once(() => import("../office"));
const print = once(() => import("../print"));

const other: Record<string, Loaders["screens"]> = {
  where: office,
  pair: office,
  office,
  print,
  files: print,
};

export const loaders: Loaders = {
  screens: (view) => (other[view] ?? jobbook)(view),
  fromJob: jobbook,
  drawings: once(() => import("../drawing/shown")),
  transfer: once(() => import("../records/transfer")),
};
