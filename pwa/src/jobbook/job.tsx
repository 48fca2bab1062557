import { byMade, nameOf, text, yes, type Rec } from "../records/fields";
import type { Shelf } from "../records/repository";
import { book } from "../screen/route";
import { useApp, useTitle } from "../screen/context";
import { Blank } from "../ui/parts";
import { B } from "../text/jobbook";
import { Ahead } from "./ahead";
import { Clashes, Gone } from "./clash";
import { Facts, recordHref } from "./facts";
import { KeptList } from "./kept";
import { Notes } from "./notes";
import { Photos } from "./photos";
import { saying } from "./saying";
import { Papers } from "./papers";
import { setupsOf, stepsOf } from "./setups";
import { Gate, storeFault, useKinds, useShelf } from "./use";

const J = B.job;

/** One job: what was asked, the part, its setups in order, what was worked out. */
export function JobRecord({ id }: { id: string }) {
  const { shelf, ready, fault } = useShelf("job", "part", "feature", "setup", "step", "reading");
  const job = shelf?.get(id);
  useTitle(job ? nameOf(job) : "");
  return (
    <Gate ready={ready} fault={fault}>
      {shelf && job ? (
        <Open shelf={shelf} job={job} />
      ) : (
        <Blank kind="empty" title={B.gone} help={B.goneHelp} />
      )}
    </Gate>
  );
}

function Open({ shelf, job }: { shelf: Shelf; job: Rec }) {
  const { say } = useApp();
  const { kinds } = useKinds(shelf);
  const setups = setupsOf(shelf, job.id);
  const parts = shelf
    .all("part")
    .filter((p) => text(p, "job") === job.id)
    .sort(byMade);
  const kind = kinds.find((k) => k.key === "job");
  const said = text(job, "words");
  return (
    <div class="two-up">
      <div>
        <Gone shelf={shelf} rec={job} />
        <Clashes shelf={shelf} rec={job} />
        <section class="card" aria-label={J.setups}>
          <h2>{J.setups}</h2>
          {setups.length === 0 && <p class="quiet">{J.noSetups}</p>}
          <ol class="doors">
            {setups.map((s) => (
              <li key={s.id}>
                <SetupDoor shelf={shelf} setup={s} />
              </li>
            ))}
          </ol>
          <a class="button" href={book("new", "setup", { job: job.id })}>
            {J.addSetup}
          </a>
        </section>
        {parts.length === 1 ? (
          <Ahead shelf={shelf} part={parts[0]} job={job} />
        ) : (
          <Ahead shelf={shelf} job={job} />
        )}
        <section class="card" aria-label={J.parts}>
          <h2>{J.parts}</h2>
          {parts.map((p) => {
            const features = shelf
              .all("feature")
              .filter((f) => text(f, "part") === p.id)
              .sort(byMade);
            return (
              <div key={p.id} class="part">
                <a class="door" href={recordHref(p.id)}>
                  <b>{nameOf(p)}</b>
                  <span>{[text(p, "drawing"), text(p, "casting")].filter(Boolean).join(" · ")}</span>
                </a>
                <ul class="feature-list">
                  {features.map((f) => (
                    <li key={f.id}>
                      <a href={recordHref(f.id)}>
                        <b>{nameOf(f)}</b> <FeatureSize shelf={shelf} f={f} kinds={kinds} />
                      </a>
                    </li>
                  ))}
                </ul>
                <a
                  class="button"
                  href={book("new", "feature", { part: p.id, back: `#/job/${encodeURIComponent(job.id)}` })}
                >
                  {J.addFeature}
                </a>
              </div>
            );
          })}
          {parts.length === 0 && (
            <a class="button" href={book("new", "part", { job: job.id })}>
              {J.addPart}
            </a>
          )}
        </section>
      </div>
      <div>
        <section class="card">
          {said && (
            <figure class="words">
              <figcaption>{J.said}</figcaption>
              <blockquote>{said}</blockquote>
            </figure>
          )}
          <Facts shelf={shelf} rec={job} kind={kind} hide={["name", "words"]} />
          <p class="foot-links">
            <a class="button" href={book("edit", job.id)}>
              {B.change}
            </a>
            <a class="button" href={book("history", job.id)}>
              {B.history}
            </a>
            <button
              type="button"
              class="button"
              onClick={() => {
                shelf.remove(job.id).then(
                  () => say(B.removed(nameOf(job)), () => void shelf.restore(job.id)),
                  (err: unknown) => say(storeFault(err)),
                );
              }}
            >
              {B.remove}
            </button>
          </p>
        </section>
        <Papers rec={job} />
        <section class="card" aria-label={J.kept}>
          <h2>{J.kept}</h2>
          <KeptList
            of={(k) =>
              text(k, "job") === job.id || (!text(k, "job") && text(k, "jobname") === text(job, "name"))
            }
            none={J.keptNone}
          />
        </section>
        <Photos about={job.id} />
        <Notes about={job.id} />
      </div>
    </div>
  );
}

/** A feature's size and tolerance in a line. */
function FeatureSize({
  shelf,
  f,
  kinds,
}: {
  shelf: Shelf;
  f: Rec;
  kinds: import("../engine/contract.gen").RecordKind[];
}) {
  const fields = kinds.find((k) => k.key === "feature")?.fields ?? [];
  const say = (key: string) =>
    saying(
      fields.find((x) => x.key === key),
      f.values[key],
      f.units[key],
      shelf,
    );
  const tol = [say("plus"), say("minus")].filter(Boolean);
  return (
    <span class="num">
      {[say("kind"), say("thread"), say("nominal"), tol.length > 0 ? tol.join(" / ") : "", say("face")]
        .filter(Boolean)
        .join(", ")}
    </span>
  );
}

/** A setup in a list: its name, how far it is, where it sits. */
export function SetupDoor({ shelf, setup, job }: { shelf: Shelf; setup: Rec; job?: Rec | undefined }) {
  const steps = stepsOf(shelf, setup.id);
  const done = steps.filter((s) => yes(s, "done")).length;
  const n = shelf.all("reading").filter((r) => text(r, "setup") === setup.id).length;
  const machine = shelf.get(text(setup, "machine"));
  const fixture = shelf.get(text(setup, "fixture"));
  const state = text(setup, "state");
  return (
    <a class={`door state-${state}`} href={book("setup", setup.id)}>
      <b>{nameOf(setup) || B.unnamed}</b>
      {job && <span>{nameOf(job)}</span>}
      <span>
        {[machine && nameOf(machine), fixture && nameOf(fixture), text(setup, "down")]
          .filter(Boolean)
          .join(" · ")}
      </span>
      <em>{[state, J.steps(done, steps.length), J.readings(n)].filter(Boolean).join(" · ")}</em>
    </a>
  );
}
