import { byMade, nameOf, text, yes, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import type { RecordKind } from "../engine/contract.gen";
import { book, href, recordHref } from "../screen/route";
import { useApp } from "../screen/context";
import { useDesk } from "../screen/desk";
import { Door } from "../screen/door";
import type { ScreenProps } from "../screen/load";
import { Button } from "../ui/controls";
import { LinkCard } from "../ui/parts";
import { DataTable } from "../ui/table";
import { N } from "../text/begin";
import { B } from "../text/jobbook";
import { commas, dots } from "../text/words";
import { Ahead } from "./ahead";
import { Clashes, Gone } from "./clash";
import { Facts } from "./facts";
import { KeptList } from "./kept";
import { Notes } from "./notes";
import { Card } from "./parts";
import { SceneDrawing } from "./drawn";
import { Photos } from "./photos";
import { thou } from "./readlogic";
import { saying } from "./saying";
import { Papers } from "./papers";
import { setupsOf, stepsOf } from "./setups";
import { useShape } from "./shape";
import { Steps } from "./steps";
import { ofRecord, Remove, useKinds } from "./use";

const J = B.job;

const VIEWS = ["part", "worked", "card"] as const;
type View = (typeof VIEWS)[number];

/** One job: its setups in order; behind the keys of the foot its part, what was worked out, its card. */
export const JobRecord = ofRecord<ScreenProps>(Open, ["part", "feature", "setup", "step", "reading"]);

interface Of {
  repo: Repository;
  job: Rec;
}

function Open({ repo, rec: job, more }: { repo: Repository; rec: Rec; more: Record<string, string> }) {
  const desk = useDesk();
  const view = VIEWS.find((v) => v === more["view"]);
  const to = (v?: View) => href({ page: "job", job: job.id, view: v });
  const setups = setupsOf(repo, job.id);
  const now =
    setups.find((s) => text(s, "state") === "running") ?? setups.find((s) => text(s, "state") !== "done");
  return (
    <>
      {view === "part" ? (
        <PartView repo={repo} job={job} />
      ) : view === "worked" ? (
        <Worked job={job} />
      ) : view === "card" ? (
        <JobCard repo={repo} job={job} />
      ) : (
        <div class="job-desk">
          <div>
            <Gone repo={repo} rec={job} />
            <Clashes repo={repo} rec={job} />
            {text(job, "words") && <blockquote class="job-words">{text(job, "words")}</blockquote>}
            {setups.length === 0 && <p class="quiet">{J.noSetups}</p>}
            <SetupDoors repo={repo} setups={setups} />
          </div>
          {desk && now && <JobScene repo={repo} setup={now} />}
          {desk && now && <JobSide repo={repo} job={job} setup={now} />}
        </div>
      )}
      <nav class="page-foot" aria-label={nameOf(job)}>
        {VIEWS.map((v) => (
          <Door key={v} label={J.views[v]} to={to(v)} page={to()} here={view === v} within={!!view} />
        ))}
        {!job.gone && !job.newer && (
          <a class="go" href={book("begin", "", { job: job.id })}>
            {J.addSetup}
          </a>
        )}
      </nav>
    </>
  );
}

/** The part and its features, and what of them is worked out ahead. */
function PartView({ repo, job }: Of) {
  const { kinds } = useKinds(repo);
  const parts = repo
    .all("part")
    .filter((p) => text(p, "job") === job.id)
    .sort(byMade);
  return (
    <div class="two-up">
      <Card title={J.parts}>
        {parts.map((p) => {
          const features = repo
            .all("feature")
            .filter((f) => text(f, "part") === p.id)
            .sort(byMade);
          return (
            <div key={p.id} class="part">
              <LinkCard
                href={recordHref(p.id)}
                name={nameOf(p)}
                lines={[dots(text(p, "drawing"), text(p, "casting"))]}
              />
              <ul class="feature-list">
                {features.map((f) => (
                  <li key={f.id}>
                    <a href={recordHref(f.id)}>
                      <b>{nameOf(f)}</b> <FeatureSize repo={repo} f={f} kinds={kinds} />
                    </a>
                  </li>
                ))}
              </ul>
              <Button
                label={J.addFeature}
                href={book("new", "feature", { part: p.id, back: `#/job/${encodeURIComponent(job.id)}` })}
              />
            </div>
          );
        })}
        {parts.length === 0 && <Button label={J.addPart} href={book("new", "part", { job: job.id })} />}
      </Card>
      {parts.length === 1 ? <Ahead repo={repo} part={parts[0]} job={job} /> : <Ahead repo={repo} job={job} />}
    </div>
  );
}

const Worked = ({ job }: { job: Rec }) => (
  <Card title={J.kept}>
    <KeptList
      of={(k) => text(k, "job") === job.id || (!text(k, "job") && text(k, "jobname") === text(job, "name"))}
      none={J.keptNone}
    />
  </Card>
);

/** Its fields, papers, photos and notes. */
function JobCard({ repo, job }: Of) {
  const { kinds } = useKinds(repo);
  return (
    <div class="two-up">
      <section class="card">
        <Facts repo={repo} rec={job} kind={kinds.find((k) => k.key === "job")} hide={["name"]} />
        <p class="foot-links">
          <Button label={B.change} href={book("edit", job.id)} />
          <Button label={N.repeatJob} href={book("repeat", job.id)} />
          <Button label={B.history} href={book("history", job.id)} />
          {!job.gone && <Remove repo={repo} rec={job} name={nameOf(job)} />}
        </p>
      </section>
      <div>
        <Papers rec={job} />
        <Photos about={job.id} />
        <Notes about={job.id} />
      </div>
    </div>
  );
}

/** On a desk: the setup that runs, drawn, with what is done next and its steps. */
function JobScene({ repo, setup }: { repo: Repository; setup: Rec }) {
  const scene = useShape(repo, "setup", setup);
  const next = stepsOf(repo, setup.id).find((s) => !yes(s, "done"));
  return (
    <div class="job-scene">
      <h2>{next ? J.next(nameOf(next)) : nameOf(setup)}</h2>
      <p class="quiet">{dots(nameOf(setup), text(next, "notes"))}</p>
      <SceneDrawing scene={scene} high={230} />
      <div class="place-keys">
        <a class="button go" data-letter="r" href={book("readings", setup.id)}>
          {B.mill.read}
        </a>
        <a class="button" data-letter="n" href={book("note", setup.id)}>
          {B.mill.note}
        </a>
        <a class="button" data-letter="s" href={book("setup", setup.id)}>
          {J.open}
        </a>
      </div>
      <Steps repo={repo} setup={setup} />
    </div>
  );
}

const READ = [
  { key: "station", label: J.where },
  { key: "value", label: J.read, num: true },
  { key: "kind", label: J.kind },
];

/** On a desk: its readings as a table, its photos and facts. */
function JobSide({ repo, job, setup }: Of & { setup: Rec }) {
  const { say } = useApp();
  const { kinds } = useKinds(repo);
  const kind = kinds.find((k) => k.key === "reading")?.fields.find((f) => f.key === "kind");
  const list = repo
    .all("reading")
    .filter((r) => text(r, "setup") === setup.id && !text(r, "round"))
    .sort(byMade);
  return (
    <div>
      {list.length > 0 && (
        <DataTable
          name={J.readingsName}
          say={say}
          columns={READ}
          rows={list.map((r) => ({
            key: r.id,
            cells: {
              station: text(r, "station"),
              value: saying(undefined, r.values["value"], undefined),
              kind: saying(kind, r.values["kind"], undefined),
            },
            at: { value: thou(text(r, "value")) },
          }))}
        />
      )}
      <Photos about={setup.id} />
      <section class="card">
        <Facts
          repo={repo}
          rec={setup}
          kind={kinds.find((k) => k.key === "setup")}
          hide={["name", "order", "job", "state", "expected", "tapin"]}
        />
      </section>
      <Notes about={job.id} />
    </div>
  );
}

/** A feature's size and tolerance in a line. */
function FeatureSize({ repo, f, kinds }: { repo: Repository; f: Rec; kinds: RecordKind[] }) {
  const fields = kinds.find((k) => k.key === "feature")?.fields ?? [];
  const say = (key: string) =>
    saying(
      fields.find((x) => x.key === key),
      f.values[key],
      f.units[key],
      repo,
    );
  const tol = [say("plus"), say("minus")].filter(Boolean).join(" / ");
  return <span class="num">{commas(say("kind"), say("thread"), say("nominal"), tol, say("face"))}</span>;
}

/** The setups of a job in their order, each with its way in. */
export const SetupDoors = ({ repo, setups }: { repo: Repository; setups: Rec[] }) => (
  <ol class="link-list">
    {setups.map((s) => (
      <li key={s.id}>
        <SetupDoor repo={repo} setup={s} />
      </li>
    ))}
  </ol>
);

/** A setup in a list: its name, how far it is, where it sits. */
export function SetupDoor({ repo, setup, job }: { repo: Repository; setup: Rec; job?: Rec | undefined }) {
  const steps = stepsOf(repo, setup.id);
  const done = steps.filter((s) => yes(s, "done")).length;
  const n = repo.all("reading").filter((r) => text(r, "setup") === setup.id).length;
  const machine = repo.get(text(setup, "machine"));
  const fixture = repo.get(text(setup, "fixture"));
  const state = text(setup, "state");
  const where = dots(machine && nameOf(machine), fixture && nameOf(fixture), text(setup, "down"));
  return (
    <LinkCard
      href={book("setup", setup.id)}
      state={state}
      name={nameOf(setup) || B.unnamed}
      lines={[job && nameOf(job), where]}
      foot={dots(state, J.steps(done, steps.length), J.readings(n))}
    />
  );
}
