// What a worksheet takes from the job when it is opened from a setup or a step.
import { byMade, nameOf, text, type Doc } from "../../book/fields";
import type { Links } from "../../book/records";
import { kindOf, type Shelf } from "../../book/shelf";
import { prefs } from "../../ui/prefs";
import { lastOfEach, lineText, places } from "./readlogic";

export interface Given {
  inputs: Record<string, string>;
  /** Where each came from, in words. */
  from: Record<string, string>;
  links: Links;
  job: string;
}

interface Filled {
  inputs: Record<string, string>;
  from: Record<string, { id: string; field: string; label: string }>;
  missing: string[];
}

export async function prefill(shelf: Shelf, sheet: string, id: string): Promise<Given> {
  await Promise.all(["setup", "step", "reading", "set", "job"].map((k) => shelf.load(k)));
  const step = kindOf(id) === "step" ? shelf.get(id) : undefined;
  const setup = shelf.get(step ? text(step, "setup") : id);
  const links: Links = {
    ...(step && { step: step.id }),
    ...(step && text(step, "feature") && { feature: text(step, "feature") }),
    ...(setup && { setup: setup.id }),
    ...(text(setup, "job") && { job: text(setup, "job") }),
  };
  const job = shelf.get(text(setup, "job"));
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
      ...(step ? { step: id } : { setup: id }),
      docs: [...docs.values()],
    });
    const more = out.missing.filter((m) => !ids.has(m));
    if (more.length === 0) break;
    for (const m of more) ids.add(m);
  }
  const inputs = { ...out.inputs };
  if (sheet === "tram" && setup) {
    // The line as it stands on the readings page: the last reading of each place.
    const at = places(setup, readings);
    const kind = text([...readings].sort(byMade).at(-1), "kind");
    const line = lineText(lastOfEach(readings, kind, at), at, prefs().unit);
    if (line) inputs["readings"] = line;
  }
  return {
    inputs,
    from: Object.fromEntries(Object.entries(out.from).map(([key, f]) => [key, f.label])),
    links,
    job: job ? nameOf(job) : "",
  };
}
