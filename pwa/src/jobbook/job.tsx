import { byMade, nameOf, text, yes, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import type { RecordKind } from "../engine/contract.gen";
import { book, recordHref } from "../screen/route";
import { Button } from "../ui/controls";
import { LinkCard } from "../ui/parts";
import { B } from "../text/jobbook";
import { commas, dots } from "../text/words";
import { Ahead } from "./ahead";
import { Clashes, Gone } from "./clash";
import { Facts } from "./facts";
import { KeptList } from "./kept";
import { Notes } from "./notes";
import { Card } from "./parts";
import { Photos } from "./photos";
import { saying } from "./saying";
import { Papers } from "./papers";
import { setupsOf, stepsOf } from "./setups";
import { ofRecord, Remove, useKinds } from "./use";

const J = B.job;

/** One job: what was asked, the part, its setups in order, what was worked out. */
export const JobRecord = ofRecord(Open, ["part", "feature", "setup", "step", "reading"]);

function Open({ repo, rec: job }: { repo: Repository; rec: Rec }) {
  const { kinds } = useKinds(repo);
  const setups = setupsOf(repo, job.id);
  const parts = repo
    .all("part")
    .filter((p) => text(p, "job") === job.id)
    .sort(byMade);
  const said = text(job, "words");
  return (
    <div class="two-up">
      <div>
        <Gone repo={repo} rec={job} />
        <Clashes repo={repo} rec={job} />
        <Card title={J.setups}>
          {setups.length === 0 && <p class="quiet">{J.noSetups}</p>}
          <ol class="link-list">
            {setups.map((s) => (
              <li key={s.id}>
                <SetupDoor repo={repo} setup={s} />
              </li>
            ))}
          </ol>
          <Button label={J.addSetup} href={book("new", "setup", { job: job.id })} />
        </Card>
        {parts.length === 1 ? (
          <Ahead repo={repo} part={parts[0]} job={job} />
        ) : (
          <Ahead repo={repo} job={job} />
        )}
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
      </div>
      <div>
        <section class="card">
          {said && (
            <figure class="words">
              <figcaption>{J.said}</figcaption>
              <blockquote>{said}</blockquote>
            </figure>
          )}
          <Facts repo={repo} rec={job} kind={kinds.find((k) => k.key === "job")} hide={["name", "words"]} />
          <p class="foot-links">
            <Button label={B.change} href={book("edit", job.id)} />
            <Button label={B.history} href={book("history", job.id)} />
            {!job.gone && <Remove repo={repo} rec={job} name={nameOf(job)} />}
          </p>
        </section>
        <Papers rec={job} />
        <Card title={J.kept}>
          <KeptList
            of={(k) =>
              text(k, "job") === job.id || (!text(k, "job") && text(k, "jobname") === text(job, "name"))
            }
            none={J.keptNone}
          />
        </Card>
        <Photos about={job.id} />
        <Notes about={job.id} />
      </div>
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
