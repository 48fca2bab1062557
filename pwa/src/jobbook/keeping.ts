// What Keep writes into records beside the answer: readings into the setup, speed and feed into the
// step, weight and balance into the part, and so on. What is not certain is left out; what a person
// has to say something about is offered after (outcome.tsx).
import { pinTyped } from "../form/pin";
import { splitTable } from "../form/rowtext";
import { nameOf, rows, text, type Rec } from "../records/fields";
import type { Changed, Repository } from "../records/repository";
import type { Keeping, Written } from "../screen/load";
import { B } from "../text/jobbook";
import { isWhole, kindNext, thou } from "./readlogic";
import { takenNow } from "./taken";

const K = B.keeping;

/** A change of a record, or a new one. */
type Write = { rec: Rec; set: Record<string, unknown> } | { kind: string; set: Record<string, unknown> };

/** A result as it stands on the dial that it is set or read on, else with all its digits. */
const shown = ({ answer }: Keeping, key: string): string => {
  const found = answer.results[key];
  return found?.shown ?? found?.text ?? "";
};

/** A number of a table as it was read from what was typed, in the unit of the answer. */
const numberIn = (k: Keeping, key: string): unknown[][] => {
  const read = k.answer.inputs[key]?.value;
  return Array.isArray(read) ? read.map((row) => (Array.isArray(row) ? row : [row])) : [];
};

const size = (k: Keeping, x: unknown): string | undefined =>
  typeof x === "number" ? `${+x.toFixed(6)} ${k.unit}` : undefined;

/** "+1.5 thou", "-20 um", "0 thou": a reading carries its sign and its unit. */
function needle(k: Keeping, x: number): string {
  const n = +(x * 1000).toFixed(3);
  return `${n > 0 ? "+" : ""}${n} ${k.unit === "mm" ? "um" : "thou"}`;
}

const said = (lines: readonly string[], most: number): string =>
  lines.filter(Boolean).join("\n\n").slice(-most);

/** Places of a setup by their names, in thousandths along the line where that is known. */
function placesOf(setup: Rec, mine: readonly Rec[]): { name: string; x: number | undefined }[] {
  const all = [
    ...rows(setup, "expected").map((r) => ({ name: r["station"], x: r["x"], unit: r.unit })),
    ...mine
      .filter((r) => !isWhole(text(r, "kind")))
      .map((r) => ({ name: text(r, "station"), x: text(r, "x"), unit: r.units["x"] })),
  ];
  const out: { name: string; x: number | undefined }[] = [];
  for (const { name, x, unit } of all) {
    if (typeof name !== "string" || !name) continue;
    const far = typeof x === "string" && x ? thou(pinTyped(x, unit === "mm" ? "mm" : "in")) : undefined;
    const there = out.find((p) => p.name === name);
    if (!there) out.push({ name, x: far });
    else there.x = far ?? there.x;
  }
  return out;
}

/** The readings of a line that are not those the setup gave, at the places they belong to. */
function lineWrites(repo: Repository, k: Keeping, setup: Rec): Write[] {
  const mine = repo.all("reading").filter((r) => text(r, "setup") === setup.id && !text(r, "round"));
  const step = k.taken.links.step ?? "";
  const kind = kindNext(mine, step);
  const at = placesOf(setup, mine);
  const typed = splitTable(k.inputs["readings"] ?? "", 2);
  const given = splitTable(k.taken.inputs["readings"] ?? "", 2);
  const read = numberIn(k, "readings");
  const ends = K.stations(read.length);
  return read.flatMap(([x, value], i): Write[] => {
    if (typeof value !== "number" || typed[i]?.join() === given[i]?.join()) return [];
    const place = size(k, x);
    const x0 = place && thou(place);
    const near = at.find((p, j) => (x0 === undefined ? j === i : Math.abs((p.x ?? NaN) - Number(x0)) < 1));
    const set = {
      setup: setup.id,
      step: step || undefined,
      station: near?.name ?? ends[i] ?? String(i + 1),
      x: place,
      value: needle(k, value),
      kind,
      ...takenNow(setup),
    };
    return [{ kind: "reading", set }];
  });
}

/** A size that was measured, with its doubt, unless it is one the job gave. */
function sizeWrites(k: Keeping, setup: Rec | undefined, feature: Rec | undefined): Write[] {
  const { size: typed, unsure } = k.inputs;
  if (!feature || !typed || typed === k.taken.inputs["size"]) return [];
  const read = k.answer.inputs["size"]?.value;
  const doubt = unsure ? k.answer.inputs["unsure"]?.value : undefined;
  const set = {
    setup: setup?.id,
    step: k.taken.links.step,
    feature: feature.id,
    station: nameOf(feature),
    value: size(k, read),
    unsure: typeof doubt === "number" ? size(k, doubt) : undefined,
    kind: "size",
    ...(setup && takenNow(setup)),
  };
  return [{ kind: "reading", set }];
}

/** The packs, each at its place; one that stood there before is another now. */
function shimWrites(k: Keeping, setup: Rec): Write[] {
  const table = k.answer.results["places"];
  const list = Array.isArray(table?.value) ? (table.value as unknown[][]) : [];
  const packs = list.flatMap(([x, y, , pack]) => {
    const leaves = typeof pack === "string" ? pack.replace(/ (in|mm)$/, "") : "";
    const thick = leaves ? leaves.split("+").reduce((n, leaf) => n + Number(leaf.trim()), 0) : NaN;
    if (!(thick > 0)) return [];
    const place = [x, y].filter(Boolean).map(String).join(", ");
    return [{ place, thick: `${+thick.toFixed(5)} ${k.unit}` }];
  });
  if (packs.length === 0) return [];
  const before = rows(setup, "shims");
  const rest = before.filter((r) => !packs.some((p) => p.place === r["place"]));
  return [{ rec: setup, set: { shims: [...rest, ...packs] } }];
}

/** Which way a pick-up goes. */
const way = (says: string): string => /\b[XYZ]\b/.exec(says)?.[0] ?? "";

/**
 * What the dials said, with one more pick-up: the same face or slot picked up again the same way is put
 * right, and what stands there of another, or by hand, stays.
 */
export function dials(before: string, of: string, says: string, most = 200): string {
  const now = of ? `${of}: ${says}` : says;
  const again = (one: string) => one === now || (of && one.startsWith(`${of}: `) && way(one) === way(now));
  const list = [...before.split("; ").filter((one) => one && !again(one)), now];
  // The oldest goes first; it stands under how it was picked up.
  while (list.join("; ").length > most && list.length > 1) list.shift();
  return list.join("; ").slice(0, most);
}

/** What an answer says of the records, in the words for what was written. */
function writesOf(repo: Repository, k: Keeping): [string, Write[]] {
  const { links, at } = k.taken;
  const rec = (id: string | undefined) => (id ? repo.get(id) : undefined);
  const setup = rec(links.setup);
  const step = rec(links.step);
  const part = rec(at.part);
  const fixture = rec(at.fixture);
  const machine = rec(at.machine);
  const verdict = shown(k, "verdict");
  switch (k.answer.worksheet) {
    case "tram": {
      const list = setup ? lineWrites(repo, k, setup) : [];
      return [K.readings(list.length), list];
    }
    case "accept":
      return [K.readings(1), sizeWrites(k, setup, rec(links.feature))];
    case "shim":
      return [K.shims, setup ? shimWrites(k, setup) : []];
    case "edge":
    case "middle":
    case "centre": {
      if (!setup) return ["", []];
      const pickup = said([text(setup, "pickup"), verdict], 8000);
      const feature = rec(links.feature);
      const zero = dials(text(setup, "zero"), feature ? nameOf(feature) : "", k.answer.headline || verdict);
      return [K.zero, [{ rec: setup, set: { pickup, zero } }]];
    }
    case "speed": {
      const set = { spin: shown(k, "rpm"), ...(k.answer.results["feed"] && { feed: shown(k, "feed") }) };
      return [K.speed, step && set.spin ? [{ rec: step, set }] : []];
    }
    case "weigh": {
      const set = {
        weight: shown(k, "weight"),
        balx: shown(k, "cgx"),
        baly: shown(k, "cgy"),
        balz: shown(k, "cgz"),
      };
      return [K.weight, part && set.weight ? [{ rec: part, set }] : []];
    }
    case "square":
      return [
        K.square,
        fixture && k.inputs["turned"] === "plate" && k.answer.results["object"]
          ? [{ rec: fixture, set: { square: shown(k, "object") } }]
          : [],
      ];
    case "bar":
      return [
        K.error,
        machine ? [{ rec: machine, set: { errors: said([text(machine, "errors"), verdict], 8000) } }] : [],
      ];
  }
  return ["", []];
}

/** Writes it, one after the other. The way back leaves what was changed again since. */
export async function writeBack(repo: Repository, k: Keeping): Promise<Written> {
  await Promise.all(
    ["setup", "step", "part", "fixture", "machine", "feature", "reading"].map((kind) => repo.load(kind)),
  );
  // An answer that says stop is kept; it writes nothing that a cut or a lift would count on.
  const [what, list] = k.answer.mark === "stop" ? ["", []] : writesOf(repo, k);
  const back: (() => Promise<unknown>)[] = [];
  for (const one of list) {
    if ("kind" in one) {
      const made = await repo.make(one.kind, one.set, { unit: k.unit });
      back.push(() => repo.remove(made));
    } else if (!one.rec.newer) {
      const now = await repo.change(one.rec, one.set, k.unit);
      back.push(() => restore(repo, one.rec, one.set, now));
    }
  }
  const undo = async () => {
    for (const one of back.reverse()) await one();
  };
  return { what: back.length > 0 ? what : "", undo };
}

/** Brings back what stood in the fields of a change, but for those changed again since. */
async function restore(
  repo: Repository,
  before: Rec,
  set: Record<string, unknown>,
  after: Changed,
): Promise<void> {
  const now = repo.get(before.id);
  const same = (key: string) => JSON.stringify(now?.values[key]) === JSON.stringify(after.values[key]);
  const mine = Object.keys(set).filter(same);
  await repo.change(after, Object.fromEntries(mine.map((key) => [key, before.values[key] ?? null])));
}

/** Whether a person has something to say after Keep: a hole's reason, where holes are drilled. */
export function offers(repo: Repository, k: Keeping): boolean {
  const { worksheet, mark } = k.answer;
  if (worksheet === "match" || worksheet === "cleanup") return true;
  return worksheet === "hole" && mark !== "stop" && !!plateOf(repo, k);
}

/** The fixture that a planned hole goes into: not where it is a tapped hole of the part. */
export function plateOf(repo: Repository, k: Keeping): Rec | undefined {
  const fixture = k.taken.at.fixture ? repo.get(k.taken.at.fixture) : undefined;
  const feature = k.taken.links.feature ? repo.get(k.taken.links.feature) : undefined;
  return fixture && !fixture.newer && !text(feature, "thread") ? fixture : undefined;
}
