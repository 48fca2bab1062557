import { generate } from "lean-qr/nano";
import { nameOf, rows, text, type Rec } from "../records/fields";
import { P } from "../text/paper";
import { commas, dateWords as stamp, dots } from "../text/words";
import { headline, mains } from "../worksheet/answer";
import { linkName, saying } from "../jobbook/saying";
import { fieldOf, Notes, Over, Part, Photos, say, Says, Table, TableOrNone, type SheetProps } from "./bits";
import {
  featuresOf,
  inspection,
  labelAddress,
  limits,
  readingRows,
  sized,
  spots,
  squares,
  stepsIn,
  ticked,
  together,
  within,
  type Measured,
  type Spot,
} from "./model";

/** One page by its name. */
export function Sheet(p: SheetProps) {
  switch (p.what) {
    case "setup":
      return (
        <>
          <h1>{nameOf(p.rec)}</h1>
          <SetupParts p={p} setup={p.rec} />
        </>
      );
    case "holes":
      return p.rec.kind === "fixture" ? <FixtureHoles {...p} /> : <PartHoles {...p} />;
    case "inspection":
      return <Inspection {...p} />;
    case "job":
      return <JobHistory {...p} />;
    case "label":
      return <Label {...p} />;
    default:
      return <Card {...p} />;
  }
}

const link = (p: SheetProps, rec: Rec, key: string): string =>
  text(rec, key) ? linkName(text(rec, key), p.repo) : "";

const whoWhen = (p: SheetProps, r: Rec): string =>
  commas(text(r, "who") || r.by, say(p, r, "when") || (r.made && stamp(r.made)));

function SetupParts({ p, setup }: { p: SheetProps; setup: Rec }) {
  const steps = stepsIn(p.repo, setup);
  const read = readingRows(p.repo, setup);
  const kept = [...p.extra.kept.values()].filter((k) => k.links?.setup === setup.id);
  return (
    <>
      <Part title={P.how}>
        <Says p={p} rec={setup} hide={["name", "order", "job", "part", "expected"]} />
      </Part>
      <Part title={P.steps}>
        <TableOrNone
          name={P.steps}
          wide={2}
          heads={[P.done, P.order, P.step, P.feature, P.tool, P.speed]}
          list={steps.map((s) => [
            <Box on={ticked(s)} />,
            text(s, "order"),
            <Over main={nameOf(s)} under={text(s, "notes")} />,
            link(p, s, "feature"),
            link(p, s, "tool"),
            commas(say(p, s, "spin"), say(p, s, "feed")),
          ])}
        />
      </Part>
      {read.length > 0 && (
        <Part title={P.readings}>
          <Table
            name={P.readings}
            heads={[P.station, "X", "Y", P.expected, P.value, P.unsure, P.when, P.whoWhen]}
            list={read.map(({ reading: r, expected }) => [
              text(r, "round") ? (
                <Over
                  main={P.round(text(r, "round"), text(r, "station"))}
                  under={text(r, "move") && P.move(text(r, "move"))}
                />
              ) : (
                text(r, "station")
              ),
              say(p, r, "x"),
              say(p, r, "y"),
              expected,
              <b>{say(p, r, "value")}</b>,
              say(p, r, "unsure"),
              say(p, r, "kind"),
              whoWhen(p, r),
            ])}
          />
        </Part>
      )}
      {kept.length > 0 && (
        <Part title={P.kept}>
          <Kept p={p} list={kept} />
        </Part>
      )}
      <Notes p={p} of={setup} />
      <Photos p={p} of={setup} />
    </>
  );
}

function Kept({ p, list }: { p: SheetProps; list: import("../records/kept").Kept[] }) {
  return (
    <>
      {list.map((k) => {
        const sheet = p.describe.worksheets.find((s) => s.name === k.worksheet);
        const typed = commas(
          ...(sheet?.inputs ?? []).map((i) => k.inputs[i.key] && `${i.label} ${k.inputs[i.key]}`),
        );
        return (
          <div key={k._id} class="paper-kept">
            <p>
              <b>{sheet?.title ?? k.worksheet}</b> <small>{stamp(k.created)}</small>
            </p>
            {typed && <p>{typed}</p>}
            {sheet && <p>{headline(sheet, k.answer).text}</p>}
            {sheet && (
              <p>{dots(...mains(sheet, k.answer).map((m) => `${m.result.label} ${m.found.text}`))}</p>
            )}
            {k.measured && (
              <p>
                {P.measured}: {k.measured}
              </p>
            )}
            {k.note && <p>{k.note}</p>}
          </div>
        );
      })}
    </>
  );
}

/** A square to tick with a pencil, or one that is ticked. */
function Box({ on }: { on: boolean }) {
  return (
    <svg
      class="paper-box"
      viewBox="0 0 12 12"
      width="12"
      height="12"
      role="img"
      aria-label={on ? P.done : "–"}
    >
      <path d={on ? "M1 1H11V11H1ZM3 6L5.4 8.6L9.4 3.4" : "M1 1H11V11H1Z"} />
    </svg>
  );
}

function FixtureHoles(p: SheetProps) {
  const f = fieldOf(p.kinds, "fixture", "holes");
  const holes = rows(p.rec, "holes");
  const cell = (r: (typeof holes)[number], key: string): string =>
    saying(
      f?.columns?.find((c) => c.key === key),
      r[key],
      r.unit,
      p.repo,
    );
  return (
    <>
      <h1>{commas(nameOf(p.rec), text(p.rec, "tag"))}</h1>
      <TableOrNone
        name={P.titles["holes"]!}
        wide={7}
        heads={[P.hole, P.face, "X", "Y", P.kind, P.size, P.depth, P.why, P.when]}
        list={holes.map((r) => [
          <b>{cell(r, "name")}</b>,
          ...["face", "x", "y", "kind"].map((key) => cell(r, key)),
          cell(r, "thread") || cell(r, "dia"),
          cell(r, "depth") || (r["through"] === true ? "through" : ""),
          [cell(r, "why"), cell(r, "job")].filter(Boolean).join("; "),
          cell(r, "when"),
        ])}
      />
      <Maps rec={p.rec} />
    </>
  );
}

function Maps({ rec }: { rec: Rec }) {
  const faces = spots(rec);
  if (faces.length === 0) return null;
  return (
    <Part title={P.map}>
      {faces.map(({ face, list }) => (
        <Map key={face} face={face} list={list} />
      ))}
    </Part>
  );
}

/** The holes of one face where they are: X to the right, Y up, the datum where the lines cross. */
function Map({ face, list }: { face: string; list: Spot[] }) {
  const [xs, ys] = [list.map((s) => s.x).concat(0), list.map((s) => s.y).concat(0)];
  const [left, right, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const scale = Math.min(560 / Math.max(right - left, 1), 260 / Math.max(high - low, 1));
  const [wide, tall] = [(right - left) * scale, (high - low) * scale];
  const x = (v: number) => 40 + (v - left) * scale;
  const y = (v: number) => 30 + (high - v) * scale;
  return (
    <figure class="paper-map">
      <svg viewBox={`0 0 ${wide + 80} ${tall + 60}`} role="img" aria-label={P.mapWords(list.length, face)}>
        <path class="paper-axis" d={`M10 ${y(0)}H${wide + 70}M${x(0)} 8V${tall + 52}`} />
        {list.map((s, i) => (
          <g key={i}>
            <circle cx={x(s.x)} cy={y(s.y)} r="7" />
            <path d={`M${x(s.x) - 11} ${y(s.y)}h22M${x(s.x)} ${y(s.y) - 11}v22`} />
            <text x={x(s.x) + 10} y={y(s.y) - 8}>
              {s.name}
            </text>
          </g>
        ))}
      </svg>
      <figcaption>{P.mapWords(list.length, face)}</figcaption>
    </figure>
  );
}

function PartHoles(p: SheetProps) {
  const list = featuresOf(p.repo, p.rec).filter((f) =>
    ["hole", "tapped", "bore", "slot"].includes(text(f, "kind")),
  );
  return (
    <>
      <h1>{nameOf(p.rec)}</h1>
      <TableOrNone
        name={P.titles["holes"]!}
        wide={9}
        heads={[P.feature, P.kind, P.face, "X", "Y", "Z", P.size, P.tolerance, P.depth, P.notes]}
        list={list.map((f) => [
          <b>{nameOf(f)}</b>,
          ...["kind", "face", "x", "y", "z"].map((key) => say(p, f, key)),
          say(p, f, "thread") || say(p, f, "nominal") || say(p, f, "wide"),
          limits(f)?.tolerance ?? "",
          say(p, f, "depth"),
          [say(p, f, "datum"), text(f, "notes")].filter(Boolean).join("; "),
        ])}
      />
    </>
  );
}

function Inspection(p: SheetProps) {
  const list = inspection(p.repo, p.rec);
  return (
    <>
      <h1>{nameOf(p.rec)}</h1>
      <InspectionTable p={p} list={list} />
      <p class="paper-fine">{P.sureHelp}</p>
      <p class="paper-sign">
        <span>{P.signed}</span>
        <span>{P.date}</span>
      </p>
    </>
  );
}

function InspectionTable({ p, list }: { p: SheetProps; list: Measured[] }) {
  return (
    <TableOrNone
      name={P.titles["inspection"]!}
      heads={[P.feature, P.nominal, P.tolerance, P.limits, P.measured, P.unsure, P.verdict, P.whoWhen]}
      list={list.map(({ feature: f, limits: l, reading: r, kept }) => [
        <>
          <b>{nameOf(f)}</b>
          <small>{commas(say(p, f, "kind"), text(f, "square") && P.squareWithin(say(p, f, "square")))}</small>
        </>,
        l?.nominal ?? ([say(p, f, "thread"), say(p, f, "nominal"), say(p, f, "wide")].find(Boolean) || ""),
        l?.tolerance ?? [say(p, f, "plus"), say(p, f, "minus")].filter(Boolean).join(" / "),
        l ? `${l.low} to ${l.high}` : "",
        r ? (
          <Over main={<b>{sized(r, "value", true)}</b>} under={text(r, "note")} />
        ) : (
          (held(p, kept, "size") ?? <span class="paper-blank" />)
        ),
        r ? sized(r, "unsure", true) : (held(p, kept, "unsure") ?? ""),
        r || kept ? <Verdict p={p} l={l} r={r} kept={kept} /> : <span class="paper-blank" />,
        r ? (
          commas(link(p, r, "gauge"), whoWhen(p, r))
        ) : kept ? (
          commas(text(kept, "note"), whoWhen(p, kept))
        ) : (
          <span class="paper-blank" />
        ),
      ])}
    />
  );
}

/** What was put into a kept acceptance. */
function held(p: SheetProps, kept: Rec | undefined, key: string) {
  const k = kept && p.extra.kept.get(kept.id);
  return k && <b>{k.answer.inputs[key]?.text ?? k.inputs[key]}</b>;
}

/**
 * In or out: from the worksheet where the reading says how sure it is, else from the bare number
 * and said so.
 */
function Verdict({
  p,
  l,
  r,
  kept,
}: { p: SheetProps } & Pick<Measured, "kept"> & {
    l: Measured["limits"];
    r: Rec | undefined;
  }) {
  const answer = r ? p.extra.judged.get(r.id) : p.extra.kept.get(kept?.id ?? "")?.answer;
  if (answer) {
    const inside = answer.results["inside"]?.shown ?? answer.results["inside"]?.text;
    return (
      <>
        <b>{answer.results["accept"]?.value === true ? P.in : P.out}</b>
        <small>{commas(answer.results["state"]?.text, inside && P.inside(inside))}</small>
      </>
    );
  }
  const inside = r && within(l, sized(r, "value", true));
  if (inside === undefined) return <>{l ? P.close : ""}</>;
  return <>{inside ? P.inNoSure : P.outNoSure}</>;
}

function Card(p: SheetProps) {
  return (
    <>
      <div class="paper-card-head">
        <h1>{commas(nameOf(p.rec), text(p.rec, "tag"))}</h1>
        <Code {...p} />
      </div>
      <Says p={p} rec={p.rec} hide={["name", "tag"]} head="h2" />
      <Maps rec={p.rec} />
      <Notes p={p} of={p.rec} />
      <Photos p={p} of={p.rec} />
    </>
  );
}

function JobHistory(p: SheetProps) {
  const { repo, rec } = p;
  const parts = repo.all("part").filter((x) => text(x, "job") === rec.id);
  const setups = repo
    .all("setup")
    .filter((s) => text(s, "job") === rec.id)
    .sort((a, b) => Number(text(a, "order")) - Number(text(b, "order")));
  const loose = [...p.extra.kept.values()].filter((k) => !k.links?.setup);
  const features = inspection(repo, rec);
  return (
    <>
      <h1>{nameOf(rec)}</h1>
      <Says p={p} rec={rec} hide={["name"]} />
      {parts.map((x) => (
        <Part key={x.id} title={`${P.part}: ${nameOf(x)}`}>
          <Says p={p} rec={x} hide={["name", "job"]} />
          <Notes p={p} of={x} />
          <Photos p={p} of={x} />
        </Part>
      ))}
      {features.length > 0 && (
        <Part title={P.features}>
          <InspectionTable p={p} list={features} />
        </Part>
      )}
      <Notes p={p} of={rec} />
      <Photos p={p} of={rec} />
      {loose.length > 0 && (
        <Part title={P.kept}>
          <Kept p={p} list={loose} />
        </Part>
      )}
      {setups.map((s) => (
        <div key={s.id} class="paper-setup">
          <h1>
            {P.setup} {nameOf(s)}
          </h1>
          <SetupParts p={p} setup={s} />
        </div>
      ))}
      <Past {...p} />
    </>
  );
}

/**
 * Every change to everything in the job, the first one first; what was written in one go stands
 * together.
 */
function Past(p: SheetProps) {
  return (
    <div class="paper-setup">
      <Part title={P.history}>
        <Table
          name={P.history}
          wide={2}
          heads={[P.date, P.record, P.what, P.who]}
          list={together(p.extra.past).map(({ rec, lines }) => {
            const kind = p.kinds.find((k) => k.key === rec.kind)?.label ?? rec.kind;
            return [
              stamp(lines[0]!.at),
              `${kind}: ${nameOf(rec).slice(0, 60)}`,
              lines.map((line, i) => {
                const f = fieldOf(p.kinds, rec.kind, line.field.split("#")[0]!);
                const said = line.v === null ? P.cleared : saying(f, line.v, line.unit, p.repo);
                return (
                  <>
                    {i > 0 && "; "}
                    {line.label}{" "}
                    {line.field !== "answer" && <b>{said.length > 240 ? `${said.slice(0, 240)}…` : said}</b>}
                  </>
                );
              }),
              lines[0]!.by,
            ];
          })}
        />
      </Part>
    </div>
  );
}

/** A square code that leads to a record's page here. */
function Code({ rec, at }: SheetProps) {
  if (!at) return null;
  const code = generate(labelAddress(at, rec));
  return (
    <svg
      class="paper-code"
      viewBox={`-4 -4 ${code.size + 8} ${code.size + 8}`}
      shape-rendering="crispEdges"
      role="img"
      aria-label={labelAddress(at, rec)}
    >
      <path d={squares(code)} />
    </svg>
  );
}

/** A label to stick on: code, name, shop number. */
function Label(p: SheetProps) {
  const kind = p.kinds.find((k) => k.key === p.rec.kind)?.label;
  return (
    <div class="paper-sticker">
      <Code {...p} />
      <div>
        <b>{nameOf(p.rec)}</b>
        <p class="paper-tag">{text(p.rec, "tag") || text(p.rec, "drawing")}</p>
        <p>{commas(kind, say(p, p.rec, "kind"))}</p>
        <small>
          {p.rec.demo ? P.invented : /\/\/(localhost|127\.|\[::1)/.test(p.at) ? P.onlyHere : P.scan}
        </small>
      </div>
    </div>
  );
}
