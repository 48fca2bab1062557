import { Component, type ComponentChildren } from "preact";
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { storageState } from "../storage/persist";
import { Keypad } from "../form/keypad/keypad";
import { Checked } from "../worksheet/checked";
import { useOwed } from "../start/card";
import { Home } from "../start/home";
import { Stage } from "../start/stage";
import { Lazy } from "../screen/lazy";
import { Reference } from "../worksheet/reference";
import { Settings } from "../start/settings";
import { AppContext, anyUnsaved, useApp, useSync, words, type App, type HeadKey } from "../screen/context";
import { owe, whatIsOwed } from "../screen/face";
import { Button } from "../ui/controls";
import { Blank, Sign } from "../ui/parts";
import { Pictogram } from "../ui/pictograms";
import { gravest, lastWord, type SyncState, type Trouble } from "../sync/status";
import { noRoom, onRoom } from "../storage/quota";
import type { Rec } from "../records/fields";
import { Cure } from "../screen/cure";
import type { UpdateState, Updates } from "./update";
import { here, W } from "../text/words";
import { arrive, goBack, leave, restore, watchPlaces } from "../screen/here";
import { book as toBook, footed, href, isRecord, LAUNCH, readRoute, type Route } from "../screen/route";

interface Said {
  text: string;
  undo?: () => void;
  n: number;
}

/** The page one is on, and whether one has been there before: then it stands as it was left. */
interface At {
  route: Route;
  again: boolean;
}

function useRoute(): At {
  const [at, set] = useState<At>(() => {
    watchPlaces();
    const again = arrive();
    return { again, route: readRoute() };
  });
  // Not after the first paint: a hashchange in between would be missed.
  useLayoutEffect(() => {
    // Of two moves in one moment the address is the last one's in both: a key in it is good once.
    let stands = location.hash;
    const moved = () => {
      if (location.hash === stands) return;
      // The icon was touched: the window is in front, and stays as it is.
      if (location.hash === LAUNCH) return history.back();
      leave();
      const again = arrive();
      const route = readRoute();
      stands = location.hash;
      set({ again, route });
    };
    addEventListener("hashchange", moved);
    return () => removeEventListener("hashchange", moved);
  }, []);
  return at;
}

/** The four pages of the foot: one comes to them by their key, so they need no way back. */
const isFoot = (route: Route): boolean =>
  route.page === "home" ||
  route.page === "jobs" ||
  (route.page === "book" && ((route.view === "shop" && !route.id) || route.view === "find"));

/**
 * On a desk a letter does what its key does, and / leads to Find: not while something is typed.
 */
function useLetters(): void {
  useEffect(() => {
    const press = (e: KeyboardEvent) => {
      const on = e.target instanceof HTMLElement ? e.target : document.body;
      if (e.altKey || e.ctrlKey || e.metaKey || on.closest("input, textarea, select, dialog")) return;
      if (e.key === "/") {
        e.preventDefault();
        location.hash = toBook("find");
        return;
      }
      if (!/^[a-z]$/i.test(e.key)) return;
      const key = document.querySelector<HTMLElement>(`[data-letter="${e.key.toLowerCase()}"]`);
      if (!key || key.offsetParent === null) return;
      e.preventDefault();
      key.click();
    };
    addEventListener("keydown", press);
    return () => removeEventListener("keydown", press);
  }, []);
}

/** The head with the way back, the page's name and the sync status; the page, the foot, the keypad. */
export function Shell({
  app,
  updates,
}: {
  app: Omit<App, "say" | "entitle" | "keyInHead">;
  updates: Updates;
}) {
  const at = useRoute();
  useLetters();
  const { route } = at;
  const [named, entitle] = useState({ key: "", title: "" });
  const [headKey, keyInHead] = useState<HeadKey>();
  const [said, setSaid] = useState<Said>();
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);
  const key = wholeOf(route);
  const title = named.key === key ? named.title : titleOf(route, app);

  useEffect(() => {
    document.title = route.page === "home" ? W.name : `${title} · ${W.name}`;
  }, [title, route.page]);
  // With the page, not after its paint: the focus of a field that was touched by then would be
  // taken, and its keypad closed.
  useLayoutEffect(() => {
    const opening = first.current;
    first.current = false;
    if (!opening) main.current?.focus({ preventScroll: true });
    if (at.again) return restore(main.current!);
    if (!opening) scrollTo({ top: 0, behavior: "instant" });
  }, [at]);
  useEffect(() => {
    if (!said) return;
    // An Undo wants time to be found and hit; a sentence is read, and touched it goes.
    const t = setTimeout(() => setSaid(undefined), said.undo ? 8000 : 5000);
    return () => clearTimeout(t);
  }, [said]);

  const whole: App = {
    ...app,
    entitle: (title) => entitle({ key, title }),
    keyInHead,
    say: (text, undo) => setSaid((s) => ({ text, n: (s?.n ?? 0) + 1, ...(undo ? { undo } : {}) })),
  };
  return (
    <AppContext.Provider value={whole}>
      <header class="top">
        <a
          class="skip"
          href={key}
          onClick={(e) => {
            e.preventDefault();
            main.current?.focus();
          }}
        >
          {W.skip}
        </a>
        <div class="top-line">
          {!isFoot(route) && <Back />}
          <h1 class={title.length > 34 ? "longer" : title.length > (headKey ? 12 : 16) ? "long" : ""}>
            {title}
          </h1>
          {headKey && (
            <button
              type="button"
              class="head-key"
              data-small={headKey.label.length > 3 || undefined}
              aria-label={headKey.says}
              aria-pressed={headKey.on}
              onClick={headKey.act}
            >
              {headKey.label}
            </button>
          )}
          <SyncLine />
        </div>
        <UpdateLine updates={updates} on={isFoot(route)} />
        <Storing updates={updates} on={isFoot(route)} />
      </header>
      <Strip />
      <main ref={main} tabIndex={-1}>
        <Guard key={wholeOf(route)}>
          <Page route={route} />
        </Guard>
      </main>
      <div class={isFoot(route) ? "said-place" : "said-place beside-back"}>
        <div role="status" aria-live="polite">
          {said && (
            <div class="said" key={said.n}>
              <p onClick={() => setSaid(undefined)}>{said.text}</p>
              {said.undo && (
                <Button
                  label={W.sheet.undo}
                  act={() => {
                    setSaid(undefined);
                    said.undo?.();
                  }}
                />
              )}
            </div>
          )}
        </div>
      </div>
      {!footed(route) && <Bar route={route} />}
      <Keypad />
      <Paying />
    </AppContext.Provider>
  );
}

function titleOf(route: Route, app: Omit<App, "say" | "entitle" | "keyInHead">): string {
  const sheet = (name: string): string =>
    app.describe?.pages.find((p) => p.ways.some((w) => w.sheet === name))?.title ?? name;
  switch (route.page) {
    case "home":
      return W.name;
    case "stage":
      return app.describe?.stages.find((s) => s.key === route.stage)?.title ?? "";
    case "sheet":
      return sheet(route.sheet);
    case "jobs":
      return W.nav.jobs;
    case "job":
      return isRecord(route.job) ? W.book.job : route.job;
    case "reference":
      return `${sheet(route.sheet)}: ${W.nav.reference.toLowerCase()}`;
    case "checked":
      return W.nav.checked;
    case "settings":
      return W.nav.settings;
    case "office":
      return W.office[route.view];
    case "book":
      return W.book.titles[route.view];
  }
}

const none: Record<string, string> = {};

/** The views of a page are one page, whichever place on it is lit: what it holds stays. */
const wholeOf = (route: Route): string => {
  if (route.page === "sheet" || route.page === "job") return href({ ...route, view: undefined });
  return href(route.page === "book" ? { ...route, more: { ...route.more, view: "", place: "" } } : route);
};

function moreOf({ record, job, from, view }: Route & { page: "sheet" }): Record<string, string> {
  const all = Object.entries({ record, job, from, view });
  return Object.fromEntries(all.filter((e): e is [string, string] => e[1] !== undefined));
}

function Page({ route }: { route: Route }) {
  switch (route.page) {
    case "home":
      return <Home />;
    case "stage":
      return <Stage stage={route.stage} />;
    case "sheet":
      return <Lazy key={wholeOf(route)} view="page" id={route.sheet} more={moreOf(route)} />;
    case "jobs":
      return <Lazy key="jobs" view="jobs" id="" more={none} />;
    case "job":
      return (
        <Lazy
          key={route.job}
          view={isRecord(route.job) ? "job" : "jobname"}
          id={route.job}
          more={route.view ? { view: route.view } : none}
        />
      );
    case "book":
      return <Lazy key={wholeOf(route)} view={route.view} id={route.id} more={route.more} />;
    case "reference":
      return <Reference name={route.sheet} />;
    case "checked":
      return <Checked />;
    case "settings":
      return <Settings />;
    case "office":
      return (
        <Lazy key={route.view} view={route.view} id="" more={route.code ? { code: route.code } : none} />
      );
  }
}

/** Keeps an error in one screen from taking down the rest of the app. */
class Guard extends Component<{ children: ComponentChildren }, { broken: string }> {
  override state = { broken: "" };
  override componentDidCatch(err: unknown): void {
    console.error(err);
    this.setState({ broken: err instanceof Error ? err.message : String(err) });
  }
  override render() {
    if (!this.state.broken) return this.props.children;
    return (
      <Blank kind="broken" title={W.fault.title} help={`${W.fault.help} (${this.state.broken})`}>
        <Button go label={W.fault.start} href={href({ page: "home" })} />
      </Blank>
    );
  }
}

/** Whether unsent records are in storage that the browser may clear. */
function useMayGo(waits: boolean): boolean {
  const [may, set] = useState(false);
  useEffect(() => {
    if (!waits) return set(false);
    let live = true;
    void storageState().then((s) => live && set(s.kind === "may-clear"));
    return () => {
      live = false;
    };
  }, [waits]);
  return may;
}

/** Pays what Start owes to the records, on whatever page one is by then. */
function Paying() {
  const { book, load, say } = useApp();
  const owed = useOwed();
  useEffect(() => {
    if (!book || !owed) return;
    load
      .mill()
      .then(({ pay }) => pay(book.repo, owed, say))
      .catch((err: unknown) => say(words(err)))
      .finally(() => whatIsOwed() === owed && owe(undefined));
    // eslint-disable-next-line react-hooks/exhaustive-deps -- paid once; the shell makes say anew each time
  }, [book, owed]);
  return null;
}

/** The way back, to where one was. */
function Back() {
  const home = href({ page: "home" });
  return (
    <a
      class="back"
      href={home}
      aria-label={W.nav.back}
      onClick={(e) => {
        e.preventDefault();
        goBack(home);
      }}
    >
      <svg viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">
        <path d="M16 3L7 12L16 21" />
      </svg>
    </a>
  );
}

/** The records in which two hands wrote different things, as far as they were met. */
function useDiffers(): Rec[] {
  const { book } = useApp();
  const [list, set] = useState<Rec[]>([]);
  useEffect(() => {
    if (!book) return;
    const { repo } = book;
    // Their kinds were noted, so that after a start they are met on whatever page one is.
    let met = false;
    const look = () => {
      const now = repo.unsettled();
      set(now);
      if (met) remember(split, [...new Set(now.map((r) => r.kind))].join());
    };
    const kinds = recall(split).split(",").filter(Boolean);
    Promise.all(kinds.map((kind) => repo.load(kind)))
      .then(() => (met = true))
      .then(look, () => undefined); // it stays noted
    return repo.watch(look);
  }, [book]);
  return list;
}

const split = "datumbook.differs";
const recall = (key: string): string => {
  try {
    return localStorage.getItem(key) ?? "";
  } catch {
    return ""; // a window that stores nothing
  }
};
const remember = (key: string, text: string): void => {
  try {
    if (recall(key) !== text) localStorage.setItem(key, text);
  } catch {
    // no room, or a window that stores nothing: they are met with their page
  }
};

/** Whether the last record found no room on this device. */
function useNoRoom(): boolean {
  const [full, set] = useState(noRoom);
  useEffect(() => onRoom(() => set(noRoom())), []);
  return full;
}

/** As many as waited when what goes just now began to go. */
function useTop(state: SyncState | undefined): number {
  const top = useRef(0);
  const { waiting = 0, moving = false } = state ?? {};
  top.current = moving ? Math.max(top.current, waiting) : waiting;
  return top.current;
}

interface Wrong {
  /** What is wrong, the worst first. */
  list: Trouble[];
  /** Nothing can be kept. */
  closed: boolean;
  full: boolean;
}

/** What is wrong just now; no more than out of reach is not. */
function useWrong(): Wrong {
  const { bookFault } = useApp();
  const state = useSync();
  const full = useNoRoom();
  const closed = !!bookFault && bookFault !== W.sync.stuck;
  const list = gravest(state?.trouble ?? []);
  if (full) list.unshift({ text: W.sync.full, wall: "full" });
  if (closed) list.unshift({ text: bookFault });
  return { list, closed, full };
}

/**
 * Where the records are, always in sight: a sign of its own for each state, and two words at most.
 * All of it is spoken. Trouble alone changes its ground.
 */
function SyncLine() {
  const { bookFault, say } = useApp();
  const state = useSync();
  const differs = useDiffers();
  const { list, closed, full } = useWrong();
  const clock = state?.clock;
  useEffect(() => {
    if (clock) say(clock);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- said once; the shell makes say anew each time
  }, [clock]);
  const mayGo = useMayGo((state?.waiting ?? 0) > 0 && !state?.connected);
  const red = list.length > 0;
  const top = useTop(state);
  const word = lastWord(state, { differs: differs.length, top, trouble: red });
  const trouble = state?.trouble[0]?.text ?? (mayGo ? W.sync.mayGo : bookFault);
  const to =
    word.sign !== "two"
      ? href({ page: "office", view: "where" })
      : differs.length === 1
        ? toBook("clash", differs[0]!.id)
        : toBook("look");
  return (
    <div class="sync" role="status" aria-label={W.office.where}>
      <a class={red ? "sync-way red" : "sync-way"} href={to} data-state={word.sign}>
        <span class={`sync-mark ${state?.kind ?? "phone"}`}>
          <Pictogram name={word.sign} size={24} />
        </span>
        <span class="sync-short" aria-hidden="true">
          {closed || full ? W.sync.closedShort : word.words}
        </span>
        <span class="unseen sync-words">
          {closed ? W.sync.closed : here(state?.words ?? W.sync.starting)}
        </span>
        {word.sign === "two" && <span class="unseen">{W.sync.differs}</span>}
        {trouble && !bookFault && (
          <span class={red ? "unseen sync-trouble red" : "unseen sync-trouble"}>{trouble}</span>
        )}
      </a>
    </div>
  );
}

/** Under the head, while there is trouble: what happened, and the one key that cures it. */
function Strip() {
  const { list, closed, full } = useWrong();
  const [worst, ...rest] = list;
  if (!worst) return null;
  const where = href({ page: "office", view: "where" });
  return (
    <div class="strip-wrong" role="alert">
      <Sign level="refuse" size={32} />
      {/* What else there is to say of it stands on the page about it. */}
      <p>
        {worst.text.split(/(?<=[.:]) /)[0]}
        {rest.length > 0 && (
          <>
            {" "}
            <a href={where}>{W.sync.more(rest.length)}</a>
          </>
        )}
      </p>
      {closed ? (
        <Button go label={W.sync.cure.load} act={() => location.reload()} />
      ) : full ? (
        <Button go label={W.sync.cure.room} href={where} />
      ) : (
        <Cure go of={worst} />
      )}
    </div>
  );
}

/**
 * A newer version is offered, never forced: over the head of the four pages of the foot, where
 * nothing is being typed and no key lies under it.
 */
function UpdateLine({ updates, on }: { updates: Updates; on: boolean }) {
  const { say } = useApp();
  const [state, set] = useState<UpdateState>(updates.state);
  const [later, setLater] = useState(false);
  useEffect(() => updates.onChange(set), [updates]);
  if (later || !on || (!state.waiting && !state.stale)) return null;
  return (
    <div class="update" role="status">
      <Button label={W.update.take} act={() => updates.apply(anyUnsaved) || say(W.update.wait)} />
      <Button label={W.update.later} act={() => setLater(true)} />
    </div>
  );
}

/**
 * On a first visit: how much of the app is on this device, as a bar under the head; on the four pages
 * of the foot in words too, and there, once, that it is all of it.
 */
function Storing({ updates, on }: { updates: Updates; on: boolean }) {
  const [{ stored = 0, all = 0 }, set] = useState<UpdateState>(updates.state);
  const [told, setTold] = useState(false);
  useEffect(() => updates.onChange(set), [updates]);
  const done = stored === all;
  useEffect(() => {
    if (!done || !all || !on) return;
    const t = setTimeout(() => setTold(true), 8000);
    return () => clearTimeout(t);
  }, [done, all, on]);
  if (!all || told || (done && !on)) return null;
  const words = W.stored.mb(stored, all);
  return (
    <div class="storing">
      {!done && (
        <div
          role="progressbar"
          aria-label={W.stored.bar}
          aria-valuenow={Math.floor((100 * stored) / all)}
          aria-valuetext={words}
        >
          <div style={{ width: `${(100 * stored) / all}%` }} />
        </div>
      )}
      {on && <small role={done ? "status" : undefined}>{done ? W.stored.all : words}</small>}
    </div>
  );
}

/** The foot: four places. */
function Bar({ route }: { route: Route }) {
  const view = route.page === "book" ? route.view : "";
  const place = (to: string, label: string, on: boolean) => (
    <a href={to} aria-current={on ? "page" : undefined}>
      {label}
    </a>
  );
  return (
    <nav class="bar" aria-label={W.nav.main}>
      {place(href({ page: "home" }), W.nav.home, route.page === "home")}
      {place(href({ page: "jobs" }), W.nav.jobs, route.page === "jobs")}
      {place(toBook("shop"), W.nav.shop, view === "shop")}
      {place(toBook("find"), W.nav.find, view === "find")}
    </nav>
  );
}
