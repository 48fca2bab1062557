import { byOrder, nameOf, rows, text, type Rec } from "../records/fields";
import type { Links } from "../records/kept";
import type { Repository } from "../records/repository";
import type { Answer, Cell, UnitSystem } from "../engine/contract.gen";
import { useApp } from "../screen/context";
import { FaultLine } from "../ui/parts";
import { B } from "../text/jobbook";
import { recordHref } from "./facts";
import { thou } from "./readlogic";
import { metOr, useRepository, useWork } from "./use";

const H = B.hooks;

export interface OutcomeProps {
  answer: Answer;
  unit: UnitSystem;
  inputs: Record<string, string>;
  links: Links;
}

/**
 * What the job does with an answer: links to the fixtures found, stores new holes, stores what is
 * to be set.
 */
export function Outcome(p: OutcomeProps) {
  const { repo, ready } = useRepository("fixture", "setup", "job");
  if (!repo || !ready) return null;
  if (p.answer.worksheet === "match") return <Fixtures {...p} repo={repo} />;
  if (p.answer.worksheet === "cleanup") return <Setting {...p} repo={repo} />;
  return null;
}

type One = OutcomeProps & { repo: Repository };

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
    const names = new Set(there.map((r) => String(r["name"])));
    const free = () => {
      for (let n = there.length + 1; ; n++) {
        const next = `H${n}`;
        if (!names.has(next)) return (names.add(next), next);
      }
    };
    const today = new Date();
    const when = new Date(today.getTime() - today.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
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

/** Stores the shims and steps of a clean-up in the setup that holds the rough. */
function Setting({ repo, answer, unit, inputs, links }: One) {
  const { book: records, say } = useApp();
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
    const job = repo.get(text(setup, "job"));
    await records?.keep(
      { job: job ? nameOf(job) : "", worksheet: "cleanup", unit, inputs, answer },
      { ...links, setup: setup.id },
    );
    say(metOr(now, H.setDone(nameOf(setup))));
  };
  return (
    <section class="card" aria-label={H.set}>
      <p>{H.setHelp(nameOf(setup))}</p>
      <div class="form-foot">
        <button type="button" class="button go" disabled={work.busy} onClick={() => work.run(write)}>
          {H.set}
        </button>
        <a class="button" href={recordHref(setup.id)}>
          {nameOf(setup)}
        </a>
      </div>
      <FaultLine id="set-fault" text={work.fault || undefined} />
    </section>
  );
}
