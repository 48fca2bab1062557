// What flows over many sheets, cut into them here: browsers differ in where they break, which heads
// they repeat and whether they number pages.
import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef } from "preact/hooks";
import { P } from "../text/paper";
import { breaks, type Line } from "./leaves";

/** Pixels of paper, as print.css has them, less what a browser may round. */
const HIGH = { letter: 952, a4: 1016 };

/** What stands in these may stand on several sheets. */
const OPEN =
  "section, div:not([class]), .paper-anew, .paper-scroll, table, tbody, dl, .paper-photos, .paper-pictures";

const parts = (e: Element): Element[] =>
  e.matches("thead") ? [] : e.matches(OPEN) ? [...e.children].flatMap(parts) : [e];

/** The children as one flow, and cut into sheets with a head each. */
export function Flow({
  size,
  head,
  children,
}: {
  size: string;
  head: ComponentChildren;
  children: ComponentChildren;
}) {
  const source = useRef<HTMLDivElement>(null);
  const host = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    let live = true;
    const drawn = (e: Element) => Promise.allSettled([...e.querySelectorAll("img")].map((i) => i.decode()));
    const cut = async () => {
      await drawn(source.current!);
      if (!live) return;
      host.current!.replaceChildren(...sheets(source.current!, HIGH[size === "a4" ? "a4" : "letter"]));
      await drawn(host.current!);
      if (live) host.current!.closest(".paper")?.setAttribute("data-ready", "yes");
    };
    void cut();
    return () => void (live = false);
  });
  return (
    <>
      <div class="paper-source" inert ref={source}>
        {head}
        <div>{children}</div>
      </div>
      <div ref={host} />
    </>
  );
}

/** Copies of a head and of what stands under it, sheet by sheet. */
function sheets(source: HTMLElement, high: number): Element[] {
  const [head, body] = [...source.children] as [Element, Element];
  const all: (Line & { els: Element[] })[] = [];
  let begun: Element | null = null;
  for (const e of [...body.children].flatMap(parts)) {
    const { top, bottom } = e.getBoundingClientRect();
    const last = all.at(-1);
    // What stands side by side stays together.
    if (last && last.els[0]!.parentElement === e.parentElement && Math.abs(last.top - top) < 1) {
      last.els.push(e);
      last.bottom = Math.max(last.bottom, bottom);
      continue;
    }
    all.push({
      els: [e],
      top,
      bottom,
      again: e.closest("table")?.tHead?.offsetHeight ?? 0,
      keep: e.matches("h1, h2, h3, .paper-card-code"),
      anew: begun !== (begun = e.closest(".paper-anew")) && !!begun,
    });
  }
  const room = high - head.getBoundingClientRect().height;
  const from = breaks(all, room);
  const cut = from.map((at, i) => all.slice(at, from[i + 1]));
  // What is higher than a sheet goes on where the browser breaks it.
  const takes = cut.map((s) => Math.max(1, Math.ceil((s.at(-1)!.bottom - s[0]!.top) / high)));
  const count = takes.reduce((a, b) => a + b, 0);
  let n = 0;
  return cut.map((lines, i) => {
    const sheet = document.createElement("div");
    sheet.className = "paper-sheet";
    const no = takes[i] === 1 ? n + 1 : `${n + 1}–${n + takes[i]!}`;
    n += takes[i]!;
    const top = head.cloneNode(true) as Element;
    top.querySelector(".paper-no")!.textContent = `${P.page} ${no} ${P.of} ${count}`;
    sheet.append(top);
    const copies = new Map<Element, Element>([[body, sheet]]);
    const home = (e: Element): Element => {
      const there = copies.get(e);
      if (there) return there;
      const copy = e.cloneNode(false) as Element;
      const heads = e instanceof HTMLTableElement && e.tHead;
      if (heads) copy.append(heads.cloneNode(true));
      home(e.parentElement!).append(copy);
      copies.set(e, copy);
      return copy;
    };
    for (const e of lines.flatMap((l) => l.els)) home(e.parentElement!).append(e.cloneNode(true));
    return sheet;
  });
}
