// The one door for code that the first screen does not need: every dynamic import stands here, and each becomes a file
// of its own that the service worker stores beside the rest. Keep what the first paint needs out of what is behind it.
import type { Book } from "../book/open";

/** Opens the book: PouchDB is the heaviest part of the page and comes while the first screen is already there. */
export async function openBook(name?: string): Promise<Book> {
  return (await import("../book/open")).openBook(name);
}
