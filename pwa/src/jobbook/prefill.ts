// What a worksheet takes from the job when it is opened from a setup, a step, a feature, a part or the job itself.
import { byMade, nameOf, text, type Doc, type Rec } from "../records/fields";
import { toKept, type Links } from "../records/kept";
import { kindOf, type Shelf } from "../records/repository";
import type { Prefill } from "../screen/load";
import { prefs } from "../screen/prefs";
import * as hooks from "./hooks";
import { kindNext, lastOfEach, lineText, places } from "./readlogic";

interface Filled {
  inputs: Record<string, string>;
  from: Record<string, { id: string; field: string; label: string }>;
  missing: string[];
}

/** The record a worksheet was opened from, and what it is part of. */
interface Start {
  step: Rec | undefined;
  setup: Rec | undefined;
  feature: Rec | undefined;
  part: Rec | undefined;
  job: Rec | undefined;
}

function startOf(shelf: Shelf, id: string): Start {
  const rec = (kind: string, other: string) => shelf.get(kindOf(id) === kind ? id : other);
  const step = rec("step", "");
  const setup = rec("setup", text(step, "setup"));
  let feature = rec("feature", text(step, "feature"));
  let job = rec("job", text(setup, "job"));
  const parts = shelf.all("part").filter((p) => job && text(p, "job") === job.id);
  const part = rec("part", text(feature, "part") || text(setup, "part") || (parts.sort(byMade)[0]?.id ?? ""));
  job ??= shelf.get(text(part, "job"));
  feature ??= part && hooks.boltedFaces(shelf, part.id)[0]?.feature;
  return { step, setup, feature, part, job };
}

/** What the worksheets that use the whole job take from it. */
async function whole(shelf: Shelf, sheet: string, s: Start): Promise<hooks.Filled | undefined> {
  switch (sheet) {
    case "match":
      await shelf.load("fixture");
      return s.feature && hooks.fillMatch(shelf, s.feature);
    case "cleanup":
      return s.part && hooks.fillCleanup(shelf, s.part.id, s.setup);
    case "tapin":
      return s.setup && hooks.fillTapin(shelf, s.setup);
    case "chain": {
      await Promise.all(["fixture", "machine", "kept"].map((k) => shelf.load(k)));
      const mine = shelf
        .all("kept")
        .filter((k) => s.job && text(k, "job") === s.job.id && /^(tram|sweep)$/.test(text(k, "worksheet")));
      const docs = await shelf.docs(mine.map((k) => k.id));
      return (
        s.job &&
        hooks.fillChain(
          shelf,
          s.job.id,
          docs.flatMap((d) => toKept(d) ?? []),
        )
      );
    }
  }
  return undefined;
}

export async function prefill(shelf: Shelf, sheet: string, id: string): Promise<Prefill> {
  await Promise.all(["setup", "step", "reading", "set", "job", "part", "feature"].map((k) => shelf.load(k)));
  const start = startOf(shelf, id);
  const { step, setup, job } = start;
  const of = step ? text(step, "feature") : kindOf(id) === "feature" ? id : "";
  const links: Links = {
    ...(step && { step: step.id }),
    ...(of && { feature: of }),
    ...(setup && { setup: setup.id }),
    ...(job && { job: job.id }),
  };
  const readings = shelf.all("reading").filter((r) => setup && text(r, "setup") === setup.id);
  const ids = new Set([id, ...readings.map((r) => r.id), ...shelf.all("set").map((s) => s.id)]);
  let out: Filled = { inputs: {}, from: {}, missing: [] };
  const docs = new Map<string, Doc>();
  for (let round = 0; round < 6; round++) {
    for (const doc of await Promise.all([...ids].filter((i) => !docs.has(i)).map((i) => shelf.doc(i)))) {
      if (doc) docs.set(doc._id, doc);
    }
    out = await shelf.ask<Filled>("prefill", {
      worksheet: sheet,
      [kindOf(id)]: id,
      docs: [...docs.values()],
    });
    const more = out.missing.filter((m) => !ids.has(m));
    if (more.length === 0) break;
    for (const m of more) ids.add(m);
  }
  const inputs = { ...out.inputs };
  if (sheet === "tram" && setup) {
    // The line as it stands on the readings page: the last reading of each place.
    const plain = readings.filter((r) => !text(r, "round"));
    const at = places(setup, plain);
    const line = lineText(lastOfEach(plain, kindNext(plain, step?.id ?? ""), at), at, prefs().unit);
    if (line) inputs["readings"] = line;
  }
  const more = await whole(shelf, sheet, start);
  return {
    inputs: { ...inputs, ...more?.inputs },
    from: {
      ...Object.fromEntries(Object.entries(out.from).map(([key, f]) => [key, f.label])),
      ...more?.from,
    },
    links,
    job: job ? nameOf(job) : "",
  };
}
