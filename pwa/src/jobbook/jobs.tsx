import { Fragment } from "preact";
import { useState } from "preact/hooks";
import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { Button, TextField } from "../ui/controls";
import { Blank, LinkCard, LinkList } from "../ui/parts";
import { B } from "../text/jobbook";
import { dateWords, dots, W } from "../text/words";
import { LookDoor } from "./look";
import { setupsOf } from "./setups";
import { Gate, storeFault, useRepository } from "./use";

/** Names that answers were kept under, and that no job record has. */
function names(repo: Repository, jobs: readonly Rec[]): { name: string; count: number }[] {
  const known = new Set(jobs.map((j) => text(j, "name").toLowerCase()));
  const counts = new Map<string, number>();
  for (const k of repo.all("kept").sort((a, b) => byMade(b, a))) {
    const name = text(k, "jobname");
    if (!name || text(k, "job") || known.has(name.toLowerCase())) continue;
    counts.set(name, (counts.get(name) ?? 0) + 1);
  }
  return [...counts].map(([name, count]) => ({ name, count }));
}

function JobDoor({ repo, job }: { repo: Repository; job: Rec }) {
  const setups = setupsOf(repo, job.id);
  const state = text(job, "state");
  const due = text(job, "due");
  return (
    <LinkCard
      href={href({ page: "job", job: job.id })}
      state={state}
      name={nameOf(job) || B.unnamed}
      lines={[dots(text(job, "customer"), text(job, "drawing"), due && dateWords(due))]}
      foot={dots(state, setups.length > 0 && B.job.countSetups(setups.length), job.demo && B.mill.invented)}
    />
  );
}

function NameDoor({ name, count }: { name: string; count: number }) {
  return <LinkCard href={href({ page: "job", job: name })} name={name} lines={[W.home.records(count)]} />;
}

/** All jobs, the one touched last first; then the names that answers were kept under. */
export function Jobs() {
  const { say } = useApp();
  const { repo, ready, fault } = useRepository("job", "setup", "kept");
  const [find, setFind] = useState("");
  const jobs = (repo?.all("job") ?? []).sort((a, b) => (a.changed < b.changed ? 1 : -1));
  const loose = repo ? names(repo, jobs) : [];
  const wanted = find.trim().toLowerCase();
  const shown = jobs.filter((j) =>
    `${nameOf(j)} ${text(j, "customer")} ${text(j, "drawing")}`.toLowerCase().includes(wanted),
  );
  const others = loose.filter((n) => n.name.toLowerCase().includes(wanted));
  return (
    <Gate ready={ready} fault={fault}>
      <div class="narrow">
        <p class="foot-links">
          <Button go label={W.home.newSetup} href={book("begin")} />
          <Button label={B.mill.newJob} href={book("new", "job")} />
        </p>
        <LookDoor repo={repo} />
        {jobs.length + loose.length === 0 && (
          <Blank kind="empty" title={W.jobs.empty} help={B.mill.firstHelp} />
        )}
        {jobs.length + loose.length > 5 && (
          <TextField id="find-job" search label={W.jobs.find} value={find} set={setFind} />
        )}
        {wanted && shown.length + others.length === 0 && (
          <Blank kind="empty" title={W.jobs.none(find.trim())} />
        )}
        <LinkList>
          {shown.slice(0, 300).map((j) => (
            <JobDoor key={j.id} repo={repo!} job={j} />
          ))}
        </LinkList>
        {others.length > 0 && (
          <>
            <h2>{B.job.names}</h2>
            <p class="quiet">{B.job.namesHelp}</p>
            <LinkList line="start-line">
              {others.slice(0, 300).map((n) => (
                <Fragment key={n.name}>
                  <NameDoor {...n} />
                  <Button
                    label={B.job.makeRecord}
                    act={() => {
                      repo!.make("job", { name: n.name, state: "planned" }).then(
                        (j) => (location.hash = href({ page: "job", job: j.id })),
                        (err: unknown) => say(storeFault(err)),
                      );
                    }}
                  />
                </Fragment>
              ))}
            </LinkList>
          </>
        )}
        <p class="quiet">{W.jobs.archived}</p>
      </div>
    </Gate>
  );
}
