import { useState } from "preact/hooks";
import { byMade, nameOf, rows, text, type Rec } from "../../book/fields";
import type { Shelf } from "../../book/shelf";
import { book } from "../../first/route";
import { useApp, useTitle } from "../../ui/app";
import { Blank, FaultLine } from "../../ui/parts";
import { B } from "../../words/book";
import { Facts } from "./facts";
import { setupsOf } from "./job";
import { lastOfEach, places } from "./readlogic";
import { stepsOf } from "./steps";
import { Gate, useKinds, useShelf, useWork } from "./use";

/** Fields that belong to that one time and are not copied. */
const ONCE = new Set([
  "order",
  "job",
  "part",
  "state",
  "when",
  "expected",
  "repeats",
  "wrong",
  "parttemp",
  "machinetemp",
  "zero",
]);

export function Repeat({ id }: { id: string }) {
  const { shelf, ready, fault } = useShelf("setup", "step", "reading", "job", "machine", "fixture", "gauge");
  const setup = shelf?.get(id);
  useTitle(setup ? `${B.setup.repeat}: ${nameOf(setup)}` : "");
  return (
    <Gate ready={ready} fault={fault}>
      {shelf && setup ? (
        <Choose shelf={shelf} setup={setup} />
      ) : (
        <Blank kind="empty" title={B.gone} help={B.goneHelp} />
      )}
    </Gate>
  );
}

/** The last reading of each place, of the last kind read, as what to expect next time. */
export function expectedFrom(shelf: Shelf, setup: Rec): Record<string, unknown>[] {
  const mine = shelf.all("reading").filter((r) => text(r, "setup") === setup.id);
  const at = places(setup, mine);
  const found = [...new Set(mine.sort(byMade).map((r) => text(r, "kind")))].flatMap((kind) =>
    lastOfEach(mine, kind, at),
  );
  const list = found.map((r) => ({
    station: text(r, "station"),
    ...(text(r, "x") && { x: text(r, "x") }),
    ...(text(r, "y") && { y: text(r, "y") }),
    value: text(r, "value"),
    ...(text(r, "kind") && { kind: text(r, "kind") }),
  }));
  if (list.length > 0) return list;
  // Not read that time: what was expected then is still what there is.
  return rows(setup, "expected").map(({ row, unit, ...cells }) => (void row, void unit, cells));
}

export async function repeatSetup(shelf: Shelf, setup: Rec, job: string): Promise<Rec> {
  const set: Record<string, unknown> = {};
  for (const [key, v] of Object.entries(setup.values)) {
    if (ONCE.has(key)) continue;
    set[key] =
      Array.isArray(v) && typeof v[0] === "object"
        ? (v as Record<string, unknown>[]).map(({ row, unit, ...c }) => (void row, void unit, c))
        : v;
  }
  const unit = Object.values(setup.units).includes("mm") ? "mm" : "in";
  const order =
    Math.max(0, ...setupsOf(shelf, job).map((s) => Math.floor(parseFloat(text(s, "order")) || 0))) + 1;
  const copy = await shelf.make(
    "setup",
    {
      ...set,
      job,
      order: String(order),
      state: "planned",
      repeats: setup.id,
      expected: expectedFrom(shelf, setup),
    },
    { unit },
  );
  for (const s of stepsOf(shelf, setup.id)) {
    await shelf.make("step", {
      setup: copy.id,
      name: text(s, "name"),
      order: text(s, "order") || undefined,
      worksheet: text(s, "worksheet") || undefined,
      tool: text(s, "tool") || undefined,
      gauge: text(s, "gauge") || undefined,
      notes: text(s, "notes") || undefined,
    });
  }
  return copy;
}

function Choose({ shelf, setup }: { shelf: Shelf; setup: Rec }) {
  const { say } = useApp();
  const { kinds } = useKinds(shelf);
  const [job, setJob] = useState("");
  const [name, setName] = useState("");
  const work = useWork();
  const jobs = shelf.all("job").sort((a, b) => byMade(b, a));
  const go = () =>
    work.run(async () => {
      if (!job && !name.trim()) throw new Error(B.repeat.needName);
      const into =
        job ||
        (
          await shelf.make("job", {
            name: name.trim(),
            state: "planned",
            repeats: text(setup, "job") || undefined,
          })
        ).id;
      const copy = await repeatSetup(shelf, setup, into);
      say(B.repeat.done);
      location.replace(book("setup", copy.id));
    });
  return (
    <form
      class="narrow"
      autocomplete="off"
      onSubmit={(e) => {
        e.preventDefault();
        go();
      }}
    >
      <p>{B.repeat.intro}</p>
      <section class="card">
        <div class="field-wrap">
          <div class="field">
            <label for="repeat-job">{B.repeat.into}</label>
            <select id="repeat-job" value={job} onChange={(e) => setJob(e.currentTarget.value)}>
              <option value="">{B.repeat.newJob}</option>
              {jobs.map((j) => (
                <option key={j.id} value={j.id}>
                  {nameOf(j)}
                </option>
              ))}
            </select>
          </div>
        </div>
        {!job && (
          <div class="field-wrap">
            <div class="field">
              <label for="repeat-name">{B.repeat.name}</label>
              <input
                id="repeat-name"
                type="text"
                maxLength={200}
                value={name}
                onInput={(e) => setName(e.currentTarget.value)}
              />
            </div>
          </div>
        )}
        <FaultLine id="repeat-fault" text={work.fault || undefined} />
        <div class="form-foot">
          <button type="submit" class="button go" disabled={work.busy}>
            {work.busy ? B.repeat.working : B.repeat.go}
          </button>
        </div>
      </section>
      <section class="card">
        <p>
          {B.repeat.steps(stepsOf(shelf, setup.id).length)},{" "}
          {B.repeat.readings(expectedFrom(shelf, setup).length)}
        </p>
        <Facts shelf={shelf} rec={setup} kind={kinds.find((k) => k.key === "setup")} hide={[...ONCE]} />
      </section>
    </form>
  );
}
