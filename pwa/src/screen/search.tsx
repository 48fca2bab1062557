import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Bridge } from "../engine/bridge";
import { Finder, type Asked, type Hit } from "../records/finder";
import type { Repository } from "../records/repository";
import { Pictogram } from "../ui/pictograms";
import { dateWords, dots, W } from "../text/words";
import { useApp, words } from "./context";
import { findPages, usePages, type Entry } from "./pages";
import { usePrefs } from "./prefs";
import { href, recordHref } from "./route";

let one: { repo: Repository; finder: Finder } | undefined;

/** The one index of this window; it is filled again after a restart of the worker. */
export function finderOf(repo: Repository, bridge: Bridge): Finder {
  if (one?.repo !== repo) {
    const finder = new Finder(repo);
    one = { repo, finder };
    bridge.onState((s) => s === "restarting" && finder.forget());
  }
  return one.finder;
}

export interface Found {
  /** What it was asked for. */
  for: string;
  hits: Hit[];
  total: number;
  ms: number;
}

export interface Search {
  /** Pages; known before anything else is. */
  pages: Entry[];
  /** Whether they come before the records: they were asked for word by word, or are all there is. */
  first: boolean;
  /** Records; undefined while none are asked for, or before the first answer. */
  records: Found | undefined;
  finder: Finder | undefined;
  fault: string;
}

/**
 * Searches while it is typed: pages at once, from their description; records by the index in the
 * worker, as far as it has read them.
 */
export function useSearch(query: string, more: Partial<Asked> = {}): Search {
  const { bridge, book, describe } = useApp();
  const { unit } = usePrefs();
  const known = usePages();
  const repo = book?.repo;
  const finder = repo && finderOf(repo, bridge);
  const [records, set] = useState<Found>();
  const [fault, setFault] = useState("");
  const [, draw] = useState(0);
  const turn = useRef(0);
  const asks = !!query || (more.to ?? []).length > 0;
  useEffect(() => {
    if (!finder) return;
    const off = finder.onChange(() => draw((n) => n + 1));
    void finder.start();
    return off;
  }, [finder]);
  const part = finder && !finder.whole ? Math.floor(finder.done / 2000) : -1;
  const { to = [], kinds = [], most = 30 } = more;
  useEffect(() => {
    const mine = ++turn.current;
    if (!finder || !asks) return set(undefined);
    const began = performance.now();
    const asked = { query, unit, most, ...(kinds.length > 0 && { kinds }), ...(to.length > 0 && { to }) };
    finder.find(asked).then(
      ({ hits, total }) => {
        if (mine !== turn.current) return;
        setFault("");
        set({ for: query, hits, total, ms: Math.round(performance.now() - began) });
      },
      (err: unknown) => mine === turn.current && setFault(words(err)),
    );
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the lists' texts stand for them
  }, [finder, query, asks, kinds.join(), to.join(), most, unit, part]);
  const { list: pages, whole } =
    known && query ? findPages(known, query, describe) : { list: [], whole: true };
  return {
    pages,
    first: whole || !finder?.whole,
    records,
    finder,
    fault: fault || (finder?.fault ?? ""),
  };
}

/** The one search field, on Start and on its own page. */
export function SearchField({ value, set }: { value: string; set: (text: string) => void }) {
  return (
    <div class="search">
      <svg viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">
        <path d="M10 3a7 7 0 1 0 0 14 7 7 0 1 0 0-14zM15 15l6 6" />
      </svg>
      <input
        id="find"
        type="search"
        aria-label={W.home.search}
        placeholder={W.home.searchLike}
        value={value}
        maxLength={200}
        autocomplete="off"
        autocapitalize="off"
        spellcheck={false}
        enterkeyhint="search"
        onInput={(e) => set(e.currentTarget.value)}
        onKeyDown={(e) => e.key === "Enter" && e.currentTarget.blur()}
      />
    </div>
  );
}

/** Pictures of kinds of record that go by another name. */
const pictures: Record<string, string> = {
  tool: "cutter",
  set: "blocks",
  kept: "job",
  step: "setup",
  feature: "hole",
};

/** Keys to what was found. */
export function Hits({ of }: { of: Search }) {
  const pages = of.pages.map((e) => (
    <HitRow
      key={e.sheet}
      href={href({ page: "sheet", sheet: e.sheet })}
      icon={e.icon}
      or={e.stage}
      name={e.title}
    />
  ));
  return (
    <ul class="link-list hits">
      {of.first && pages}
      {of.records?.hits.map((h) => (
        <HitRow
          key={h.id}
          href={recordHref(h.id)}
          icon={pictures[h.type] ?? h.type}
          or="note"
          name={h.title}
          line={h.detail}
          foot={dots(h.label, h.date && dateWords(h.date.slice(0, 10)), h.demo && W.invented)}
        />
      ))}
      {!of.first && pages}
    </ul>
  );
}

function HitRow(p: {
  href: string;
  icon: string;
  or: string;
  name: ComponentChildren;
  line?: string | undefined;
  foot?: string;
}) {
  return (
    <li>
      <a class="hit link-card" href={p.href}>
        <Pictogram name={p.icon} or={p.or} size={32} />
        <span>
          <b>{p.name}</b>
          {p.line && <span>{p.line}</span>}
          {p.foot && <small>{p.foot}</small>}
        </span>
      </a>
    </li>
  );
}
