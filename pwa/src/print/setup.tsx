// The setup sheet: one page in reading order, and what has no room on it on pages of its own.
import type { ComponentChildren } from "preact";
import type { Field } from "../engine/contract.gen";
import {
  facePlan,
  isSet,
  keyOf,
  scenePlan,
  type Face,
  type Place,
  type Plan,
  type Scene,
} from "../drawing/face";
import { Drawn } from "../jobbook/drawn";
import { lastOfEach, places } from "../jobbook/readlogic";
import { saying } from "../jobbook/saying";
import { nameOf, rows, text, type Rec, type Row as Line } from "../records/fields";
import { P } from "../text/paper";
import { commas, dateWords as stamp, dots, writer } from "../text/words";
import { Sign } from "../ui/parts";
import { Code, fieldOf, link, say, Square, took, type SheetProps } from "./bits";
import {
  bare,
  fill,
  guess,
  halves,
  heightOf,
  lines,
  pages,
  pieces,
  type Block,
  type Measure,
} from "./leaves";
import { about, heading, lastKept, nuts, stepsIn, ticked, warnings } from "./model";

/** Pixels of paper: the room inside the border by the paper's height, what head and title block take. */
const HIGH = { letter: 955, a4: 1019 };
const TITLES = 66;
const TOP = 104;
/** The columns, and a page without. */
const LEFT = 412;
const RIGHT = 290;
const WIDE = 716;
/** A line of the smallest letters, the heading of a block, the head of a table. */
const LINE = 17;
const HEAD = 30;
const THEAD = 19;
const ROW = 28;
const PHOTOS = 4;
/** The picture of the nuts, beside their table. */
const NUTS = [118, 100] as const;

const pen = document.createElement("canvas").getContext("2d");
const by: Measure = (said, em, bold) => {
  if (!pen) return guess(said, em, bold);
  pen.font = `${bold ? 700 : 400} ${em}px ${getComputedStyle(document.body).fontFamily}`;
  // What one browser measures another rounds up.
  return pen.measureText(said).width * 1.01;
};

type El = ComponentChildren;

/** What each block of rows is called and stands in. */
interface Kind {
  title: El;
  wrap: (rows: El[]) => El;
}

export function SetupSheet(p: SheetProps) {
  const { rec: setup, repo } = p;
  const scene = p.extra.shapes.get(setup.id) as Scene | undefined;
  const photos = about(repo, "photo", setup.id).filter((x) => p.extra.photos.has(x.id));
  const kinds: Record<string, Kind> = {};
  const block = (key: string, kind: Kind, list: Block<El>["rows"], head = HEAD): Block<El> => {
    kinds[key] = kind;
    return { key, head, rows: list };
  };
  const picture = scene && scenePlan(scene);
  const sketch = picture ? (picture.h * LEFT) / picture.w + 8 : 0;
  const warned = warnings(
    [...p.extra.kept.values()].filter((k) => k.links?.setup === setup.id),
    P.usual,
  );
  const frame = warned.reduce((n, w) => n + lines(warning(p, w), RIGHT - 58, { by }) * LINE + 5, 30);
  const name = text(setup, "name");
  const high = HIGH[p.size === "a4" ? "a4" : "letter"] - TITLES;
  const room =
    high - Math.max(TOP, 18 + lines(name, 600, { em: 22, bold: true, by }) * 26 + (setup.demo ? 26 : 0));

  // Left: the sketch, holes, steps, notes.
  const face = scene?.face;
  const [hole, holeRest] = fill(holePlan(p, setup, face, block), (room - sketch) * 0.6);
  let left = room - sketch - heightOf(hole);
  const [step, stepRest] = fill(stepList(p, setup, block), left);
  left -= heightOf(step);
  const [note, noteRest] = fill(notes(p, setup, block), left);
  // Right: how it sits, nuts, readings, cautions, which always stand there.
  const [sit, sitRest] = fill(sitting(p, block), (room - frame) * 0.6);
  let right = room - frame - heightOf(sit);
  const [nut, nutRest] = fill(nutList(p, setup, face, block), right);
  right -= heightOf(nut);
  const [read, readRest] = fill(readingTable(p, setup, block), right);

  const more = pages<El>([sitRest, holeRest, stepRest, nutRest, readRest, noteRest], high - 40);
  const shots = Math.ceil(photos.length / PHOTOS);
  const all = 1 + more.length + shots;
  const put = (b: Block<El>) =>
    b.rows.length > 0 && (
      <section key={b.key}>
        <h2>{kinds[b.key]!.title}</h2>
        {kinds[b.key]!.wrap(b.rows.map((r) => r.el))}
      </section>
    );
  const leaf = (n: number, body: El) => (
    <div key={n} class="paper-leaf">
      {n > 1 && (
        <p class="leaf-again">
          <b>{nameOf(setup)}</b>
          {setup.demo && <span class="paper-invented">{P.inventedShort}</span>}
        </p>
      )}
      {body}
      <TitleBlock p={p} setup={setup} n={n} all={all} />
    </div>
  );
  return (
    <>
      {leaf(
        1,
        <>
          <header class="leaf-head">
            <div>
              <p>{kicker(p, setup)}</p>
              <h1>{name}</h1>
              {setup.demo && <p class="paper-invented">{P.invented}</p>}
            </div>
            <Code {...p} />
          </header>
          <div class="leaf-columns">
            <div>
              {picture && <Drawn picture={picture} />}
              {put(hole)}
              {put(step)}
              {put(note)}
            </div>
            <div>
              {sit.rows.map((r) => r.el)}
              {put(nut)}
              {put(read)}
              <ul class="leaf-warn">
                {warned.map((w, i) => (
                  <li key={i}>
                    <Sign level={w.level} size={22} />
                    <span>{warning(p, w)}</span>
                  </li>
                ))}
              </ul>
            </div>
          </div>
        </>,
      )}
      {more.map((blocks, i) => leaf(2 + i, blocks.map(put)))}
      {Array.from({ length: shots }, (_, i) =>
        leaf(
          2 + more.length + i,
          <div class={photos.length > 2 ? "leaf-photos leaf-many" : "leaf-photos"}>
            {photos.slice(i * PHOTOS, (i + 1) * PHOTOS).map((x) => (
              <figure key={x.id}>
                <img src={p.extra.photos.get(x.id)} alt={nameOf(x)} />
                <figcaption>{commas(nameOf(x), text(x, "view"), say(p, x, "taken"))}</figcaption>
              </figure>
            ))}
          </div>,
        ),
      )}
    </>
  );
}

type Add = (key: string, kind: Kind, list: Block<El>["rows"], head?: number) => Block<El>;

const warning = (p: SheetProps, w: { of: string; text: string }): string =>
  dots(p.describe.worksheets.find((s) => s.name === w.of)?.title ?? w.of, w.text);

/** "Setup 2 of 4 · Pump bracket". */
function kicker(p: SheetProps, setup: Rec): string {
  const job = text(setup, "job");
  const all = job ? p.repo.all("setup").filter((s) => text(s, "job") === job).length : 0;
  const order = text(setup, "order");
  return dots(order && all > 1 ? `${P.setup} ${order} ${P.of} ${all}` : P.setup, link(p, setup, "job"));
}

const plainly = (els: El[]) => <>{els}</>;

/** In a column and on a page without. */
const heights = (of: (width: number) => number, width: number) => ({
  high: of(width),
  flat: of(width + WIDE - (width < LEFT ? RIGHT : LEFT)),
});

/** A few words after a name in bold, as rows. */
const told = (name: string, said: string, width: number): Block<El>["rows"] =>
  (said ? pieces(said) : []).map((s, i) => ({
    ...heights((w) => lines(i === 0 && name ? `${name} ${s}` : s, w, { by }) * LINE + 4, width),
    el: (
      <p class="leaf-line">
        {i === 0 && name && <b>{name} </b>}
        {s}
      </p>
    ),
  }));

/** X, Y and Z with their letters. */
const placed = (c: Field, said: string): string =>
  said && /^[xyz]$/.test(c.key) ? `${c.label} ${said}` : said;

/** How it sits, a line for each thing that was written down. */
function sitting(p: SheetProps, add: Add): Block<El> {
  const list = Object.entries(P.sits).flatMap(([key, name]) => {
    const f = fieldOf(p.kinds, "setup", key);
    const said =
      f?.kind === "table"
        ? rows(p.rec, key)
            .map((r) =>
              (f.columns ?? []).map((c) => placed(c, saying(c, r[c.key], r.unit, p.repo))).join(" "),
            )
            .join("; ")
        : say(p, p.rec, key);
    return told(name, said, RIGHT);
  });
  return add("sits", { title: P.how, wrap: plainly }, list, 0);
}

const table = (name: string, heads: string[]) => (els: El[]) => (
  <div class="paper-scroll" tabIndex={0} role="group" aria-label={name}>
    <table>
      <thead>
        <tr>
          {heads.map((h) => (
            <th scope="col">{h}</th>
          ))}
        </tr>
      </thead>
      <tbody>{els}</tbody>
    </table>
  </div>
);

/** The holes that the part is bolted to, with the drill and the depth that were worked out. */
function holePlan(p: SheetProps, setup: Rec, face: Face | undefined, add: Add): Block<El> {
  const fixture = p.repo.get(text(setup, "fixture"));
  const f = fieldOf(p.kinds, "fixture", "holes");
  const bolts = nuts(setup, face?.places ?? []);
  const used = new Set(bolts.map(({ row }) => String(row["hole"]).trim().toLowerCase()));
  const every = rows(fixture, "holes");
  const some = every.filter((h) => used.has(String(h["name"]).trim().toLowerCase()));
  // Without bolts that name a hole those of a small plate; a large one has its hole table.
  const list = some.length > 0 ? some : every.length <= 8 ? every : [];
  const cell = (r: Line, key: string): string =>
    saying(
      f?.columns?.find((c) => c.key === key),
      r[key],
      r.unit,
      p.repo,
    );
  const plans = lastKept(
    [...p.extra.kept.values()].filter((k) => k.worksheet === "hole" && k.links?.setup === setup.id),
  );
  const cells = list.map((r) => {
    const thread = cell(r, "thread");
    const plan = plans.find((k) => thread && k.inputs["thread"]?.trim() === thread)?.answer.results;
    const said = (key: string) => plan?.[key]?.shown ?? plan?.[key]?.text ?? "";
    return {
      name: cell(r, "name"),
      sizes: [cell(r, "x"), cell(r, "y"), said("shoulder") || cell(r, "depth")],
      thread: thread || cell(r, "dia"),
      drill: said("drill"),
      through: r["through"] === true,
    };
  });
  const { unit, cut } = bare(cells.flatMap((c) => c.sizes));
  const title = (
    <>
      {P.holesIn(text(fixture, "tag") || (fixture ? nameOf(fixture) : ""))} <small>{unit}</small>
    </>
  );
  return add(
    "holes",
    { title, wrap: table(P.holesIn(""), [P.hole, "X", "Y", P.size, P.drill, P.shoulder, P.found]) },
    cells.map((c) => ({
      high: Math.max(lines(c.name, 50, { bold: true, by }), lines(c.thread, 74, { by })) * LINE + ROW - LINE,
      el: (
        <tr>
          <td>
            <b>{c.name}</b>
          </td>
          <td>{cut(c.sizes[0]!)}</td>
          <td>{cut(c.sizes[1]!)}</td>
          <td>{c.thread}</td>
          <td>{c.drill}</td>
          <td>
            <b>{cut(c.sizes[2]!) || (c.through ? P.through : "")}</b>
          </td>
          <td>
            <i class="leaf-fill" />
          </td>
        </tr>
      ),
    })),
    HEAD + THEAD + LINE,
  );
}

/** Steps with squares; a size has a line for what was found, or what was read. */
function stepList(p: SheetProps, setup: Rec, add: Add): Block<El> {
  const read = p.repo.all("reading").filter((r) => text(r, "kind") === "size");
  const list = stepsIn(p.repo, setup).map((s) => {
    const under = dots(
      commas(link(p, s, "tool"), say(p, s, "spin"), say(p, s, "feed")),
      took(p, s),
      text(s, "notes"),
    );
    const found = read.filter((r) => text(r, "step") === s.id).at(-1);
    const wants = text(s, "feature") !== "" || found;
    const high = (w: number) =>
      lines(nameOf(s), w, { em: 14, by }) * 19 + (under ? lines(under, w, { by }) * LINE : 0) + 8;
    return {
      ...heights(high, LEFT - (wants ? 150 : 60)),
      el: (
        <li>
          <Square on={ticked(s)} />
          <b>{text(s, "order")}</b>
          <span>
            {nameOf(s)}
            {under && <small>{under}</small>}
          </span>
          {wants && (
            <span>
              {P.found} {found ? <b>{say(p, found, "value")}</b> : <i class="leaf-fill" />}
            </span>
          )}
        </li>
      ),
    };
  });
  return add("steps", { title: P.steps, wrap: (els) => <ol class="leaf-steps">{els}</ol> }, list);
}

/** The face with its nuts, as small as their numbers can be told apart; none where they cannot. */
function nutPicture(face: Face, turns: Record<string, string>): Plan | undefined {
  for (const [wide, high] of [NUTS, [RIGHT - 6, 170]] as const) {
    const plan = facePlan(face, { nuts: turns, sizes: false, wide, high });
    const at = plan.places.filter((q) => turns[q.key]);
    const close = at.some((a, i) => at.slice(i + 1).some((b) => Math.hypot(a.x - b.x, a.y - b.y) < 24));
    if (!close) return plan;
  }
  return undefined;
}

/** Nuts in their order, each with its squares for snug, half and full; the picture says which is which. */
function nutList(p: SheetProps, setup: Rec, face: Face | undefined, add: Add): Block<El> {
  const bolts = nuts(setup, face?.places ?? []);
  const f = fieldOf(p.kinds, "setup", "bolts");
  const turns: Record<string, string> = {};
  const spots = new Set<Place>();
  bolts.forEach(({ place }, i) => {
    if (!place || !isSet(place)) return;
    spots.add(place);
    turns[keyOf(place)] = String(i + 1);
  });
  const pulls = bolts.map(({ row }) =>
    halves(
      saying(
        f?.columns?.find((c) => c.key === "torque"),
        row["torque"],
        row.unit,
        p.repo,
      ),
    ),
  );
  const units = new Set(pulls.map((x) => x?.unit ?? ""));
  const unit = units.size === 1 ? [...units][0]! : "";
  const picture = face && spots.size > 0 ? nutPicture(face, turns) : undefined;
  const beside = picture?.w === NUTS[0];
  const square = (said: string) => (
    <td>
      <Square on={false} /> {said}
    </td>
  );
  const rowsOf = bolts.map(({ row }, i) => {
    const x = pulls[i];
    const of = x && !unit ? ` ${x.unit}` : "";
    return {
      high: ROW,
      el: (
        <tr>
          <td>
            <b>{i + 1}</b>
          </td>
          <td>{typeof row["hole"] === "string" && row["hole"]}</td>
          {square("")}
          {square(x ? x.half + of : "")}
          {square(x ? x.full + of : "")}
        </tr>
      ),
    };
  });
  const wrap = (els: El[]) => (
    <>
      <div class={beside ? "leaf-nuts leaf-beside" : "leaf-nuts"}>
        {picture && <Drawn picture={picture} />}
        {table(P.nuts, ["", P.hole, P.snug, P.half, P.full])(els)}
      </div>
      <p class="leaf-fine">{P.passes}</p>
    </>
  );
  const title = (
    <>
      {P.nuts} <small>{unit}</small>
    </>
  );
  // The picture stands beside the table: what it is higher than a few rows is put to the head.
  const over = picture ? (beside ? Math.max(0, picture.h - THEAD - rowsOf.length * ROW) : picture.h) : 0;
  return add("nuts", { title, wrap }, rowsOf, HEAD + THEAD + over + LINE + 6);
}

/** Readings to fill in: a row for each station, what was read in its column. */
function readingTable(p: SheetProps, setup: Rec, add: Add): Block<El> {
  const mine = p.repo.all("reading").filter((r) => text(r, "setup") === setup.id);
  const kinds = ["before", "after", "cut"];
  const needle = mine.filter((r) => kinds.includes(text(r, "kind")));
  const known = places(setup, needle, "before");
  const at = known.length > 0 ? known : [1, 2, 3].map(() => ({ name: "", x: "", expected: "" }));
  const reads = kinds.map((kind) => lastOfEach(needle, kind, known));
  const said = at.map((s) => [
    s.expected,
    ...reads.map((list) =>
      say(p, s.name ? list.find((r) => text(r, "station") === s.name) : undefined, "value"),
    ),
  ]);
  const { unit, cut } = bare(said.flat());
  const last = said.some(([expected]) => expected);
  const sign = text(setup, "sign");
  const wanted = say(p, setup, "wanted");
  const fine = commas(sign, wanted && P.within(wanted));
  const wrap = (els: El[]) => (
    <>
      {table(P.readings, [P.station, ...(last ? [P.expected] : []), P.before, P.after, P.cut])(els)}
      {fine && <p class="leaf-fine">{fine}</p>}
    </>
  );
  return add(
    "readings",
    {
      title: (
        <>
          {P.readings} <small>{unit}</small>
        </>
      ),
      wrap,
    },
    at.map((s, i) => ({
      high: lines(s.name, 96, { by }) * LINE + ROW - LINE,
      el: (
        <tr class="leaf-read">
          <td>{s.name}</td>
          {said[i]!.slice(last ? 0 : 1).map((x) => (
            <td>{cut(x)}</td>
          ))}
        </tr>
      ),
    })),
    HEAD + THEAD + (last ? LINE : 0) + (fine ? lines(fine, RIGHT, { by }) * LINE + 4 : 0),
  );
}

function notes(p: SheetProps, setup: Rec, add: Add): Block<El> {
  const list = [
    ...told(P.wrong, text(setup, "wrong"), LEFT),
    ...told("", text(setup, "notes"), LEFT),
    ...about(p.repo, "note", setup.id).flatMap((n) => told("", text(n, "text"), LEFT)),
  ];
  return add("notes", { title: P.notes, wrap: plainly }, list);
}

/** The drafter's title block. */
function TitleBlock({ p, setup, n, all }: { p: SheetProps; setup: Rec; n: number; all: number }) {
  const { repo } = p;
  const head = heading(repo, setup);
  const part = repo.get(text(setup, "part"));
  const fixture = repo.get(text(setup, "fixture"));
  const cells: [string, string][] = [
    [P.part, head.part],
    [P.drawing, head.drawing],
    [P.material, part ? commas(link(p, part, "material"), say(p, part, "weight")) : ""],
    [P.machine, link(p, setup, "machine")],
    [P.fixture, fixture ? commas(nameOf(fixture), text(fixture, "tag")) : ""],
    [P.byOn, commas(writer(setup.by), say(p, setup, "when"))],
    [P.printed, stamp(new Date().toISOString().slice(0, 10))],
    [P.sheet, `${n} ${P.of} ${all}`],
  ];
  return (
    <dl class="leaf-title">
      {cells.map(([name, said]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{said || "–"}</dd>
        </div>
      ))}
    </dl>
  );
}
