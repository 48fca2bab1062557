import { useEffect, useRef, useState } from "preact/hooks";
import { clearDraft, loadDraft, saveDraft } from "../form/drafts";
import { nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import type { RecordKind } from "../engine/contract.gen";
import { book } from "../screen/route";
import { useApp, useTitle, useUnsaved } from "../screen/context";
import { usePrefs } from "../screen/prefs";
import { askToKeep } from "../storage/persist";
import { FaultLine } from "../ui/parts";
import { Pictogram } from "../ui/pictograms";
import { N } from "../text/begin";
import { dateWords } from "../text/words";
import { brought } from "./carried";
import { PickScene } from "./pickscene";
import { inherited, nextOrder, setupsOf } from "./setups";
import { fromStock, likeStock, pictureOf, stock, stockId, unmade, type StockKind } from "./stock";
import { Gate, mark, useKinds, useRepository, useWork } from "./use";

/** The part is held on the machine's own table: stands for a fixture. */
export const TABLE = "table";

const ROWS = ["machine", "fixture", "part"] as const;
type RowKind = (typeof ROWS)[number];

/** Ids of what is chosen, of stock too; the name of a part that is not there yet; the job made for it. */
type Chosen = Record<RowKind | "name" | "job", string>;

/** Where what is chosen is kept until the setup runs. */
export const begun = (job: string): string => `begin ${job}`;

/** Records of a kind, what a setup used last first, then the newest. */
function ranked(repo: Repository, kind: string): Rec[] {
  const last = lastUse(repo, kind);
  const rank = (r: Rec) => `${last.get(r.id) ?? " "} ${r.changed}`;
  return repo.all(kind).sort((a, b) => (rank(a) < rank(b) ? 1 : -1));
}

/** When a setup last named each, by its id; the table where none is named. */
function lastUse(repo: Repository, kind: string): Map<string, string> {
  const out = new Map<string, string>();
  for (const s of repo.all("setup")) {
    const id = text(s, kind) || TABLE;
    if (s.changed > (out.get(id) ?? "")) out.set(id, s.changed);
  }
  return out;
}

/** The setup that a new one goes on from: of its job the last, without a job the one touched last. */
export const setupBefore = (repo: Repository, job: string): Rec | undefined =>
  job
    ? setupsOf(repo, job).at(-1)
    : repo.all("setup").reduce<Rec | undefined>((a, b) => (a && a.changed > b.changed ? a : b), undefined);

/** What is chosen before anything is touched: what was used last. A finished job gets no more setups. */
function usual(repo: Repository, job: string): Chosen {
  const before = setupBefore(repo, job);
  const there = (id: string) => (repo.get(id) && !repo.get(id)!.gone ? id : "");
  const first = (kind: RowKind) => there(text(before, kind)) || (ranked(repo, kind)[0]?.id ?? "");
  const parts = partsFor(repo, job);
  const part = parts.find((p) => p.id === text(before, "part")) ?? parts[0];
  const over = /done|dropped/.test(text(repo.get(text(part, "job")), "state"));
  return {
    machine: first("machine"),
    fixture: before && !text(before, "fixture") ? TABLE : first("fixture"),
    part: part && (job || !over) ? part.id : "",
    name: "",
    job: "",
  };
}

const partsFor = (repo: Repository, job: string): Rec[] =>
  ranked(repo, "part").filter((p) => !job || text(p, "job") === job);

/** A new setup in three touches, each of what was used last; nothing has to be typed. */
export function Begin({ more }: { more: Record<string, string> }) {
  const { repo, ready, fault } = useRepository("job", "setup", "step", ...ROWS);
  const { kinds, fault: kindFault } = useKinds(repo);
  const kind = kinds.find((k) => k.key === "setup");
  return (
    <Gate ready={ready && !!kind} fault={fault || kindFault}>
      {kind && <Open repo={repo!} kind={kind} job={more["job"] ?? ""} />}
    </Gate>
  );
}

/** The record chosen, or as it will be made. */
const recOf = (repo: Repository, kind: RowKind, id: string): Rec | undefined =>
  repo.get(id) ?? (kind === "part" ? undefined : likeStock(kind, id));

function Open({ repo, kind, job }: { repo: Repository; kind: RecordKind; job: string }) {
  const { say } = useApp();
  const { unit } = usePrefs();
  const work = useWork();
  const [chosen, setChosen] = useState<Chosen>(() => ({
    ...usual(repo, job),
    ...(loadDraft(begun(job))?.inputs as Partial<Chosen>),
  }));
  const [stored, setStored] = useState(true);
  useUnsaved(begun(job), !stored);
  const latest = useRef(chosen);
  const put = (set: Partial<Chosen>) => {
    latest.current = { ...latest.current, ...set };
    setChosen(latest.current);
    setStored(saveDraft(begun(job), { inputs: latest.current }));
  };
  useEffect(() => {
    const got = brought();
    if (got && (ROWS as readonly string[]).includes(got.into)) put({ [got.into]: got.id });
    // eslint-disable-next-line react-hooks/exhaustive-deps -- once, as the page comes
  }, []);

  const [machine, fixture, part] = ROWS.map((row) => recOf(repo, row, chosen[row]));
  const into = job || chosen.job || text(part, "job");
  const order = nextOrder(repo, into);
  const owner = repo.get(into);
  useTitle(N.title(owner ? nameOf(owner) : ""));
  const here = book("begin", "", job ? { job } : {});

  /** Makes what was chosen and is not there yet; what is made is chosen at once, so nothing is made twice. */
  const settle = async (needed: boolean) => {
    for (const row of ["machine", "fixture"] as const) {
      const set = fromStock(row, latest.current[row]);
      if (set) put({ [row]: (await repo.make(row, set, { unit: "in" })).id });
    }
    const now = latest.current;
    const name = now.part ? "" : now.name.trim();
    const old = repo.get(now.part);
    let to = job || now.job || text(old, "job");
    if (!to && (needed || name)) {
      const called = name || (old && nameOf(old)) || N.job(dateWords(new Date().toISOString().slice(0, 10)));
      to = (await repo.make("job", { name: called, state: "running" })).id;
      put({ job: to });
    }
    if (name) put({ part: (await repo.make("part", { name, job: to })).id, name: "" });
    else if (old && to && !text(old, "job")) await repo.change(old, { job: to });
    const fixture = latest.current.fixture === TABLE ? "" : latest.current.fixture;
    return { job: to, machine: latest.current.machine, fixture, part: latest.current.part };
  };
  const links = (all: Record<string, string>) => Object.fromEntries(Object.entries(all).filter(([, v]) => v));

  const run = () =>
    work.run(async () => {
      const to = await settle(true);
      const before = setupsOf(repo, to.job).at(-1);
      const made = await repo.make(
        "setup",
        {
          ...inherited(before, kind, unit, to),
          ...(before?.values["tapin"] !== undefined && { tapin: before.values["tapin"] }),
          ...links(to),
          name: nameFor(repo, to),
          order: nextOrder(repo, to.job),
          state: "planned",
        },
        { unit },
      );
      clearDraft(begun(job));
      void askToKeep();
      await mark(repo, made, "running", say);
      location.replace(book("setup", made.id));
    });
  const whole = () =>
    work.run(async () => {
      location.hash = book("new", "setup", links({ ...(await settle(false)), from: job || "-" }));
    });
  const zero = text(setupsOf(repo, into).at(-1), "datum");
  return (
    <div class="begin">
      <div class="begin-scene">
        <PickScene
          repo={repo}
          machine={machine}
          fixture={fixture}
          part={part ?? (chosen.name.trim() ? unmade("part", { name: chosen.name }) : undefined)}
        />
        {zero && <small>{N.zero(zero)}</small>}
      </div>
      <div class="begin-rows">
        {ROWS.map((row) => (
          <section key={row} aria-label={N.ask[row]}>
            <h2>{N.ask[row]}</h2>
            <div class="cards">
              <Cards repo={repo} job={job} row={row} chosen={chosen} put={put} here={here} />
            </div>
          </section>
        ))}
        <FaultLine id="begin-fault" text={work.fault || undefined} />
      </div>
      <nav class="page-foot" aria-label={N.foot}>
        <button type="button" onClick={whole}>
          {N.more}
        </button>
        <a href={book("stock", "", { back: here, ...(into && { job: into }) })}>{N.card}</a>
        <button type="button" class="go" disabled={work.busy} onClick={run}>
          {N.run(order)}
        </button>
      </nav>
    </div>
  );
}

/** A setup is called what it is held in. */
function nameFor(repo: Repository, to: { machine: string; fixture: string }): string {
  const held = repo.get(to.fixture);
  return held ? nameOf(held) : to.machine ? N.table : N.setup;
}

/** One of three things: its picture, its name, a tick where it is chosen. */
export function PickCard(p: {
  picture: string;
  or?: string;
  name: string;
  on?: boolean;
  ready?: boolean;
  act?: () => void;
  href?: string;
}) {
  const body = (
    <>
      <Pictogram name={p.picture} or={p.or ?? ""} size={56} />
      <span>{p.name}</span>
      {p.on && <Pictogram name="good" size={20} />}
    </>
  );
  const looks = ["pick-card", p.on && "on", p.ready && "ready"].filter(Boolean).join(" ");
  return p.href ? (
    <a class={looks} href={p.href}>
      {body}
    </a>
  ) : (
    <button type="button" class={looks} aria-pressed={p.on} onClick={p.act}>
      {body}
    </button>
  );
}

/** Three cards: what was used last; where there is more, the third leads to the others. */
function Cards({
  repo,
  job,
  row,
  chosen,
  put,
  here,
}: {
  repo: Repository;
  job: string;
  row: RowKind;
  chosen: Chosen;
  put: (set: Partial<Chosen>) => void;
  here: string;
}) {
  const others = (
    <PickCard
      picture="others"
      name={N.others}
      href={book("stock", row, { back: here, ...(job && { job }) })}
    />
  );
  const card = (id: string, rec: Rec | undefined, ready = false) => (
    <PickCard
      key={id}
      picture={rec ? pictureOf(rec) || row : TABLE}
      or={row}
      name={rec ? nameOf(rec) : N.table}
      on={chosen[row] === id}
      ready={ready}
      act={() => put({ [row]: id })}
    />
  );
  // What is chosen is among the three, though others were used since.
  const shown = (ids: string[], most: number) => {
    const few = ids.slice(0, most);
    const mine = chosen[row];
    return mine && ids.includes(mine) && !few.includes(mine) ? [...few.slice(0, most - 1), mine] : few;
  };
  if (row === "part") {
    const ids = partsFor(repo, job).map((p) => p.id);
    const two = shown(ids, ids.length > 2 ? 1 : 2);
    return (
      <>
        {two.map((id) => card(id, repo.get(id)))}
        {ids.length > 2 && others}
        <label class={chosen.part ? "pick-card named" : "pick-card named on"}>
          <Pictogram name="part" size={56} />
          <input
            id="begin-part"
            value={chosen.name}
            placeholder={N.partLike}
            aria-label={N.part}
            maxLength={200}
            autocomplete="off"
            onInput={(e) => put({ part: "", name: e.currentTarget.value })}
          />
          <span>{N.part}</span>
        </label>
      </>
    );
  }
  const own = ranked(repo, row).map((r) => r.id);
  if (row === "fixture") {
    const last = lastUse(repo, row);
    const at = own.findIndex((id) => (last.get(id) ?? "") < (last.get(TABLE) ?? ""));
    own.splice(at < 0 ? own.length : at, 0, TABLE);
  }
  const mine = chosen[row];
  const fresh = own.every((id) => id === TABLE) ? readyOf(row) : [];
  if (mine.startsWith("stock ") && !fresh.includes(mine)) fresh.unshift(mine);
  const ids = [...own, ...fresh];
  const few = shown(ids, ids.length === 3 && fresh.length === 0 ? 3 : 2);
  return (
    <>
      {few.map((id) => card(id, recOf(repo, row, id), id.startsWith("stock ")))}
      {few.length < 3 && others}
    </>
  );
}

/** What a shop with nothing written down is offered first. */
const readyOf = (row: StockKind): string[] =>
  stock[row].slice(0, 2).map((g) => stockId(g, g.sizes[Math.min(1, g.sizes.length - 1)]!));
