// The one door for code that the first screen does not need: every dynamic import stands here, and each becomes a file
// of its own that the service worker stores beside the rest. Keep what the first paint needs out of what is behind it.
import type { Book, BookOptions } from "../records/open";
import type * as Drawings from "../drawing/shown";
import type * as Carry from "../records/transfer";
import type * as Screens from "../jobbook";
import type * as OfficeScreens from "../office";
import type * as Papers from "../print";

/** Opens the book: PouchDB is the heaviest part of the page and comes while the first screen is already there. */
export async function openBook(options: BookOptions): Promise<Book> {
  return (await import("../records/open")).openBook("shop", options);
}

let screens: Promise<typeof Screens> | undefined;

/** The job book's screens: they wait for the book anyway. */
export function bookScreens(): Promise<typeof Screens> {
  screens ??= import("../jobbook").catch((cause: unknown) => {
    screens = undefined; // no network just now: asked again, it is fetched again
    throw cause;
  });
  return screens;
}

/** Pages for paper, and files in and out: wanted now and then. */
export const paperScreens = (): Promise<typeof Papers> => import("../print");

/** Records in and out by file, and the invented job. */
export const carrier = (): Promise<typeof Carry> => import("../records/transfer");

/** Pages about this device and the office. */
export const officeScreens = (): Promise<typeof OfficeScreens> => import("../office");

let drawn: Promise<typeof Drawings> | undefined;

/** All drawings but the hole's. */
export function drawingPage(): Promise<typeof Drawings> {
  drawn ??= import("../drawing/shown").catch((cause: unknown) => {
    drawn = undefined;
    throw cause;
  });
  return drawn;
}
