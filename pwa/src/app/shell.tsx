import { Component, type ComponentChildren } from "preact";
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { storageState } from "../storage/persist";
import { Keypad } from "../form/keypad/keypad";
import { Checked } from "../worksheet/checked";
import { Home } from "../start/home";
import { Lazy } from "../screen/lazy";
import { Reference } from "../worksheet/reference";
import { Settings } from "../start/settings";
import { SheetPage } from "../worksheet/sheet";
import { AppContext, anyUnsaved, useApp, useSync, type App } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank, Sign } from "../ui/parts";
import type { UpdateState, Updates } from "./update";
import { here, W } from "../text/words";
import { book, href, readRoute, type Route } from "../screen/route";

interface Said {
  text: string;
  undo?: () => void;
  n: number;
}

function useRoute(): Route {
  const [route, set] = useState(readRoute);
  // Not after the first paint: a hashchange in between would be missed.
  useLayoutEffect(() => {
    const moved = () => set(readRoute());
    addEventListener("hashchange", moved);
    return () => removeEventListener("hashchange", moved);
  }, []);
  return route;
}

/** Header with the page's name and the sync status, the page, the bottom bar, the keypad. */
export function Shell({ app, updates }: { app: Omit<App, "say" | "entitle">; updates: Updates }) {
  const route = useRoute();
  const [named, entitle] = useState({ key: "", title: "" });
  const [said, setSaid] = useState<Said>();
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);
  const key = href(route);
  const title = named.key === key ? named.title : titleOf(route, app);

  useEffect(() => {
    document.title = route.page === "home" ? W.name : `${title} · ${W.name}`;
  }, [title, route.page]);
  // With the page, not after its paint: the focus of a field that was touched by then would be
  // taken, and its keypad closed.
  useLayoutEffect(() => {
    if (first.current) {
      first.current = false;
      return;
    }
    scrollTo(0, 0);
    main.current?.focus({ preventScroll: true });
  }, [key]);
  useEffect(() => {
    if (!said) return;
    const t = setTimeout(() => setSaid(undefined), 8000);
    return () => clearTimeout(t);
  }, [said]);

  const whole: App = {
    ...app,
    entitle: (title) => entitle({ key, title }),
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
          <h1 class={title.length > 36 ? "long" : ""}>{title}</h1>
          <SyncLine />
        </div>
      </header>
      <main ref={main} tabIndex={-1}>
        <Guard key={key}>
          <Page route={route} />
        </Guard>
      </main>
      <div class="said-place">
        <UpdateLine updates={updates} />
        <div role="status" aria-live="polite">
          {said && (
            <div class="said" key={said.n}>
              <p>{said.text}</p>
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
      <Bar route={route} />
      <Keypad />
    </AppContext.Provider>
  );
}

function titleOf(route: Route, app: Omit<App, "say" | "entitle">): string {
  const sheet = (name: string): string =>
    app.describe?.worksheets.find((s) => s.name === name)?.title ?? name;
  switch (route.page) {
    case "home":
      return W.name;
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

/** Results were kept under a job's name before jobs were records; both have their page. */
const isRecord = (job: string): boolean => /^job:([0-9A-Z]{26}|00-demo-[-a-z0-9]+)$/.test(job);

function Page({ route }: { route: Route }) {
  switch (route.page) {
    case "home":
      return <Home />;
    case "sheet":
      return <SheetPage name={route.sheet} recordId={route.record} job={route.job} from={route.from} />;
    case "jobs":
      return <Lazy key="jobs" view="jobs" id="" more={none} />;
    case "job":
      return (
        <Lazy key={route.job} view={isRecord(route.job) ? "job" : "jobname"} id={route.job} more={none} />
      );
    case "book":
      return <Lazy key={href(route)} view={route.view} id={route.id} more={route.more} />;
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

/** Sync status, always in sight: an empty, half or full box beside the words. */
function SyncLine() {
  const { bookFault, say } = useApp();
  const state = useSync();
  const clock = state?.clock;
  useEffect(() => {
    if (clock) say(clock);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- said once; the shell makes say anew each time
  }, [clock]);
  const mayGo = useMayGo((state?.waiting ?? 0) > 0 && !state?.connected);
  const first = state?.trouble[0];
  const trouble = first?.text ?? (mayGo ? W.sync.mayGo : bookFault);
  return (
    <div class="sync" role="status" aria-label={W.office.where}>
      <a class="sync-way" href={href({ page: "office", view: "where" })}>
        <svg
          class={`sync-mark ${state?.kind ?? "phone"}`}
          viewBox="0 0 16 16"
          width="14"
          height="14"
          aria-hidden="true"
        >
          <path
            class="sync-fill"
            d={
              state?.kind === "office"
                ? "M2 2H14V14H2Z"
                : state?.kind === "waiting"
                  ? "M2 8H14V14H2Z"
                  : "M0 0"
            }
          />
          <path class="sync-box" d="M2 2H14V14H2Z" />
        </svg>
        <span class="sync-words">
          {bookFault && bookFault !== W.sync.stuck ? W.sync.closed : here(state?.words ?? W.sync.starting)}
        </span>
        {trouble && !bookFault && (
          <span class={`sync-trouble ${first && !first.wall ? "red" : ""}`}>{trouble}</span>
        )}
      </a>
    </div>
  );
}

/** A newer version is offered, never forced, and never over unsaved input. */
function UpdateLine({ updates }: { updates: Updates }) {
  const [state, set] = useState<UpdateState>(updates.state);
  const [later, setLater] = useState(false);
  const [refused, setRefused] = useState(false);
  useEffect(() => updates.onChange(set), [updates]);
  if (later || (!state.waiting && !state.stale)) return null;
  return (
    <div class="update" role="status">
      <Sign level="note" size={24} />
      <p>{refused ? W.update.unsaved : `${W.update.ready} ${W.update.unsavedTake}`}</p>
      <div class="form-foot">
        <Button label={W.update.take} act={() => setRefused(!updates.apply(anyUnsaved))} />
        <Button label={W.update.later} act={() => setLater(true)} />
      </div>
    </div>
  );
}

const PARTS = ["answer", "numbers", "drawing"] as const;
type Part = (typeof PARTS)[number];

/**
 * The section of a worksheet that the middle key scrolls to: the one after that at the top of the
 * screen.
 */
function useNextPart(on: boolean): Part {
  const [part, set] = useState<Part>("numbers");
  useEffect(() => {
    if (!on) return;
    const look = () => {
      const tops = PARTS.flatMap((id) => {
        const el = document.getElementById(id);
        return el ? [{ id, top: el.getBoundingClientRect().top }] : [];
      });
      const bottom = scrollY + innerHeight >= document.documentElement.scrollHeight - 4;
      const next = bottom ? undefined : tops.find((t) => t.top > 120);
      set(next?.id ?? "answer");
    };
    look();
    addEventListener("scroll", look, { passive: true });
    return () => removeEventListener("scroll", look);
  }, [on]);
  return part;
}

/** The bottom bar: three places; on a worksheet its own sections. */
function Bar({ route }: { route: Route }) {
  const sheet = route.page === "sheet";
  const next = useNextPart(sheet);
  const jump = (id: string) => document.getElementById(id)?.scrollIntoView({ block: "start" });
  const place = (to: string, label: string, on: boolean) => (
    <a href={to} aria-current={on ? "page" : undefined}>
      {label}
    </a>
  );
  return (
    <nav class="bar" aria-label={W.nav.main}>
      {place(href({ page: "home" }), W.nav.home, route.page === "home")}
      {sheet ? (
        <>
          <Button class="only-narrow" label={W.sheet.jump[next]} act={() => jump(next)} />
          <button
            type="button"
            onClick={() => {
              jump("keep");
              document.getElementById("keep-job")?.focus({ preventScroll: true });
            }}
          >
            {W.sheet.keep}
          </button>
        </>
      ) : (
        <>
          {place(href({ page: "jobs" }), W.nav.jobs, route.page === "jobs")}
          {place(book("find"), W.nav.find, route.page === "book" && route.view === "find")}
        </>
      )}
    </nav>
  );
}
