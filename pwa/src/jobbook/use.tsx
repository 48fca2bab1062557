import type { ComponentChildren, ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { RecordKind } from "../engine/contract.gen";
import { Refused } from "../records/rules";
import { nameOf, type Rec } from "../records/fields";
import { kindOf, type Repository } from "../records/repository";
import { sayFault } from "../storage/persist";
import { useApp, useTitle, words, type App } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { B } from "../text/jobbook";
import { setState } from "./setups";

/** The records of some kinds, drawn again whenever any of them changes. */
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

/** Stands in for a screen while its records are read, or cannot be. */
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
 * Makes the page of one record: it waits for what it needs, and says where the record is not on
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

/** What the rules say of every kind; empty until they have said it. */
export function useKinds(repo: Repository | undefined): { kinds: RecordKind[]; fault: string } {
  const { bridge } = useApp();
  const [kinds, set] = useState<RecordKind[]>([]);
  const [fault, setFault] = useState("");
  // Rules that have stopped say so; asked again and running again, they answer.
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

/** What stopped something from being stored, in a sentence. */
export function storeFault(err: unknown): string {
  if (err instanceof Refused) return err.message;
  return sayFault(err) ?? `${B.saveFailed} ${words(err)}`;
}

/** Says what came of something: the words with their Undo, or what stopped it. */
export function tell(say: App["say"], work: Promise<unknown>, words: string, undo?: () => unknown): void {
  work.then(
    () => say(words, undo && (() => void undo())),
    (err: unknown) => say(storeFault(err)),
  );
}

/** Deletes a record, with the way back. */
export function Remove({
  repo,
  id,
  name,
  first,
}: {
  repo: Repository;
  id: string;
  name: string;
  first?: () => void;
}) {
  const { say } = useApp();
  const act = () => {
    first?.();
    tell(say, repo.remove(id), B.removed(name), () => repo.restore(id));
  };
  return <Button label={B.remove} act={act} />;
}

/**
 * Marks a setup and says what became of the others of its job, with the way back; false where it
 * did not come off.
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

/** Runs one piece of work at a time and says what stopped it. */
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

/** Keeps the screen lit while something is worked on; a phone that cannot is no trouble. */
export function useLit(on: boolean): void {
  useEffect(() => {
    if (!on || !("wakeLock" in navigator)) return;
    let lock: WakeLockSentinel | undefined;
    let live = true;
    const take = () => {
      if (document.visibilityState !== "visible") return;
      navigator.wakeLock.request("screen").then(
        (l) => {
          if (live) lock = l;
          else void l.release();
        },
        () => undefined, // a low battery refuses it
      );
    };
    take();
    document.addEventListener("visibilitychange", take);
    return () => {
      live = false;
      document.removeEventListener("visibilitychange", take);
      void lock?.release().catch(() => undefined);
    };
  }, [on]);
}

export const titleOfSheet = (
  describe: { worksheets: { name: string; title: string }[] } | undefined,
  name: string,
): string => describe?.worksheets.find((s) => s.name === name)?.title ?? name;

/** Who wrote something, for a person: a name as it was given, else this phone or another. */
export function useWho(): (by: string) => string {
  const { book } = useApp();
  return (by) => {
    const found = by.trim();
    if (found === book?.device) return B.thisPhone;
    return /^[0-9a-hjkmnp-tv-z]{10}$/.test(found) ? B.otherPhone(found.slice(0, 4)) : found;
  };
}
