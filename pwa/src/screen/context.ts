import { createContext } from "preact";
import { useContext, useEffect, useState } from "preact/hooks";
import type { Loaders } from "./load";
import type { Book } from "../records/open";
import { sayFault } from "../storage/persist";
import type { Bridge } from "../engine/bridge";
import type { Describe } from "../engine/contract.gen";
import type { SyncState } from "../sync/status";

/** A key beside the page's name. */
export interface HeadKey {
  label: string;
  says: string;
  act: () => void;
  /** State of a toggle. */
  on?: boolean;
}

/**
 * What every screen may use. describe and book are undefined until they have loaded; where they
 * cannot, the fault beside them says why.
 */
export interface App {
  bridge: Bridge;
  describe: Describe | undefined;
  describeFault: string;
  again: () => void;
  book: Book | undefined;
  bookFault: string;
  load: Loaders;
  /** Shows a message at the foot of the screen, with an Undo when one is given. */
  say: (text: string, undo?: () => void) => void;
  /** Sets the page's title in the head, where the address alone does not give it. */
  entitle: (title: string) => void;
  /** Sets the key that a page has in the head, or takes it away. */
  keyInHead: (key: HeadKey | undefined) => void;
}

export const AppContext = createContext<App | undefined>(undefined);

export function useApp(): App {
  const app = useContext(AppContext);
  if (!app) throw new Error("useApp outside the shell");
  return app;
}

/** The sync status, as it changes. */
export function useSync(): SyncState | undefined {
  const { book } = useApp();
  const [state, set] = useState(book?.sync);
  useEffect(() => {
    if (!book) return;
    set(book.sync);
    return book.onSync(set);
  }, [book]);
  return state;
}

/** Names the page. */
export function useTitle(title: string): void {
  const { entitle } = useApp();
  useEffect(() => {
    if (title) entitle(title);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the shell makes entitle anew each time
  }, [title]);
}

/** What a promise gives; asked again when a key changes. */
export function useLoaded<T>(load: () => Promise<T> | undefined, keys: readonly unknown[]) {
  const [state, set] = useState<{ value?: T; fault: string; loading: boolean }>({ fault: "", loading: true });
  useEffect(() => {
    let live = true;
    const going = load();
    if (!going) return;
    set((s) => ({ ...s, loading: true }));
    going.then(
      (value) => live && set({ value, fault: "", loading: false }),
      (err: unknown) => live && set({ fault: words(err), loading: false }),
    );
    return () => {
      live = false;
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the caller says when
  }, keys);
  return state;
}

/** An error as a sentence. */
export const words = (err: unknown): string =>
  sayFault(err) ?? (err instanceof Error ? err.message : String(err));

const typing = new Set<string>();

/** Declares unsaved input on this page, so that nothing reloads it. */
export function useUnsaved(name: string, unsaved: boolean): void {
  useEffect(() => {
    if (unsaved) typing.add(name);
    else typing.delete(name);
    return () => void typing.delete(name);
  }, [name, unsaved]);
}

export const anyUnsaved = (): boolean => typing.size > 0;

/** A moment as the phone writes it: "25 Nov, 10:42"; the year when it is another. */
export function when(iso: string): string {
  const d = new Date(iso);
  if (Number.isNaN(d.getTime())) return iso;
  const year = d.getFullYear() === new Date().getFullYear() ? undefined : "numeric";
  return d.toLocaleString(undefined, {
    day: "numeric",
    month: "short",
    year,
    // A day alone has no hour.
    ...(iso.length > 10 ? { hour: "2-digit", minute: "2-digit" } : { timeZone: "UTC" }),
  });
}

/** Whether an element can be seen: not hidden, and not in a folded part. */
export const seen = (el: HTMLElement): boolean =>
  el.offsetParent !== null && !el.closest("details:not([open])");
