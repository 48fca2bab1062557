// Pages for paper: drawn on the screen as they print, with a key that opens the print dialog.
import { useEffect, useState } from "preact/hooks";
import type { RecordKind } from "../engine/contract.gen";
import { nameOf, type Rec } from "../records/fields";
import { recordHref } from "../screen/route";
import type { ScreenProps } from "../screen/load";
import { useApp, useTitle, words } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank, Segments } from "../ui/parts";
import { B } from "../text/jobbook";
import { P } from "../text/paper";
import { dots } from "../text/words";
import { Gate, useKinds, useRepository } from "../jobbook/use";
import { Files } from "./files";
import { Flow } from "./flow";
import { gather, release, type Extra } from "./gather";
import { heading, parsePage } from "./model";
import { Sheet } from "./sheets";

export function Screen({ view, id, more }: ScreenProps) {
  return view === "files" ? <Files more={more} /> : <Page path={id} more={more} />;
}

function Page({ path, more }: { path: string; more: Record<string, string> }) {
  const { book } = useApp();
  const { kinds, fault: kindFault } = useKinds(book?.repo);
  const read = kinds.filter((k) => k.onpaper).map((k) => k.key);
  const { repo, ready, fault } = useRepository(...read);
  const page = parsePage(path, kinds);
  if (!page && kinds.length > 0) return <Blank kind="empty" title={P.nothing} help={P.nothingHelp} />;
  // When the office's own browser prints, the records are still loading as the page opens.
  const wanted = Number(more["have"] ?? 0);
  const have = repo ? read.reduce((n, k) => n + repo.all(k).length, 0) : 0;
  const rec = page && repo?.get(page.id);
  return (
    <Gate ready={ready && !!page} fault={fault || kindFault}>
      {have < wanted ? (
        <Blank kind="loading" title={P.waiting(have, wanted)} />
      ) : page && rec ? (
        <Loaded
          what={page.what}
          rec={rec}
          kinds={kinds}
          paper={more["paper"] ?? ""}
          at={more["at"] ?? location.origin}
        />
      ) : (
        <Blank kind="empty" title={B.gone} help={B.goneHelp} />
      )}
    </Gate>
  );
}

type Size = "" | "letter" | "a4" | "label";
const sizeIn = (text: string, what: string): Size =>
  text === "letter" || text === "a4" || (text === "label" && what === "label") ? text : "";

/** The paper's size is a page rule, which only a style sheet can hold. */
function usePaper(size: Size, what: string): void {
  useEffect(() => {
    const rules = new CSSStyleSheet();
    const is = { letter: "size:letter;", a4: "size:a4;", label: "size:4in 2in;", "": "" }[size];
    const margin = size === "label" ? "0" : what === "label" ? "14mm" : "10mm 7mm";
    rules.replaceSync(`@page{${is}margin:${margin}}`);
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, rules];
    return () => {
      document.adoptedStyleSheets = document.adoptedStyleSheets.filter((s) => s !== rules);
    };
  }, [size, what]);
}

interface LoadedProps {
  what: string;
  rec: Rec;
  kinds: RecordKind[];
  paper: string;
  at: string;
}

function Loaded({ what, rec, kinds, paper, at }: LoadedProps) {
  const { book, bridge, describe } = useApp();
  const [extra, set] = useState<Extra>();
  const [fault, setFault] = useState("");
  const [size, setSize] = useState<Size>(sizeIn(paper, what));
  useTitle(`${P.titles[what] ?? ""}: ${nameOf(rec)}`);
  usePaper(size, what);
  useEffect(() => {
    let live = true;
    let made: Extra | undefined;
    gather(book!, bridge, what, rec).then(
      (e) => {
        if (!live) return release(e);
        made = e;
        set(e);
      },
      (err: unknown) => live && setFault(words(err)),
    );
    return () => {
      live = false;
      if (made) release(made);
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- id and changed stand for rec
  }, [what, rec.id, rec.changed]);
  if (fault) return <Blank kind="broken" title={B.failed} help={fault} />;
  if (!extra || !describe) return <Blank kind="loading" title={B.loading} />;
  const head = heading(book!.repo, rec);
  const today = new Date().toLocaleDateString(undefined, { day: "numeric", month: "short", year: "numeric" });
  const flows = what !== "label" && what !== "setup";
  const sheet = (
    <Sheet
      what={what}
      at={at === "none" ? "" : at}
      rec={rec}
      size={size}
      repo={book!.repo}
      kinds={kinds}
      extra={extra}
      describe={describe}
    />
  );
  return (
    <>
      <div class="paper-tools card">
        <Segments
          name="paper"
          legend={P.paper}
          options={[
            { key: "auto", label: P.auto },
            { key: "letter", label: P.letter },
            { key: "a4", label: P.a4 },
            ...(what === "label" ? [{ key: "label", label: P.label }] : []),
          ]}
          value={size || "auto"}
          pick={(key) => setSize(sizeIn(key, what))}
        />
        <div class="form-foot">
          <Button go label={P.print} act={() => print()} />
          <Button label={P.back} href={recordHref(rec.id)} />
        </div>
      </div>
      <article
        key={size}
        class={`paper paper-${what}`}
        data-size={size}
        aria-label={P.titles[what]}
        {...(flows ? {} : { "data-ready": "yes" })}
      >
        {flows ? (
          <Flow
            size={size}
            head={
              <header class="paper-head">
                <div class="paper-head-line">
                  <b>{what === "job" ? P.titles[what] : `${P.titles[what]}: ${nameOf(rec)}`}</b>
                  <span>{dots(head.job && `${P.job}: ${head.job}`, head.part)}</span>
                  <span>{dots(head.drawing && `${P.drawing} ${head.drawing}`, `${P.printed} ${today}`)}</span>
                  <span class="paper-no" />
                </div>
                {rec.demo && <p class="paper-invented">{P.invented}</p>}
              </header>
            }
          >
            {sheet}
          </Flow>
        ) : (
          sheet
        )}
      </article>
    </>
  );
}
