import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Bridge } from "../engine/bridge";
import { Finder, type Answers, type Asked, type Hit, type Marked } from "../records/finder";
import type { Repository } from "../records/repository";
import { Pictogram } from "../ui/pictograms";
import { dateWords, dots, W, writer } from "../text/words";
import { useApp, words } from "./context";
import { entryOf, findPages, pageDocs, SHEET, sizesOnly, usePages, type Entry, type Known } from "./pages";
import { PlaceDrawing } from "./place-drawing";
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

export interface Found extends Answers {
  /** What it was asked for. */
  for: string;
  ms: number;
}

/** One thing found: a page or a record. */
export type Answer = { page: Entry; name?: Marked | undefined } | { hit: Hit };

export interface Search {
  /** Pages and records, the likeliest first. */
  list: Answer[];
  /** Records and worksheets; undefined while none are asked for, or before the first answer. */
  records: Found | undefined;
  finder: Finder | undefined;
  fault: string;
}

/**
 * Searches while it is typed. The index in the worker knows records and worksheets; until it has
 * read all of them pages are found at once, from their description.
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
  useEffect(() => {
    if (!finder) return;
    const off = finder.onChange(() => draw((n) => n + 1));
    void finder.start();
    return off;
  }, [finder]);
  useEffect(() => {
    if (finder && describe) finder.add(pageDocs(describe));
  }, [finder, describe]);
  const part = finder && !finder.whole ? Math.floor(finder.done / 2000) : -1;
  const { kinds = [], most = 30 } = more;
  useEffect(() => {
    const mine = ++turn.current;
    if (!finder || !query) return set(undefined);
    const began = performance.now();
    finder.find({ query, unit, most, ...(kinds.length > 0 && { kinds }) }).then(
      (out) => {
        if (mine !== turn.current) return;
        setFault("");
        set({ ...out, for: query, ms: Math.round(performance.now() - began) });
      },
      (err: unknown) => mine === turn.current && setFault(words(err)),
    );
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the lists' texts stand for them
  }, [finder, query, kinds.join(), most, unit, part]);
  const whole = !!finder?.whole && !!records?.kinds;
  const sizes = query !== "" && sizesOnly(query);
  const found =
    known && query && (!whole || sizes) ? findPages(known, query, describe) : { list: [], whole: false };
  const pages = kinds.length > 0 ? [] : found.list.map((page) => ({ page }));
  const hits = answers(records?.hits ?? [], known, whole);
  const seen = new Set<string>();
  return {
    list: (found.whole || !whole ? [...pages, ...hits] : [...hits, ...pages]).filter((one) => {
      if (!("page" in one)) return true;
      const page = one.page.sheets.join();
      return !seen.has(page) && !!seen.add(page);
    }),
    records,
    finder,
    fault: fault || (finder?.fault ?? ""),
  };
}

/** What the index found, with its worksheets as pages once it knows all of them. */
function answers(hits: Hit[], known: Known | undefined, whole: boolean): Answer[] {
  return hits.flatMap((hit): Answer[] => {
    if (hit.type !== SHEET) return [{ hit }];
    const page = whole && known && entryOf(known, hit.id.slice(SHEET.length + 1));
    return page ? [{ page, name: hit.name }] : [];
  });
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

/** A text in which what was asked for is bold. */
const Met = ({ parts }: { parts: Marked }) => (
  <>{parts.map((text, i) => (i % 2 ? <u key={i}>{text}</u> : text))}</>
);

/** Kinds that a drawing shows with their places. */
const drawn = ["fixture", "machine", "part", "setup"];

/** Keys to what was found; the best of the records as a card with its answer as headline. */
export function Hits({ list }: { list: Answer[] }) {
  const known = usePages();
  return (
    <ul class="link-list hits">
      {list.map((one, i) =>
        "page" in one ? (
          <HitRow
            key={one.page.sheet}
            href={href({ page: "sheet", sheet: one.page.sheet })}
            icon={<Pictogram name={one.page.icon} or={one.page.stage} size={32} />}
            name={one.name?.join("") === one.page.title ? <Met parts={one.name} /> : one.page.title}
            foot={W.home.worksheet}
          />
        ) : (
          <HitOf key={one.hit.id} hit={one.hit} best={i === 0} known={known} />
        ),
      )}
    </ul>
  );
}

function HitOf({ hit: h, best, known }: { hit: Hit; best: boolean; known: Known | undefined }) {
  const { book } = useApp();
  // A kept result is called as its page is, a note by what it says.
  const sheet = h.type === "kept" ? h.title.split(" ", 1)[0]! : "";
  const page = known && sheet && entryOf(known, sheet);
  const title = page ? <>{page.title + h.title.slice(sheet.length)}</> : <Met parts={h.name ?? [h.title]} />;
  const own = h.type === "note" && h.line ? <Met parts={h.line} /> : undefined;
  const line = own ? undefined : h.line && <Met parts={h.line} />;
  const why = h.why && <Met parts={h.why} />;
  const when = h.date && dateWords(h.date.slice(0, 10));
  const foot = dots(h.label, h.on, best && writer(h.by ?? "", book?.device), when, h.demo && W.invented);
  const kind = pictures[h.type] ?? h.type;
  const icon = <Pictogram name={kind} or="note" size={32} />;
  const to = recordHref(h.id, h.place);
  if (best)
    return (
      <HitRow
        best
        href={to}
        icon={drawn.includes(h.type) ? <PlaceDrawing id={h.id} place={h.place} kind={kind} /> : icon}
        name={own ?? why ?? line ?? title}
        line={
          why ? (
            <>
              {title}: {line}
            </>
          ) : line ? (
            title
          ) : (
            h.detail
          )
        }
        foot={dots(line && h.field, foot)}
      />
    );
  return (
    <HitRow
      href={to}
      icon={icon}
      name={own ?? title}
      line={
        line ? (
          <>
            {h.field && `${h.field}: `}
            {line}
            {why && ": "}
            {why}
          </>
        ) : (
          h.detail
        )
      }
      foot={foot}
    />
  );
}

function HitRow(p: {
  href: string;
  icon: ComponentChildren;
  name: ComponentChildren;
  line?: ComponentChildren;
  foot?: string;
  best?: boolean;
}) {
  return (
    <li>
      <a class={p.best ? "hit link-card best" : "hit link-card"} href={p.href}>
        {p.icon}
        <span>
          <b>{p.name}</b>
          {p.line && <span>{p.line}</span>}
          {p.foot && <small>{p.foot}</small>}
        </span>
      </a>
    </li>
  );
}
