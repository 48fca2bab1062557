import { useCallback, useEffect, useState } from "preact/hooks";
import { shared } from "../storage/shared";
import { book, href } from "../screen/route";
import { useApp, words } from "../screen/context";
import { faceBefore, keepFace, type Face } from "../screen/face";
import { useHere } from "../screen/here";
import type { MillBook } from "../screen/load";
import { usePages } from "../screen/pages";
import { inPocket, putInPocket } from "../screen/pocket";
import { Hits, SearchField, useSearch, type Answer } from "../screen/search";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { Pictogram } from "../ui/pictograms";
import { W } from "../text/words";
import { Card, Idle } from "./card";
import { InstallRow } from "./install";
import { AskNumbers } from "./numbers";
import { hasDraftIn } from "./stage";

/** So much stands under a search here; the page for it has the rest. */
const FEW = 8;

const WAIT = "datumbook.shared";

/** The way to photos that were shared to the app and wait for a setup. */
function SharedWait() {
  // As it was the last time, so that nothing moves once it is known.
  const [n, set] = useState(() => Number(inPocket(WAIT)) || 0);
  useEffect(() => {
    shared().then(
      ({ length }) => {
        set(length);
        if (length !== n) putInPocket(WAIT, length);
      },
      () => undefined, // it is tried again at the next start
    );
    // eslint-disable-next-line react-hooks/exhaustive-deps -- looked once, as Start is come to
  }, []);
  return n > 0 ? <Button go label={W.home.shared(n)} href={book("shared")} /> : null;
}

/** What runs, then what one needs: one screen. What is searched for takes its place. */
export function Home() {
  const [query, setQuery] = useHere<string>("query", "");
  const asked = query.trim();
  return (
    <div class={asked ? "home searching" : "home"}>
      <div class="home-first">
        <SharedWait />
        <AskNumbers />
        <InstallRow />
      </div>
      <Mill hidden={!!asked} />
      <SearchField value={query} set={setQuery} />
      {asked ? <Results query={asked} /> : <Stages />}
    </div>
  );
}

/** The running setup's card: from the first moment as it was the last time, then as it is. */
function Mill({ hidden }: { hidden: boolean }) {
  const { load } = useApp();
  const [face, setFace] = useState<Face | undefined>(faceBefore);
  const [fault, setFault] = useState("");
  const [late, setLate] = useState<MillBook>();
  useEffect(() => {
    load.mill().then(setLate, (err: unknown) => setFault(`${W.book.notLoaded} (${words(err)})`));
  }, [load]);
  const tell = useCallback((now: Face | undefined, why: string, whole: boolean) => {
    setFault(why);
    if (!now) return;
    setFace(now);
    if (whole) keepFace(now);
  }, []);
  return (
    <section class="mill card" aria-label={W.home.mill} data-kind={face?.kind ?? "none"} hidden={hidden}>
      {fault && !face ? (
        <Blank kind="broken" title={W.jobs.failed} help={fault} />
      ) : face?.kind === "running" ? (
        <Card face={face} fault={fault} />
      ) : face ? (
        <Idle face={face} />
      ) : (
        <Blank kind="loading" title={W.jobs.loading} />
      )}
      {late && <late.Mill tell={tell} />}
    </section>
  );
}

/** Nine stages of the work; their pages are one touch behind. */
function Stages() {
  const { describeFault, again } = useApp();
  const known = usePages();
  if (!known)
    return describeFault ? (
      <Blank kind="broken" title={W.home.failed} help={describeFault}>
        <Button go label={W.home.again} act={again} />
      </Blank>
    ) : (
      <div class="stages" />
    );
  return (
    <nav class="stages" aria-label={W.home.stages}>
      {known.stages.map((s) => (
        <a key={s.key} class="tile" href={href({ page: "stage", stage: s.key })}>
          <Pictogram name={s.key} size={36} />
          <span>{s.title}</span>
          {hasDraftIn(known, s.key) && <span class="draft" role="img" aria-label={W.home.draft} />}
        </a>
      ))}
    </nav>
  );
}

/** The first of what was found, a page among them where there is one. */
function few(list: Answer[]): Answer[] {
  const front = list.slice(0, FEW);
  const page = list.find((one) => "page" in one);
  return page && !front.includes(page) ? [...front.slice(0, -1), page] : front;
}

function Results({ query }: { query: string }) {
  const { list, records, finder, fault } = useSearch(query);
  const more = list.length > FEW;
  const done = !!records && finder?.whole;
  return (
    <div class="results-here" data-whole={finder?.whole ? "yes" : "no"}>
      <Hits list={few(list)} />
      {fault && <p class="quiet">{fault}</p>}
      {!done && !fault && (
        <p class="quiet" role="status">
          {W.home.reading}
        </p>
      )}
      {done && list.length === 0 && <Blank kind="empty" title={W.home.nothing} />}
      {more && <Button label={W.home.all} href={book("find", "", { q: query })} />}
    </div>
  );
}
