import { useState } from "preact/hooks";
import { byOrder, nameOf, rows, text, type Rec } from "../records/fields";
import type { Links } from "../records/kept";
import type { Repository } from "../records/repository";
import type { Answer, Cell, UnitSystem } from "../engine/contract.gen";
import { useApp } from "../screen/context";
import type { Keeping } from "../screen/load";
import { book, recordHref } from "../screen/route";
import { Button, Labelled, TextField } from "../ui/controls";
import { FaultLine, Sign } from "../ui/parts";
import { B } from "../text/jobbook";
import { commas } from "../text/words";
import { plateOf } from "./keeping";
import { thou } from "./readlogic";
import { metOr, takeBack, useDraft, useRepository, useWork } from "./use";

const H = B.hooks;

/**
 * What the job does with a kept answer once a person has said so: links to the fixtures found, new
 * holes, what is to be set.
 */
export function After(k: Keeping) {
  const { repo, ready } = useRepository("fixture", "setup", "job", "part", "feature", "material");
  if (!repo || !ready) return null;
  const p = { ...k, links: k.taken.links, repo };
  if (k.answer.worksheet === "match") return <Fixtures {...p} />;
  if (k.answer.worksheet === "cleanup") return <Setting {...p} />;
  const fixture = plateOf(repo, k);
  return fixture && k.answer.worksheet === "hole" ? <OneHole {...p} fixture={fixture} /> : null;
}

type One = Keeping & { links: Links; repo: Repository };

/** A result's table: each row as its cells by column, a length with its unit. */
function told(answer: Answer, key: string, columns: readonly string[]): Record<string, string>[] {
  const found = answer.results[key];
  const list = Array.isArray(found?.value) ? (found.value as Cell[][]) : [];
  return list.map((row) =>
    Object.fromEntries(
      columns.map((c, i) => {
        const v = row[i];
        const unit = found?.units?.[i] ?? "";
        return [c, v === null || v === undefined ? "" : unit ? `${String(v)} ${unit}` : String(v)];
      }),
    ),
  );
}

/** The fixture by the name that the worksheet has of it, which holds no cell separator. */
const find = (repo: Repository, name: string): Rec | undefined =>
  repo
    .all("fixture")
    .find((f) => `${nameOf(f)} ${text(f, "tag")}`.trim().replace(/[,;]/g, " ") === name.trim());

function Fixtures({ repo, answer, links }: One) {
  const taken = told(answer, "faces", ["fixture"]);
  const names = [...new Set(taken.map((r) => r["fixture"]!))];
  const face = told(answer, "face", ["fixture", "face"])[0];
  const holes = told(answer, "holes", [
    "x",
    "y",
    "dx",
    "dy",
    "make",
    "drill",
    "dia",
    "depth",
    "through",
    "thread",
    "why",
  ]);
  if (names.length > 0) {
    return (
      <section class="card" aria-label={H.found}>
        <h2>{H.found}</h2>
        <ul class="link-list">
          {names.map((name) => {
            const f = find(repo, name);
            return (
              <li key={name}>
                {f ? (
                  <a class="link-card" href={recordHref(f.id)}>
                    <b>{name}</b>
                  </a>
                ) : (
                  <p class="quiet">{H.noFixture(name)}</p>
                )}
              </li>
            );
          })}
        </ul>
      </section>
    );
  }
  if (!face || holes.length === 0) return <p class="quiet">{H.noFace}</p>;
  const fixture = find(repo, face["fixture"]!);
  if (!fixture) return <p class="quiet">{H.noFixture(face["fixture"]!)}</p>;
  return <Drilled repo={repo} fixture={fixture} face={face["face"]!} holes={holes} links={links} />;
}

/**
 * The key that writes holes into a fixture once they are drilled; those already in it are skipped.
 */
function Drilled({
  repo,
  fixture,
  face,
  holes,
  links,
}: {
  repo: Repository;
  fixture: Rec;
  face: string;
  holes: Record<string, string>[];
  links: Links;
}) {
  const { say } = useApp();
  const work = useWork();
  const there = rows(fixture, "holes");
  const at = (r: Record<string, unknown>, key: string) => {
    const t = typeof r[key] === "string" ? r[key] : "";
    return thou(/[a-z"]$/.test(t) ? t : `${t} ${r["unit"] === "mm" ? "mm" : "in"}`) ?? NaN;
  };
  const same = (a: Record<string, unknown>, b: Record<string, unknown>) =>
    (a["face"] ?? "") === face && Math.hypot(at(a, "x") - at(b, "x"), at(a, "y") - at(b, "y")) < 1; // a thousandth
  const open = holes.filter((h) => !there.some((r) => same(r, h)));
  const name = nameOf(fixture);
  const setup = repo.get(links.setup ?? "");
  const write = async () => {
    const free = freeNames(there);
    const when = today();
    const fresh = open.map((h) => {
      const clear = h["make"]!.startsWith("clearance");
      return {
        name: free(),
        face,
        x: h["x"],
        y: h["y"],
        kind: clear ? "clear" : "tapped",
        ...(clear ? { dia: h["dia"] } : { thread: h["thread"] }),
        ...(h["through"] === "yes" ? { through: true } : { depth: h["depth"] }),
        why: H.why(h["why"]!, setup ? nameOf(setup) : "").slice(0, 200),
        when,
        ...(links.job && { job: links.job }),
      };
    });
    const now = await repo.change(fixture, { holes: [...there, ...fresh] });
    say(metOr(now, H.drilled(fresh.length, name)));
  };
  return (
    <section class="card" aria-label={H.drill}>
      {open.length > 0 ? (
        <>
          <p>{H.drillHelp(name)}</p>
          <div class="form-foot">
            <button type="button" class="button go" disabled={work.busy} onClick={() => work.run(write)}>
              {H.drill}
            </button>
          </div>
          <FaultLine id="drill-fault" text={work.fault || undefined} />
        </>
      ) : (
        <p>{H.standing(holes.length, name)}</p>
      )}
      <p class="foot-links">
        <a class="button" href={recordHref(fixture.id)}>
          {name}
        </a>
      </p>
    </section>
  );
}

/** Names that no hole of a fixture has yet. */
function freeNames(there: readonly Record<string, unknown>[]): () => string {
  const names = new Set(there.map((r) => String(r["name"])));
  return () => {
    for (let n = there.length + 1; ; n++) {
      const next = `H${n}`;
      if (!names.has(next)) return (names.add(next), next);
    }
  };
}

/** The date as it is on the wall. */
export function today(): string {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

/** In thou, what a hole was planned through, and the fixture's plate. */
function thicknesses(fixture: Rec, inputs: Keeping["inputs"], unit: UnitSystem) {
  const size = (t: string | undefined, bare: string) => thou(/[a-z"]$/.test(t ?? "") ? t! : `${t} ${bare}`);
  return [size(inputs["stock"], unit), size(text(fixture, "thick"), fixture.units["thick"] ?? unit)] as const;
}

/**
 * Whether a hole is one of this fixture by what was typed: through stock as thick as its plate, not in
 * another metal, and for a bolt of the setup where that has any.
 */
export function isOf(
  repo: Repository,
  fixture: Rec,
  setup: Rec | undefined,
  inputs: Keeping["inputs"],
  unit: UnitSystem,
) {
  const [stock, plate] = thicknesses(fixture, inputs, unit);
  const metal = text(repo.get(text(fixture, "material")), "metal").replace("ductile", "iron");
  const work = inputs["work"] || metal;
  const bolts = rows(setup, "bolts").map((b) => (typeof b["thread"] === "string" ? b["thread"] : ""));
  const thread = inputs["thread"] ?? "";
  return (
    stock !== undefined &&
    plate !== undefined &&
    Math.abs(stock - plate) <= 10 &&
    (!metal || work === metal) &&
    (bolts.length === 0 || bolts.some((b) => b.startsWith(thread) || thread.startsWith(b)))
  );
}

/** One line after Keep: the hole goes into the fixture, with why it is there. */
function OneHole({ repo, answer, unit, inputs, links, fixture }: One & { fixture: Rec }) {
  const { say } = useApp();
  const work = useWork();
  const setup = repo.get(links.setup ?? "");
  const feature = repo.get(links.feature ?? "");
  const part = repo.get(text(setup, "part"));
  const [{ why = "", ...at }, put, clear] = useDraft(`hole in ${fixture.id}`, {
    why: commas(feature && nameOf(feature), part && nameOf(part), setup && nameOf(setup)),
    x: "",
    y: "",
  });
  const [done, finish] = useState(false);
  const name = nameOf(fixture);
  const [stock, plate] = thicknesses(fixture, inputs, unit);
  const other = stock !== undefined && plate !== undefined && Math.abs(stock - plate) > 10;
  const write = async () => {
    const there = rows(fixture, "holes");
    const thread = inputs["thread"] ?? "";
    // A bolt of the setup that still wants its hole names it.
    const named = rows(setup, "bolts").find(
      (b) => b["thread"] === thread && !there.some((h) => h["name"] === b["hole"]),
    );
    const faces = [...new Set(rows(fixture, "faces").map((f) => f["face"]))];
    const through = inputs["depth"] === "through" || inputs["stock"] === "through";
    const { shoulder, full } = answer.results;
    const hole = {
      name: named ? String(named["hole"]) : freeNames(there)(),
      ...(faces.length === 1 && typeof faces[0] === "string" && { face: faces[0] }),
      ...(at["x"] && { x: at["x"] }),
      ...(at["y"] && { y: at["y"] }),
      kind: "tapped",
      thread,
      ...(through
        ? { through: true }
        : {
            ...(shoulder && { depth: shoulder.shown ?? shoulder.text }),
            ...(full && { full: full.shown ?? full.text }),
          }),
      why: why.slice(0, 200),
      when: today(),
      ...(links.job && { job: links.job }),
    };
    const now = await repo.change(fixture, { holes: [...there, hole] }, unit);
    const added = rows(now, "holes").find((r) => !there.some((t) => t.row === r.row))?.row;
    clear();
    finish(true);
    say(metOr(now, H.drilled(1, name)), () => {
      finish(false);
      takeBack(say, repo.change(now, { holes: rows(now, "holes").filter((r) => r.row !== added) }));
    });
  };
  if (done) return <p>{H.standing(1, name)}</p>;
  return (
    <section class="card one-hole" aria-label={H.intoPlate(name)}>
      {other && (
        <p class="warn warn-caution">
          <Sign level="caution" size={22} /> {H.otherPlate(inputs["stock"]!, name, text(fixture, "thick"))}
        </p>
      )}
      <Labelled id="hole-why" label={H.whyThere(name)} looks="tall">
        <textarea
          id="hole-why"
          rows={2}
          maxLength={200}
          value={why}
          onInput={(e) => put({ why: e.currentTarget.value })}
        />
      </Labelled>
      <div class="pair">
        {(["x", "y"] as const).map((key) => (
          <TextField
            key={key}
            id={`hole-at-${key}`}
            label={key.toUpperCase()}
            class="num"
            maxLength={40}
            value={at[key] ?? ""}
            data-pad="length"
            data-label={key.toUpperCase()}
            data-units="in,mm"
            set={(t) => put({ [key]: t })}
          />
        ))}
      </div>
      <div class="form-foot">
        <Button
          go={isOf(repo, fixture, setup, inputs, unit)}
          label={H.intoPlate(name)}
          disabled={work.busy}
          act={() => work.run(write)}
        />
      </div>
      <FaultLine id="hole-fault" text={work.fault || undefined} />
    </section>
  );
}

/** Stores the shims and steps of a clean-up in the setup that holds the rough. */
function Setting({ repo, answer, links }: One) {
  const { say } = useApp();
  const work = useWork();
  const setup =
    repo.get(links.setup ?? "") ??
    repo
      .all("setup")
      .filter((s) => links.job && text(s, "job") === links.job && text(s, "state") !== "done")
      .sort(byOrder)[0];
  if (!setup) return null;
  const shims = told(answer, "shims", ["place", "x", "y", "z", "thick"]);
  const steps = answer.results["steps"]?.value;
  const lines = Array.isArray(steps) ? steps.map(String) : [];
  const write = async () => {
    const before = rows(setup, "shims");
    const rest = before.filter((r) => !shims.some((s) => s["place"] === r["place"]));
    const set = shims.map(({ place, x, y, z, thick }) => {
      const row = before.find((r) => r["place"] === place)?.row;
      return { ...(row && { row }), place, x, y, z, thick };
    });
    const zero = ["zx", "zy", "zz"].map((k) => answer.results[k]?.text).filter(Boolean);
    const said = [answer.results["verdict"]?.text ?? "", ...lines].join("\n");
    const now = await repo.change(setup, {
      ...(set.length > 0 && { shims: [...rest, ...set] }),
      ...(zero.length > 0 && { zero: H.zero(zero.join(", ")) }),
      pickup: [text(setup, "pickup"), said].filter(Boolean).join("\n\n").slice(0, 8000),
    });
    say(metOr(now, H.setDone(nameOf(setup))));
  };
  return (
    <section class="card" aria-label={H.set}>
      <p>{H.setHelp(nameOf(setup))}</p>
      <div class="form-foot">
        <button type="button" class="button go" disabled={work.busy} onClick={() => work.run(write)}>
          {H.set}
        </button>
        <a class="button" href={book("setup", setup.id, { view: "sits" })}>
          {nameOf(setup)}
        </a>
      </div>
      <FaultLine id="set-fault" text={work.fault || undefined} />
    </section>
  );
}
