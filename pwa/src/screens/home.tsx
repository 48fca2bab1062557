import { useEffect, useRef, useState } from "preact/hooks";
import { loadDraft } from "../book/draft";
import { book as toBook, href } from "../first/route";
import { Late } from "../late/late";
import { useApp } from "../ui/app";
import { Blank } from "../ui/parts";
import { W } from "../words/words";
import { InstallHint } from "./install";

const HIGH = "datumbook.mill";

/** The running setup takes its old room at once, so that nothing under it jumps when it comes. */
function AtTheMill() {
  const box = useRef<HTMLDivElement>(null);
  const [high] = useState(() => {
    try {
      return Number(localStorage.getItem(HIGH)) || 180;
    } catch {
      return 180;
    }
  });
  useEffect(() => {
    const el = box.current;
    return () => {
      try {
        const inside = el?.firstElementChild?.clientHeight ?? 0;
        if (inside > 0) localStorage.setItem(HIGH, String(Math.min(900, inside)));
      } catch {
        // a window without storage: it only jumps a little
      }
    };
  }, []);
  return (
    <div ref={box} style={{ minHeight: `${high}px` }}>
      <Late view="mill" id="" more={none} />
    </div>
  );
}

const none: Record<string, string> = {};

/** The setup at the mill, worksheets by the question they answer, and the jobs used last. */
export function Home() {
  const { describe, describeFault, again } = useApp();
  return (
    <div class="home">
      <div>
        <AtTheMill />
        <h2 class="lead">{W.home.title}</h2>
        {describeFault ? (
          <Blank kind="broken" title={W.home.failed} help={describeFault}>
            <button type="button" class="button go" onClick={again}>
              {W.home.again}
            </button>
          </Blank>
        ) : !describe ? (
          <Blank kind="loading" title={W.home.loading} />
        ) : (
          describe.groups.map((g) => {
            const sheets = describe.worksheets.filter((s) => s.group === g.key);
            return sheets.length === 0 ? null : (
              <section key={g.key} class="group">
                <h3>{g.title}</h3>
                <ul class="doors">
                  {sheets.map((s) => (
                    <li key={s.name}>
                      <a class="door" href={href({ page: "sheet", sheet: s.name })}>
                        <b>{s.title}</b>
                        <span>{s.question}</span>
                        {loadDraft(s.name) && <em>{W.home.draft}</em>}
                      </a>
                    </li>
                  ))}
                </ul>
              </section>
            );
          })
        )}
      </div>
      <div>
        <h2 class="lead">{W.home.jobs}</h2>
        <Late view="recent" id="" more={none} />
        <p class="foot-links">
          <a class="button" href={href({ page: "jobs" })}>
            {W.home.allJobs}
          </a>
          <a class="button" href={toBook("shop")}>
            {W.nav.shop}
          </a>
          <a class="button" href={href({ page: "settings" })}>
            {W.nav.settings}
          </a>
          <a class="button" href={href({ page: "checked" })}>
            {W.nav.checked}
          </a>
        </p>
        <InstallHint />
      </div>
    </div>
  );
}
