import { useRef, useState } from "preact/hooks";
import { keyOf, written, type Face } from "../drawing/face";
import type { Field, FieldFault } from "../engine/contract.gen";
import { clearDraft, loadDraft, saveDraft } from "../form/drafts";
import { lately, used as usedSize } from "../form/habit";
import { pinNumber } from "../form/pin";
import { InputBox } from "../page/box";
import { nameOf, rows, text, type Rec, type Row } from "../records/fields";
import { Refused } from "../records/rules";
import type { Repository } from "../records/repository";
import { useApp, useLoaded, useTitle, useUnsaved } from "../screen/context";
import type { ScreenProps } from "../screen/load";
import { usePrefs } from "../screen/prefs";
import { recordHref } from "../screen/route";
import { askToKeep } from "../storage/persist";
import { Button, TextField } from "../ui/controls";
import { Blank, FaultLine, Sign } from "../ui/parts";
import { F } from "../text/faces";
import { B } from "../text/jobbook";
import { FaceDrawing } from "./drawn";
import { today } from "./outcome";
import { rough } from "./scene";
import { placing, useShape, type Danger } from "./shape";
import { metOr, ofRecord, takeBack, useWork } from "./use";

type Texts = Record<string, string>;

/** The kinds of places that are put by hand: where each is kept, and what it asks. */
const KINDS: Record<string, { table: string; asks: string[]; set: Texts }> = {
  tapped: { table: "holes", asks: ["thread", "depth"], set: { kind: "tapped" } },
  clear: { table: "holes", asks: ["dia", "depth"], set: { kind: "clear" } },
  dowel: { table: "holes", asks: ["dia", "depth"], set: { kind: "dowel" } },
  slot: { table: "slots", asks: ["wide", "long", "depth"], set: { kind: "through" } },
  bore: { table: "holes", asks: ["dia", "depth"], set: { kind: "bore" } },
  plug: { table: "holes", asks: ["dia"], set: { kind: "plug" } },
  tee: { table: "slots", asks: ["wide", "long"], set: { kind: "tee" } },
  rib: { table: "ribs", asks: ["thick", "long"], set: {} },
  groove: { table: "marks", asks: ["wide", "high", "depth"], set: { kind: "groove" } },
  repair: { table: "marks", asks: ["wide", "high"], set: { kind: "repair" } },
  ribgone: { table: "marks", asks: ["wide", "high"], set: { kind: "ribgone" } },
  keep: { table: "keepout", asks: ["wide", "high"], set: {} },
  other: { table: "marks", asks: ["wide", "high"], set: { kind: "other" } },
};

/** Those a part has, by the kind of feature each makes. */
const FEATURES: Record<string, { asks: string[]; set: Texts }> = {
  tapped: { asks: ["thread", "depth"], set: { kind: "tapped" } },
  clear: { asks: ["nominal", "depth"], set: { kind: "hole" } },
  bore: { asks: ["nominal", "depth"], set: { kind: "bore" } },
  slot: { asks: ["nominal", "long"], set: { kind: "slot" } },
  boss: { asks: ["nominal"], set: { kind: "boss" } },
};

const NAMES: Texts = {
  ...{ thread: F.size.thread, dia: F.size.dia, wide: F.size.wide, long: F.size.long, depth: F.size.depth },
  ...{ high: F.size.high, thick: F.size.wide, nominal: F.size.wide, x: "X", y: "Y" },
};

/** How long a place is along X, and along Y where it is not round. */
function boxOf(what: string, texts: Texts): [string?, string?] {
  const { asks } = KINDS[what] ?? FEATURES[what]!;
  if (asks.includes("high")) return [texts["wide"], texts["high"]];
  const wide = texts[asks[0]!];
  if (!asks.includes("long") || !texts["long"]) return [wide];
  return texts["runs"] === "y" ? [wide, texts["long"]] : [texts["long"], wide];
}

/** How a box of the page describes itself to the keypad. */
const field = (key: string): Field =>
  ({
    key,
    label: NAMES[key] ?? key,
    kind: key === "thread" ? "thread" : "length",
    lately: key === "thread" ? "thread" : key === "x" || key === "y" ? undefined : `place ${key}`,
    ...(key !== "thread" && { units: { in: "in", mm: "mm" } }),
  }) as unknown as Field;

/** The kinds that stand side by side; the others are behind the last key. */
const FEW = 4;

/** Adding a place to a face, or changing one: touch about where, type X and Y. */
export const Placing = ofRecord<ScreenProps>(Open, ["fixture", "part", "feature", "job"]);

function Open({ repo, rec, more }: { repo: Repository; rec: Rec; more: Texts }) {
  const isPart = rec.kind === "part";
  const features = isPart ? repo.all("feature").filter((f) => text(f, "part") === rec.id) : [];
  const shape = useShape(repo, isPart ? "part" : "fixture", rec, features.length);
  const [table = "", row = ""] = (more["at"] ?? "").split(".");
  const old = isPart ? undefined : rows(rec, table).find((r) => r.row === row);
  if (!shape) return <Blank kind="loading" title={B.loading} />;
  const faces = shape.faces;
  const face =
    faces.find((f) => f.places.some((p) => keyOf(p) === more["at"])) ??
    faces.find((f) => (f.name ?? "") === (more["face"] ?? "")) ??
    faces[0];
  const bare: Face = face ?? wholeFace(shape);
  return (
    <Form key={more["at"] ?? ""} repo={repo} rec={rec} face={bare} table={table} old={old} more={more} />
  );
}

/** A fixture whose face nobody described: as long and as high as it is. */
const wholeFace = (s: { long?: number; high?: number; wide?: number }): Face => {
  const [w, h] = [s.long, s.high ?? s.wide];
  return w && h
    ? { left: 0, bottom: 0, right: w, top: h, places: [] }
    : { left: 0, bottom: 0, right: 12, top: 9, places: [] };
};

/** A size of a row as it would be typed now. */
function typedNow(r: Row, key: string, unit: "in" | "mm"): string {
  const v = r[key];
  const t = typeof v === "string" ? v : "";
  return r.unit && r.unit !== unit ? pinNumber(t, r.unit) : t;
}

const SIZES = ["x", "y", "thread", "dia", "wide", "long", "high", "thick", "depth", "nominal"];

function start(old: Row | undefined, table: string, unit: "in" | "mm"): Texts {
  if (!old) return { what: "tapped" };
  const own = Object.entries(KINDS).find(
    ([, k]) =>
      k.table === table && (k.set["kind"] ?? "") === (typeof old["kind"] === "string" ? old["kind"] : ""),
  );
  const texts: Texts = {};
  for (const key of SIZES) if (typedNow(old, key, unit)) texts[key] = typedNow(old, key, unit);
  for (const key of ["name", "why", "runs"]) if (typeof old[key] === "string") texts[key] = old[key];
  const what = own?.[0] ?? Object.entries(KINDS).find(([, k]) => k.table === table)?.[0] ?? "tapped";
  return { what, ...texts };
}

/** The next free name of its kind: A3 after A2. */
export function nextName(there: readonly Row[], what: string): string {
  const names = there.map((r) => (typeof r["name"] === "string" ? r["name"] : ""));
  const last = [...names].reverse().find((n) => /^[A-Za-z]*\d+$/.test(n));
  const first = { slots: "S", marks: "G" }[KINDS[what]?.table ?? ""] ?? "A";
  const letters = last ? last.replace(/\d+$/, "") : first;
  for (let n = 1; ; n++) if (!names.includes(`${letters}${n}`)) return `${letters}${n}`;
}

interface FormProps {
  repo: Repository;
  rec: Rec;
  face: Face;
  table: string;
  old: Row | undefined;
  more: Texts;
}

function Form({ repo, rec, face, table, old, more }: FormProps) {
  const { say } = useApp();
  const { unit } = usePrefs();
  const isPart = rec.kind === "part";
  const kinds = isPart ? FEATURES : KINDS;
  const draft = `place ${rec.id} ${more["at"] ?? ""}`;
  const [texts, set] = useState<Texts>(() => loadDraft(draft)?.inputs ?? start(old, table, unit));
  const [shown] = useState(rec);
  const [stored, setStored] = useState(true);
  const [all, open] = useState(false);
  const [faults, setFaults] = useState<FieldFault[]>([]);
  const work = useWork();
  useUnsaved(draft, !stored);
  const latest = useRef(texts);
  const put = (change: Texts) => {
    const next = { ...latest.current, ...change };
    latest.current = next;
    set(next);
    setFaults([]);
    setStored(saveDraft(draft, { inputs: next }));
  };
  const what = texts["what"] && kinds[texts["what"]] ? texts["what"] : "tapped";
  const kind = kinds[what]!;
  const mine = "table" in kind ? (kind.table as string) : "";
  const name = texts["name"] || (old ? "" : isPart ? "" : nextName(rows(rec, mine), what));
  useTitle(nameOf(rec));

  // The danger is told from the first touch on; what is half typed leaves the last one standing.
  const [across, upright] = boxOf(what, texts);
  const given = {
    fixture: rec.id,
    face: face.name ?? "",
    x: texts["x"] ?? "",
    y: texts["y"] ?? "",
    ...(texts["thread"] && what === "tapped" && { thread: texts["thread"] }),
    ...(what !== "tapped" && across && { dia: across, ...(upright && { high: upright }) }),
    unit,
    passed: more["at"] ?? "",
  };
  const asked = JSON.stringify(given);
  const { value: danger } = useLoaded(
    () => (!isPart && given.x && given.y ? placing(repo, given).catch((): Danger => ({})) : undefined),
    [repo, asked],
  );
  const x = inchesOf(texts["x"], unit);
  const y = inchesOf(texts["y"], unit);
  const dia =
    inchesOf(texts["dia"] ?? texts["nominal"] ?? texts["wide"], unit) ?? majorOf(texts["thread"]) ?? 0;
  const spotted = (tx: number, ty: number) => {
    const step = unit === "mm" ? 5 / 25.4 : 0.25;
    const to = (n: number) =>
      unit === "mm"
        ? String(Math.round(Math.round(n / step) * step * 25.4))
        : written(Math.round(n / step) * step);
    put({ x: to(tx), y: to(ty) });
  };
  const first = kind.asks[0]!;
  const sizes = lately(first === "thread" ? "thread" : `place ${first}`, unit, texts[first]).slice(0, 3);

  const save = async () => {
    const cells: Texts = { ...kind.set };
    for (const key of ["x", "y", ...kind.asks]) if (texts[key]?.trim()) cells[key] = texts[key].trim();
    for (const key of kind.asks)
      if (texts[key]) usedSize(key === "thread" ? "thread" : `place ${key}`, unit, texts[key]);
    try {
      if (isPart) return await saveFeature(cells);
      const there = rows(rec, mine);
      const put: Record<string, unknown> = {
        ...(old && table === mine && { row: old.row }),
        ...(mine !== "ribs" && mine !== "keepout" && { name }),
        ...(face.name && { face: face.name }),
        ...cells,
        ...(texts["runs"] && ["slots", "ribs"].includes(mine) && { runs: texts["runs"] }),
        ...(texts["why"]?.trim() && { why: texts["why"].trim() }),
        ...(mine !== "ribs" && mine !== "keepout" && { when: old?.["when"] ?? today() }),
        ...(old && keepOf(old, mine)),
      };
      const list =
        old && table === mine
          ? there.map((r) => (r.row === old.row ? put : { row: r.row }))
          : [...there.map((r) => ({ row: r.row })), put];
      const now = await repo.change(
        shown,
        {
          [mine]: list,
          ...(old &&
            table !== mine && {
              [table]: rows(rec, table)
                .filter((r) => r.row !== old.row)
                .map((r) => ({ row: r.row })),
            }),
        },
        unit,
      );
      const row =
        old && table === mine
          ? old.row
          : rows(now, mine).find((r) => !there.some((t) => t.row === r.row))?.row;
      done();
      say(metOr(now, (old ? F.changed : F.added)(name || F.what[what]!)));
      go(
        `${recordHref(rec.id)}?place=${mine}.${row ?? ""}${more["back"] ? `&back=${encodeURIComponent(more["back"])}` : ""}`,
      );
    } catch (err) {
      if (err instanceof Refused) setFaults(err.faults);
      else throw err;
    }
  };
  const saveFeature = async (cells: Texts) => {
    const { x: ax, y: ay, ...sizes } = cells;
    const [a, b] = /x/.test(face.look ?? "")
      ? ["y", "z"]
      : /y/.test(face.look ?? "")
        ? ["x", "z"]
        : ["x", "y"];
    const made = await repo.make("feature", {
      part: rec.id,
      name: texts["name"]?.trim() || F.what[what]!.toLowerCase(),
      ...sizes,
      ...(ax && { [a]: ax }),
      ...(ay && { [b]: ay }),
      ...(face.name && { face: face.name }),
      ...(face.look && { looks: face.look }),
      ...(texts["why"]?.trim() && { notes: texts["why"].trim() }),
    });
    done();
    say(F.added(nameOf(made)), () => takeBack(say, repo.remove(made)));
    go(`${recordHref(rec.id)}?place=${encodeURIComponent(made.id)}`);
  };
  const done = () => {
    clearDraft(draft);
    setStored(true);
    void askToKeep();
  };
  const takeOut = () =>
    work.run(async () => {
      const before = rows(rec, table);
      const now = await repo.change(shown, {
        [table]: before.filter((r) => r.row !== old!.row).map((r) => ({ row: r.row })),
      });
      done();
      say(metOr(now, F.out(name || F.what[what]!)), () =>
        takeBack(
          say,
          repo.change(now, { [table]: [...rows(now, table), withoutRow(old!)] }, old!.unit as "in"),
        ),
      );
      go(recordHref(rec.id));
    });
  const faultOf = (key: string) =>
    faults.some(
      (f) => f.field.endsWith(key) || f.message.toLowerCase().includes(`${NAMES[key] ?? key}:`.toLowerCase()),
    );
  const box = (key: string, order: number) => (
    <InputBox
      key={key}
      id={`place-${key}`}
      f={field(key)}
      unit={unit}
      value={texts[key] ?? ""}
      order={order}
      open={!texts[key] && key !== "depth"}
      letter=""
      fault={faultOf(key)}
      set={(t) => put({ [key]: t })}
    />
  );
  const mark = danger?.mark ?? "open";
  const names = Object.keys(kinds);
  const few = names.slice(0, FEW);
  const shownKinds = few.includes(what) ? few : [...few.slice(0, FEW - 1), what];
  const where =
    x !== undefined && y !== undefined
      ? { x, y, dia, box: [inchesOf(across, unit), inchesOf(upright, unit)], ...danger, bad: mark === "stop" }
      : undefined;
  const headline = danger?.says ?? (where ? name : F.touch);
  const passed: Face = old ? { ...face, places: face.places.filter((p) => keyOf(p) !== more["at"]) } : face;
  return (
    <form
      class="placing"
      autocomplete="off"
      onSubmit={(e) => {
        e.preventDefault();
        work.run(save);
      }}
    >
      <section class={`first is-${mark === "stop" ? "refuse" : mark === "careful" ? "caution" : mark}`}>
        <p class="headline">
          {danger?.mark && (
            <Sign level={mark === "stop" ? "refuse" : mark === "careful" ? "caution" : "good"} size={26} />
          )}
          <span>{headline}</span>
        </p>
      </section>
      <FaceDrawing face={passed} put={where} spot={spotted} sizes={false} high={208} />
      <div class="place-boxes">
        {[
          "x",
          "y",
          ...kind.asks.slice(
            0,
            isPart || all ? undefined : what === "tapped" || what === "clear" ? 2 : undefined,
          ),
        ].map((key, i) => box(key, i + 1))}
      </div>
      <div class="choices">
        {shownKinds.map((k) => (
          <button
            key={k}
            type="button"
            class="chip"
            aria-pressed={k === what}
            onClick={() => put({ what: k })}
          >
            {F.what[k]}
          </button>
        ))}
        {names.length > FEW && (
          <span class="chip pick">
            <label class="unseen" for="place-what">
              {F.kind}
            </label>
            <span aria-hidden="true">{F.more}</span>
            <select id="place-what" value={what} onChange={(e) => put({ what: e.currentTarget.value })}>
              {names.map((k) => (
                <option key={k} value={k}>
                  {F.what[k]}
                </option>
              ))}
            </select>
          </span>
        )}
      </div>
      {sizes.length > 0 && (
        <div class="choices">
          {sizes.map((s) => (
            <button key={s} type="button" class="chip" onClick={() => put({ [first]: s })}>
              {s}
            </button>
          ))}
        </div>
      )}
      <TextField
        id="place-why"
        label={F.why}
        value={texts["why"] ?? ""}
        maxLength={200}
        placeholder={F.whyLike}
        set={(t) => put({ why: t })}
      />
      {all && (
        <>
          <TextField
            id="place-name"
            label={F.name}
            value={name}
            maxLength={40}
            set={(t) => put({ name: t })}
          />
          {["slot", "tee", "rib"].includes(what) && (
            <div class="seg" role="group" aria-label={F.kind}>
              {(["x", "y"] as const).map((way) => (
                <button
                  key={way}
                  type="button"
                  class="chip"
                  aria-pressed={(texts["runs"] ?? "x") === way}
                  onClick={() => put({ runs: way })}
                >
                  {F.runs[way]}
                </button>
              ))}
            </div>
          )}
          {old && <Button label={F.takeOut} act={takeOut} />}
        </>
      )}
      <FaultLine id="place-fault" text={faults[0]?.message ?? (work.fault || undefined)} />
      <nav class="page-foot" aria-label={nameOf(rec)}>
        <button
          type="button"
          onClick={() => {
            clearDraft(draft);
            setStored(true);
            history.back();
          }}
        >
          {F.cancel}
        </button>
        <button type="button" aria-pressed={all} onClick={() => open(!all)}>
          {F.more}
        </button>
        <button type="submit" class="go" disabled={work.busy}>
          {old ? F.save : F.addName(name || F.what[what]!)}
        </button>
      </nav>
    </form>
  );
}

const go = (to: string): void => location.replace(to);

/** What a change leaves as it is: columns that this page does not ask. */
function keepOf(old: Row, table: string): Record<string, unknown> {
  const mine = new Set([...SIZES, "name", "why", "runs", "kind", "face", "when", "row", "unit"]);
  const rest = Object.entries(old).filter(([key]) => !mine.has(key));
  return table ? Object.fromEntries(rest) : {};
}

const withoutRow = ({ row: _, unit: _u, ...rest }: Row): Record<string, unknown> => rest;

/** A length in inches, near enough for a picture. */
const inchesOf = (typed: string | undefined, unit: "in" | "mm"): number | undefined =>
  typed ? rough(pinNumber(typed, unit)) : undefined;

/** The outer diameter that a thread's name says, near enough for a picture. */
function majorOf(thread: string | undefined): number | undefined {
  const m = /^(?:M(\d+(?:\.\d+)?)|#(\d+)|(\d+)\/(\d+)|(\d+)-)/i.exec(thread ?? "");
  if (!m) return undefined;
  if (m[1]) return Number(m[1]) / 25.4;
  if (m[2]) return 0.06 + 0.013 * Number(m[2]);
  return m[3] ? Number(m[3]) / Number(m[4]) : Number(m[5]);
}
