import { useState } from "preact/hooks";
import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book, recordHref } from "../screen/route";
import { useApp } from "../screen/context";
import { Button, Form, TextField } from "../ui/controls";
import { FaultLine } from "../ui/parts";
import { N } from "../text/begin";
import { B } from "../text/jobbook";
import { Facts } from "./facts";
import { SetupDoors } from "./job";
import { Choice } from "./parts";
import { nextOrder, setupsOf, stepsOf } from "./setups";
import { ofRecord, useKinds, useWork } from "./use";

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

const Setup = ofRecord(Choose, ["step", "reading", "job", "machine", "fixture", "gauge"], {
  title: (name) => `${B.setup.repeat}: ${name}`,
});

const Job = ofRecord(ChooseJob, ["part", "feature", "setup", "step", "reading"], {
  title: (name) => `${N.repeatJob}: ${name}`,
});

/** Repeats a setup in another job, or a whole job. */
export const Repeat = ({ id }: { id: string }) =>
  id.startsWith("job:") ? <Job id={id} /> : <Setup id={id} />;

const readingsOf = (repo: Repository, setup: string): Rec[] =>
  repo.all("reading").filter((r) => text(r, "setup") === setup);

/** Repeats a setup in a job: its data is copied, its readings become the expected ones. */
async function repeatSetup(repo: Repository, setup: Rec, job: string): Promise<Rec> {
  const ids = [...stepsOf(repo, setup.id), ...readingsOf(repo, setup.id)].map((r) => r.id);
  const order = nextOrder(repo, job);
  const made = await repo.write("repeat", {
    setup: await repo.doc(setup.id),
    docs: await repo.docs(ids),
    job,
  });
  return repo.change(
    made.find((r) => r.kind === "setup")!,
    { order },
  );
}

function Choose({ repo, rec: setup }: { repo: Repository; rec: Rec }) {
  const { say } = useApp();
  const { kinds } = useKinds(repo);
  const [job, setJob] = useState("");
  const [name, setName] = useState("");
  const work = useWork();
  const jobs = repo.all("job").sort((a, b) => byMade(b, a));
  const go = () =>
    work.run(async () => {
      if (!job && !name.trim()) throw new Error(B.repeat.needName);
      const into =
        job ||
        (
          await repo.make("job", {
            name: name.trim(),
            state: "planned",
            repeats: text(setup, "job") || undefined,
          })
        ).id;
      const copy = await repeatSetup(repo, setup, into);
      say(B.repeat.done);
      location.replace(book("setup", copy.id));
    });
  return (
    <Form class="narrow" act={go}>
      <p>{B.repeat.intro}</p>
      <section class="card">
        <Choice
          id="repeat-job"
          label={B.repeat.into}
          none={B.repeat.newJob}
          options={jobs.map((j) => ({ key: j.id, label: nameOf(j) }))}
          value={job}
          set={setJob}
        />
        <Foot work={work} named={!job} name={name} set={setName} />
      </section>
      <section class="card">
        <h2 class="unseen">{nameOf(setup)}</h2>
        <p>
          {B.repeat.steps(stepsOf(repo, setup.id).length)},{" "}
          {B.repeat.readings(readingsOf(repo, setup.id).length)}
        </p>
        <Facts repo={repo} rec={setup} kind={kinds.find((k) => k.key === "setup")} hide={ONCE} />
      </section>
    </Form>
  );
}

/** Repeats a whole job: its parts, setups and steps are copied, its readings become the expected ones. */
function ChooseJob({ repo, rec: job }: { repo: Repository; rec: Rec }) {
  const { say } = useApp();
  const [name, setName] = useState(nameOf(job));
  const work = useWork();
  const setups = setupsOf(repo, job.id);
  const parts = repo.all("part").filter((p) => text(p, "job") === job.id);
  const below = [
    ...parts,
    ...repo.all("feature").filter((f) => parts.some((p) => p.id === text(f, "part"))),
    ...setups.flatMap((s) => [s, ...stepsOf(repo, s.id), ...readingsOf(repo, s.id)]),
  ];
  const go = () =>
    work.run(async () => {
      if (!name.trim()) throw new Error(B.repeat.needName);
      const made = await repo.write("repeat", {
        job: await repo.doc(job.id),
        docs: await repo.docs(below.map((r) => r.id)),
        name: name.trim(),
      });
      say(N.repeatDone);
      location.replace(recordHref(made[0]!.id));
    });
  return (
    <Form class="narrow" act={go}>
      <p>{N.repeatIntro}</p>
      <section class="card">
        <Foot work={work} named name={name} set={setName} />
      </section>
      <SetupDoors repo={repo} setups={setups} />
    </Form>
  );
}

/** The name of what is made, where it is a job of its own, and the key. */
function Foot(p: {
  work: ReturnType<typeof useWork>;
  named: boolean;
  name: string;
  set: (text: string) => void;
}) {
  return (
    <>
      {p.named && (
        <TextField id="repeat-name" label={B.repeat.name} maxLength={200} value={p.name} set={p.set} />
      )}
      <FaultLine id="repeat-fault" text={p.work.fault || undefined} />
      <div class="form-foot">
        <Button submit go label={p.work.busy ? B.repeat.working : B.repeat.go} disabled={p.work.busy} />
      </div>
    </>
  );
}
