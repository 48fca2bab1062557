import type { ComponentChildren, ComponentType } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { RecordKind } from "../engine/contract.gen";
import { clearDraft, loadDraft, saveDraft } from "../form/drafts";
import { Refused } from "../records/rules";
import { nameOf, type Rec } from "../records/fields";
import { kindOf, type Changed, type Repository } from "../records/repository";
import { sayFault } from "../storage/persist";
import { inPocket, putInPocket } from "../screen/pocket";
import { useApp, useTitle, useUnsaved, words, type App } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { B } from "../text/jobbook";
import { writer } from "../text/words";
import { setState } from "./setups";

/** The records of some kinds, drawn again whenever one of them changes. */
export function useRepository(...kinds: string[]): {
  repo: Repository | undefined;
  ready: boolean;
  fault: string;
} {
  const { book, bookFault } = useApp();
  const repo = book?.repo;
  const [, draw] = useState(0);
  const [fault, setFault] = useState("");
  useEffect(() => {
    if (!repo) return;
    const off = repo.watch(() => draw((n) => n + 1));
    for (const kind of kinds) repo.load(kind).catch((err: unknown) => setFault(words(err)));
    return off;
    // eslint-disable-next-line react-hooks/exhaustive-deps -- their names stand for kinds
  }, [repo, kinds.join()]);
  return { repo, ready: !!repo && repo.ready(...kinds), fault: bookFault || fault };
}

/** Whether two names of a place are the same, as the rules have it. */
export const sameName = (a: unknown, b: unknown): boolean =>
  typeof a === "string" && typeof b === "string" && a.trim().toLowerCase() === b.trim().toLowerCase();

/** Shown in place of a screen while its records load, or cannot. */
export function Gate({
  ready,
  fault,
  children,
}: {
  ready: boolean;
  fault: string;
  children: ComponentChildren;
}) {
  if (fault) return <Blank kind="broken" title={B.failed} help={fault} />;
  if (!ready) return <Blank kind="loading" title={B.loading} />;
  return <>{children}</>;
}

/**
 * Makes the page of one record: it waits for what it needs, and reports a record that is not on
 * this phone.
 */
export function ofRecord<P extends { id: string }>(
  Page: ComponentType<Omit<P, "id"> & { repo: Repository; rec: Rec }>,
  kinds: readonly string[],
  { title = (name: string) => name, none = B.gone } = {},
) {
  return function OfRecord({ id, ...more }: P) {
    const { repo, ready, fault } = useRepository(kindOf(id), ...kinds);
    const rec = repo?.get(id);
    useTitle(rec ? title(nameOf(rec)) : "");
    return (
      <Gate ready={ready} fault={fault}>
        {repo && rec ? (
          <Page {...more} repo={repo} rec={rec} />
        ) : (
          <Blank kind="empty" title={none} help={B.goneHelp} />
        )}
      </Gate>
    );
  };
}

/** The rules' description of every kind; empty until it has arrived. */
export function useKinds(repo: Repository | undefined): { kinds: RecordKind[]; fault: string } {
  const { bridge } = useApp();
  const [kinds, set] = useState<RecordKind[]>([]);
  const [fault, setFault] = useState("");
  // Rules that have stopped report it; once they run again they are asked again.
  useEffect(() => {
    const look = () => setFault(bridge.trouble);
    look();
    return bridge.onState(look);
  }, [bridge]);
  useEffect(() => {
    let live = true;
    repo?.kinds().then(
      (k) => live && set(k),
      (err: unknown) => live && setFault(words(err)),
    );
    return () => {
      live = false;
    };
  }, [repo]);
  return { kinds, fault: kinds.length > 0 ? "" : fault };
}

/** Why something could not be stored, in a sentence. */
export function storeFault(err: unknown): string {
  if (err instanceof Refused) return err.message;
  return sayFault(err) ?? `${B.saveFailed} ${words(err)}`;
}

/** The message after a change: that an entry came meanwhile where one did, else the one given. */
export const metOr = (done: unknown, words: string): string =>
  ((done as Partial<Changed> | undefined)?.met ?? []).length > 0 ? B.clash.met : words;

/**
 * Reports the outcome of an action: the message with its Undo, which is given what the action gave,
 * or why it failed.
 */
export function tell<T>(
  say: App["say"],
  work: Promise<T>,
  words: string,
  undo?: (done: T) => Promise<unknown>,
): void {
  const failed = (err: unknown) => say(storeFault(err));
  work.then((done) => say(metOr(done, words), undo && (() => void undo(done).catch(failed))), failed);
}

/** Takes something back, as an Undo does, and reports why it failed where it does. */
export const takeBack = (say: App["say"], work: Promise<unknown>): void =>
  void work.catch((err: unknown) => say(storeFault(err)));

/** Deletes a record, with an Undo. */
export function Remove({
  repo,
  rec,
  name,
  first,
}: {
  repo: Repository;
  rec: Rec;
  name: string;
  first?: () => void;
}) {
  const { say } = useApp();
  const act = () => {
    first?.();
    tell(say, repo.remove(rec), B.removed(name), (gone) => repo.restore(gone));
  };
  return <Button label={B.remove} act={act} />;
}

/**
 * Marks a setup and reports what changed in the others of its job, with an Undo; false where it
 * failed.
 */
export async function mark(
  repo: Repository,
  setup: Rec,
  state: string,
  say: App["say"],
  from?: Rec,
): Promise<boolean> {
  const fault = (err: unknown) => say(storeFault(err));
  try {
    const { words, undo } = await setState(repo, setup, state, from);
    if (words) say(words, () => void undo().catch(fault));
    return true;
  } catch (err) {
    fault(err);
    return false;
  }
}

/** Runs one action at a time and reports why it failed. */
export function useWork(): {
  busy: boolean;
  fault: string;
  clear: () => void;
  run: (work: () => Promise<void>) => void;
} {
  const [busy, setBusy] = useState(false);
  const [fault, setFault] = useState("");
  return {
    busy,
    fault,
    clear: () => setFault(""),
    run: (work) => {
      if (busy) return;
      setBusy(true);
      setFault("");
      work()
        .catch((err: unknown) => setFault(storeFault(err)))
        .finally(() => setBusy(false));
    },
  };
}

type Texts = Record<string, string>;

/** Texts that are stored at every key: they come back with the page, and go once they are kept. */
export function useDraft(
  name: string,
  start: Texts,
): [Texts, (change: Texts) => void, (now?: Texts) => void] {
  const [texts, set] = useState(() => ({ ...start, ...loadDraft(name)?.inputs }));
  const [stored, setStored] = useState(true);
  const latest = useRef(texts);
  useUnsaved(name, !stored);
  const show = (next: Texts) => set((latest.current = next));
  return [
    texts,
    (change) => {
      show({ ...latest.current, ...change });
      setStored(saveDraft(name, { inputs: latest.current }));
    },
    (now = start) => {
      clearDraft(name);
      setStored(true);
      show(now);
    },
  ];
}

/**
 * Whether a phone's screen goes dark whatever is asked of it: an app on the home screen before iOS
 * 18.4, which is also the first to have iterators' own methods.
 * https://bugs.webkit.org/show_bug.cgi?id=254545
 */
export const darkens = (): boolean =>
  !("wakeLock" in navigator) ||
  (/iPhone|iPad|Macintosh/.test(navigator.userAgent) &&
    navigator.maxTouchPoints > 0 &&
    matchMedia("(display-mode: standalone)").matches &&
    !("Iterator" in globalThis));

/** Says once, and never again, that the screen may go dark, and where the phone has that set. */
export function sayDark(say: App["say"]): void {
  if (inPocket(DARK)) return;
  putInPocket(DARK, true);
  const { userAgent: agent, maxTouchPoints } = navigator;
  const apple = /iPhone|iPad/.test(agent) || (agent.includes("Macintosh") && maxTouchPoints > 0);
  say(B.dark[apple ? "apple" : agent.includes("Android") ? "android" : "other"]);
}
const DARK = "datumbook.dark";

/** Keeps the screen on while something is worked on; where it cannot be, that is said once. */
export function useLit(on: boolean): void {
  const { say } = useApp();
  useEffect(() => {
    if (!on) return;
    if (darkens()) sayDark(say);
    if (!("wakeLock" in navigator)) return;
    let lock: WakeLockSentinel | undefined;
    let live = true;
    const take = () => {
      if (document.visibilityState !== "visible") return;
      navigator.wakeLock.request("screen").then(
        (l) => {
          if (live) lock = l;
          else void l.release();
        },
        // A low battery refuses it; a page that is just going has no need of it.
        () => live && document.visibilityState === "visible" && sayDark(say),
      );
    };
    take();
    document.addEventListener("visibilitychange", take);
    return () => {
      live = false;
      document.removeEventListener("visibilitychange", take);
      void lock?.release().catch(() => undefined);
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the shell makes say anew each time
  }, [on]);
}

export const titleOfSheet = (
  describe: { worksheets: { name: string; title: string }[] } | undefined,
  name: string,
): string => describe?.worksheets.find((s) => s.name === name)?.title ?? name;

/** Who wrote something, for a person: a name as it was given, else this phone or another. */
export function useWho(): (by: string) => string {
  const { book } = useApp();
  return (by) => writer(by, book?.device);
}
