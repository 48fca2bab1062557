import { useEffect, useRef, useState } from "preact/hooks";
import { loadDraft } from "../form/drafts";
import { book as toBook, href } from "../screen/route";
import { Late } from "../screen/late";
import { useApp } from "../screen/context";
import { Blank } from "../ui/parts";
import { W } from "../text/words";
import { InstallHint } from "./install";

/**
 * What comes late takes at once the room that it had the last time on a screen like this, so that nothing under a thumb
 * jumps when it comes. The first time of all it takes the room that the style sheet gives to what is empty.
 */
function Kept({ view }: { view: "mill" | "recent" }) {
  const inside = useRef<HTMLDivElement>(null);
  const key = `datumbook.room.${view}`;
  const like = () => `${innerWidth} ${document.documentElement.dataset["glove"]}`;
  const [high] = useState(() => {
    try {
      const [px, of] = JSON.parse(localStorage.getItem(key) ?? "[]") as [number?, string?];
      return of === like() && px ? { minHeight: `${px}px` } : {};
    } catch {
      return {};
    }
  });
  useEffect(() => {
    const watch = new ResizeObserver(() => {
      const el = inside.current;
      if (!el?.offsetHeight || el.querySelector(".loading")) return;
      try {
        localStorage.setItem(key, JSON.stringify([Math.min(1500, el.offsetHeight), like()]));
      } catch {
        // a window without storage: it only jumps a little
      }
    });
    watch.observe(inside.current!);
    return () => watch.disconnect();
  }, [key]);
  return (
    <div class={`room-${view}`} style={high}>
      <div ref={inside} class="room">
        <Late view={view} id="" more={none} />
      </div>
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
        <Kept view="mill" />
        <h2 class="lead">{W.home.title}</h2>
        {describeFault ? (
          <Blank kind="broken" title={W.home.failed} help={describeFault}>
            <button type="button" class="button go" onClick={again}>
              {W.home.again}
            </button>
          </Blank>
        ) : !describe ? (
          <div class="room-sheets">
            <Blank kind="loading" title={W.home.loading} />
          </div>
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
        <Kept view="recent" />
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
