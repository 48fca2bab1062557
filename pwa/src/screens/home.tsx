import { useEffect, useState } from "preact/hooks";
import { loadDraft } from "../book/draft";
import { href } from "../first/route";
import { useApp, useLoaded } from "../ui/app";
import { Blank } from "../ui/parts";
import { W } from "../words/words";
import { InstallHint } from "./install";

/** Worksheets by the question they answer, and the jobs used last. */
export function Home() {
  const { describe, describeFault, again, book, bookFault } = useApp();
  const [round, next] = useState(0);
  useEffect(() => book?.watch(() => next((n) => n + 1)), [book]);
  const jobs = useLoaded(() => book?.jobs(), [book, round]);
  const some = jobs.value?.slice(0, 5) ?? [];
  return (
    <div class="home">
      <div>
        <h2 class="lead">{W.home.title}</h2>
        {describeFault ? (
          <Blank kind="broken" title={W.home.failed} help={describeFault}>
            <button type="button" class="button go" onClick={again}>
              {W.home.again}
            </button>
          </Blank>
        ) : !describe ? (
          <Blank kind="loading" title={W.home.loading} />
        ) : (
          describe.groups.map((g) => {
            const sheets = describe.worksheets.filter((s) => s.group === g.key);
            return sheets.length === 0 ? null : (
              <section key={g.key} class="group">
                <h3>{g.title}</h3>
                <ul class="doors">
                  {sheets.map((s) => (
                    <li key={s.name}>
                      <a class="door" href={href({ page: "sheet", sheet: s.name })}>
                        <b>{s.title}</b>
                        <span>{s.question}</span>
                        {loadDraft(s.name) && <em>{W.home.draft}</em>}
                      </a>
                    </li>
                  ))}
                </ul>
              </section>
            );
          })
        )}
      </div>
      <div>
        <h2 class="lead">{W.home.jobs}</h2>
        {bookFault || jobs.fault ? (
          <Blank kind="broken" title={W.jobs.failed} help={bookFault || jobs.fault} />
        ) : jobs.loading ? (
          <Blank kind="loading" title={W.jobs.loading} />
        ) : some.length === 0 ? (
          <Blank kind="empty" title={W.home.noJobs} />
        ) : (
          <ul class="doors">
            {some.map((j) => (
              <li key={j.job}>
                <a class="door" href={href({ page: "job", job: j.job })}>
                  <b>{j.job}</b>
                  <span>{W.home.records(j.count)}</span>
                </a>
              </li>
            ))}
          </ul>
        )}
        <p class="foot-links">
          {(jobs.value?.length ?? 0) > some.length && (
            <a class="button" href={href({ page: "jobs" })}>
              {W.home.allJobs}
            </a>
          )}
          <a class="button" href={href({ page: "checked" })}>
            {W.nav.checked}
          </a>
        </p>
        <InstallHint />
      </div>
    </div>
  );
}
