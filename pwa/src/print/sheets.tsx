import { facePlan, isSet, machinePlan, scenePlan } from "../drawing/face";
import { Drawn } from "../jobbook/drawn";
import { nameOf, rows, text, type Rec } from "../records/fields";
import { P } from "../text/paper";
import { commas, dateWords as stamp, dots, writer } from "../text/words";
import { headline, mains } from "../worksheet/answer";
import { saying } from "../jobbook/saying";
import {
  Code,
  fieldOf,
  link,
  Notes,
  Over,
  Part,
  Photos,
  say,
  Says,
  Square,
  Table,
  TableOrNone,
  took,
  type SheetProps,
} from "./bits";
import { bare } from "./leaves";
import { Label } from "./label";
import { SetupSheet } from "./setup";
import {
  featuresOf,
  inspection,
  limits,
  partsOf,
  readingRows,
  sized,
  stepsIn,
  ticked,
  together,
  within,
  type Measured,
} from "./model";

/** One page by its name. */
export function Sheet(p: SheetProps) {
  switch (p.what) {
    case "setup":
      return <SetupSheet {...p} />;
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

const whoWhen = (p: SheetProps, r: Rec): string =>
  commas(text(r, "who") || writer(r.by), say(p, r, "when") || (r.made && stamp(r.made)));

function SetupParts({ p, setup }: { p: SheetProps; setup: Rec }) {
  const steps = stepsIn(p.repo, setup);
  const read = readingRows(p.repo, setup);
  const kept = [...p.extra.kept.values()].filter((k) => k.links?.setup === setup.id);
  const { of, cut } = bare(read.flatMap(({ reading }) => [say(p, reading, "x"), say(p, reading, "y")]));
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
            <Square on={ticked(s)} />,
            text(s, "order"),
            <Over main={nameOf(s)} under={dots(took(p, s), text(s, "notes"))} />,
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
            heads={[P.station, of("X"), of("Y"), P.expected, P.value, P.unsure, P.when, P.whoWhen]}
            list={read.map(({ reading: r, expected }) => [
              text(r, "round") ? (
                <Over
                  main={P.round(text(r, "round"), text(r, "station"))}
                  under={text(r, "move") && P.move(text(r, "move"))}
                />
              ) : (
                text(r, "station")
              ),
              cut(say(p, r, "x")),
              cut(say(p, r, "y")),
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
  const { of, cut } = bare(holes.flatMap((r) => ["x", "y", "depth"].map((key) => cell(r, key))));
  return (
    <>
      <h1>{commas(nameOf(p.rec), text(p.rec, "tag"))}</h1>
      <TableOrNone
        name={P.titles["holes"]!}
        wide={7}
        heads={[P.hole, P.face, of("X"), of("Y"), P.kind, P.size, of(P.depth), P.why, P.drilled]}
        list={holes.map((r) => [
          <b>{cell(r, "name")}</b>,
          ...["face", "x", "y", "kind"].map((key) => cut(cell(r, key))),
          cell(r, "thread") || cell(r, "dia"),
          cut(cell(r, "depth")) || (r["through"] === true ? "through" : ""),
          [cell(r, "why"), cell(r, "job")].filter(Boolean).join("; "),
          cell(r, "when"),
        ])}
      />
      <Pictures p={p} of={p.rec} />
    </>
  );
}

/** Where things are on a record, drawn: each face with places, the table with its travels, the setup. */
function Pictures({ p, of }: { p: SheetProps; of: Rec }) {
  const shape = p.extra.shapes.get(of.id);
  if (!shape) return null;
  const faces = "faces" in shape ? shape.faces.filter((f) => f.places.some(isSet)) : [];
  const one =
    shape.kind === "machine" ? machinePlan(shape) : shape.kind === "setup" ? scenePlan(shape) : undefined;
  return (
    <div class="paper-pictures">
      {one && <Drawn picture={one} />}
      {faces.map((f) => (
        <figure key={`${f.look} ${f.name}`}>
          <Drawn picture={facePlan(f)} />
          <figcaption>{P.faceOf(f.name ?? "", f.places.filter(isSet).length)}</figcaption>
        </figure>
      ))}
    </div>
  );
}

function PartHoles(p: SheetProps) {
  const list = featuresOf(p.repo, p.rec).filter((f) =>
    ["hole", "tapped", "bore", "slot"].includes(text(f, "kind")),
  );
  const { of, cut } = bare(list.flatMap((f) => ["x", "y", "z", "depth"].map((key) => say(p, f, key))));
  return (
    <>
      <h1>{nameOf(p.rec)}</h1>
      <TableOrNone
        name={P.titles["holes"]!}
        wide={9}
        heads={[
          P.feature,
          P.kind,
          P.face,
          of("X"),
          of("Y"),
          of("Z"),
          P.size,
          P.tolerance,
          of(P.depth),
          P.notes,
        ]}
        list={list.map((f) => [
          <b>{nameOf(f)}</b>,
          ...["kind", "face", "x", "y", "z"].map((key) => cut(say(p, f, key))),
          say(p, f, "thread") || say(p, f, "nominal") || say(p, f, "wide"),
          limits(f)?.tolerance ?? "",
          cut(say(p, f, "depth")),
          [say(p, f, "datum"), text(f, "notes")].filter(Boolean).join("; "),
        ])}
      />
      {partsOf(p.repo, p.rec).map((part) => (
        <Pictures key={part.id} p={p} of={part} />
      ))}
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
      wide={0}
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
      <div class="paper-card-code">
        <Code {...p} />
      </div>
      <h1>{commas(nameOf(p.rec), text(p.rec, "tag"))}</h1>
      <Says p={p} rec={p.rec} hide={["name", "tag"]} head="h2" />
      <Pictures p={p} of={p.rec} />
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
        <div key={s.id} class="paper-anew">
          <h1>
            {P.setup} {nameOf(s)}
          </h1>
          <Pictures p={p} of={s} />
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
    <div class="paper-anew">
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
              writer(lines[0]!.by),
            ];
          })}
        />
      </Part>
    </div>
  );
}
