import { useEffect, useRef, useState } from "preact/hooks";
import { loadDraft } from "../form/drafts";
import { book as toBook, href } from "../screen/route";
import { inPocket, putInPocket } from "../screen/pocket";
import { Lazy } from "../screen/lazy";
import { useApp } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank, LinkCard, LinkList } from "../ui/parts";
import { W } from "../text/words";
import { InstallHint } from "./install";

/**
 * What is imported lazily has at once the height it had the last time on a screen of this size, so
 * that nothing under a thumb jumps. The first time the style sheet gives the height.
 */
function Kept({ view }: { view: "mill" | "recent" }) {
  const inside = useRef<HTMLDivElement>(null);
  const key = `datumbook.room.${view}`;
  const like = () => `${innerWidth} ${document.documentElement.dataset["glove"]}`;
  const [high] = useState(() => {
    const kept = inPocket(key);
    const [px, of] = Array.isArray(kept) ? (kept as [number?, string?]) : [];
    return of === like() && px ? { minHeight: `${px}px` } : {};
  });
  useEffect(() => {
    const watch = new ResizeObserver(() => {
      const el = inside.current;
      if (!el?.offsetHeight || el.querySelector(".loading")) return;
      putInPocket(key, [Math.min(1500, el.offsetHeight), like()]);
    });
    watch.observe(inside.current!);
    return () => watch.disconnect();
  }, [key]);
  return (
    <div class={`room-${view}`} style={high}>
      <div ref={inside} class="room">
        <Lazy view={view} id="" more={none} />
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
            <Button go label={W.home.again} act={again} />
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
                <LinkList>
                  {sheets.map((s) => (
                    <LinkCard
                      key={s.name}
                      href={href({ page: "sheet", sheet: s.name })}
                      name={s.title}
                      lines={[s.question]}
                      foot={loadDraft(s.name) && W.home.draft}
                    />
                  ))}
                </LinkList>
              </section>
            );
          })
        )}
      </div>
      <div>
        <h2 class="lead">{W.nav.jobs}</h2>
        <Kept view="recent" />
        <p class="foot-links">
          <Button label={W.home.allJobs} href={href({ page: "jobs" })} />
          <Button label={W.nav.shop} href={toBook("shop")} />
          <Button label={W.nav.settings} href={href({ page: "settings" })} />
          <Button label={W.nav.checked} href={href({ page: "checked" })} />
        </p>
        <InstallHint />
      </div>
    </div>
  );
}
