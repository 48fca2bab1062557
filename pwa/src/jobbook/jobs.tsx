import { useState } from "preact/hooks";
import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Shelf } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { Blank } from "../ui/parts";
import { B } from "../text/jobbook";
import { W } from "../text/words";
import { setupsOf } from "./setups";
import { dateWords } from "./saying";
import { Gate, storeFault, useShelf } from "./use";

/** Names that answers were kept under, and that no job record has. */
function names(shelf: Shelf, jobs: readonly Rec[]): { name: string; count: number }[] {
  const known = new Set(jobs.map((j) => text(j, "name").toLowerCase()));
  const counts = new Map<string, number>();
  for (const k of shelf.all("kept").sort((a, b) => byMade(b, a))) {
    const name = text(k, "jobname");
    if (!name || text(k, "job") || known.has(name.toLowerCase())) continue;
    counts.set(name, (counts.get(name) ?? 0) + 1);
  }
  return [...counts].map(([name, count]) => ({ name, count }));
}

function JobDoor({ shelf, job }: { shelf: Shelf; job: Rec }) {
  const setups = setupsOf(shelf, job.id);
  const state = text(job, "state");
  return (
    <a class={`door state-${state}`} href={href({ page: "job", job: job.id })}>
      <b>{nameOf(job) || B.unnamed}</b>
      <span>
        {[text(job, "customer"), text(job, "drawing"), text(job, "due") && dateWords(text(job, "due"))]
          .filter(Boolean)
          .join(" · ")}
      </span>
      <em>
        {[state, setups.length > 0 && B.job.countSetups(setups.length), job.demo && B.mill.invented]
          .filter(Boolean)
          .join(" · ")}
      </em>
    </a>
  );
}

function NameDoor({ name, count }: { name: string; count: number }) {
  return (
    <a class="door" href={href({ page: "job", job: name })}>
      <b>{name}</b>
      <span>{W.home.records(count)}</span>
    </a>
  );
}

/** All jobs, the one touched last first; then the names that answers were kept under. */
export function Jobs() {
  const { say } = useApp();
  const { shelf, ready, fault } = useShelf("job", "setup", "kept");
  const [find, setFind] = useState("");
  const jobs = (shelf?.all("job") ?? []).sort((a, b) => (a.changed < b.changed ? 1 : -1));
  const loose = shelf ? names(shelf, jobs) : [];
  const wanted = find.trim().toLowerCase();
  const shown = jobs.filter((j) =>
    `${nameOf(j)} ${text(j, "customer")} ${text(j, "drawing")}`.toLowerCase().includes(wanted),
  );
  const others = loose.filter((n) => n.name.toLowerCase().includes(wanted));
  return (
    <Gate ready={ready} fault={fault}>
      <div class="narrow">
        <p class="foot-links">
          <a class="button go" href={book("new", "job")}>
            {B.job.newJob}
          </a>
          <a class="button" href={book("shop")}>
            {B.shop.title}
          </a>
        </p>
        {jobs.length + loose.length === 0 && (
          <Blank kind="empty" title={W.jobs.empty} help={B.mill.firstHelp} />
        )}
        {jobs.length + loose.length > 5 && (
          <div class="field-wrap">
            <div class="field">
              <label for="find-job">{W.jobs.find}</label>
              <input
                id="find-job"
                type="search"
                value={find}
                onInput={(e) => setFind(e.currentTarget.value)}
              />
            </div>
          </div>
        )}
        {wanted && shown.length + others.length === 0 && (
          <Blank kind="empty" title={W.jobs.none(find.trim())} />
        )}
        <ul class="doors">
          {shown.slice(0, 300).map((j) => (
            <li key={j.id}>
              <JobDoor shelf={shelf!} job={j} />
            </li>
          ))}
        </ul>
        {others.length > 0 && (
          <>
            <h2>{B.job.names}</h2>
            <p class="quiet">{B.job.namesHelp}</p>
            <ul class="doors">
              {others.slice(0, 300).map((n) => (
                <li key={n.name} class="start-line">
                  <NameDoor {...n} />
                  <button
                    type="button"
                    class="button"
                    onClick={() => {
                      shelf!.make("job", { name: n.name, state: "planned" }).then(
                        (j) => (location.hash = href({ page: "job", job: j.id })),
                        (err: unknown) => say(storeFault(err)),
                      );
                    }}
                  >
                    {B.job.makeRecord}
                  </button>
                </li>
              ))}
            </ul>
          </>
        )}
        <p class="quiet">{W.jobs.archived}</p>
      </div>
    </Gate>
  );
}

/** The jobs touched last, beside the worksheets. */
export function Recent() {
  const { shelf, ready, fault } = useShelf("job", "setup", "kept");
  const jobs = (shelf?.all("job") ?? []).sort((a, b) => (a.changed < b.changed ? 1 : -1));
  const loose = shelf ? names(shelf, jobs) : [];
  const five = jobs.slice(0, 5);
  const rest = loose.slice(0, 5 - five.length);
  return (
    <Gate ready={ready} fault={fault}>
      {five.length + rest.length === 0 && <Blank kind="empty" title={W.home.noJobs} />}
      <ul class="doors">
        {five.map((j) => (
          <li key={j.id}>
            <JobDoor shelf={shelf!} job={j} />
          </li>
        ))}
        {rest.map((n) => (
          <li key={n.name}>
            <NameDoor {...n} />
          </li>
        ))}
      </ul>
    </Gate>
  );
}
