import { useState } from "preact/hooks";
import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Shelf } from "../records/repository";
import { book } from "../screen/route";
import { useApp, useTitle } from "../screen/context";
import { Blank, FaultLine } from "../ui/parts";
import { B } from "../text/jobbook";
import { Facts } from "./facts";
import { setupsOf, stepsOf } from "./setups";
import { Gate, useKinds, useShelf, useWork } from "./use";

/** Fields that belong to that one time; the rules leave them behind. */
const ONCE = [
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
];

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

const readingsOf = (shelf: Shelf, setup: string): Rec[] =>
  shelf.all("reading").filter((r) => text(r, "setup") === setup);

/** Makes a setup again in a job: what it was is copied, its readings become what is expected. */
export async function repeatSetup(shelf: Shelf, setup: Rec, job: string): Promise<Rec> {
  const ids = [...stepsOf(shelf, setup.id), ...readingsOf(shelf, setup.id)].map((r) => r.id);
  const order =
    Math.max(0, ...setupsOf(shelf, job).map((s) => Math.floor(parseFloat(text(s, "order")) || 0))) + 1;
  const made = await shelf.write("repeat", {
    setup: await shelf.doc(setup.id),
    docs: await shelf.docs(ids),
    job,
  });
  return shelf.change(made.find((r) => r.kind === "setup")!.id, { order: String(order) });
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
        <h2 class="unseen">{nameOf(setup)}</h2>
        <p>
          {B.repeat.steps(stepsOf(shelf, setup.id).length)},{" "}
          {B.repeat.readings(readingsOf(shelf, setup.id).length)}
        </p>
        <Facts shelf={shelf} rec={setup} kind={kinds.find((k) => k.key === "setup")} hide={ONCE} />
      </section>
    </form>
  );
}
