import { useEffect, useState } from "preact/hooks";
import { href } from "../first/route";
import { useApp, useLoaded } from "../ui/app";
import { Blank } from "../ui/parts";
import { W } from "../words/words";

/** All jobs, the one used last first. */
export function Jobs() {
  const { book, bookFault } = useApp();
  const [round, next] = useState(0);
  const [find, setFind] = useState("");
  useEffect(() => book?.watch(() => next((n) => n + 1)), [book]);
  const jobs = useLoaded(() => book?.jobs(), [book, round]);
  if (bookFault || jobs.fault)
    return <Blank kind="broken" title={W.jobs.failed} help={bookFault || jobs.fault} />;
  if (!jobs.value) return <Blank kind="loading" title={W.jobs.loading} />;
  if (jobs.value.length === 0) {
    return (
      <Blank kind="empty" title={W.jobs.empty} help={W.jobs.emptyHelp}>
        <a class="button go" href={href({ page: "home" })}>
          {W.nav.home}
        </a>
      </Blank>
    );
  }
  const wanted = find.trim().toLowerCase();
  const list = jobs.value.filter((j) => j.job.toLowerCase().includes(wanted));
  return (
    <div class="narrow">
      {jobs.value.length > 5 && (
        <div class="field-wrap">
          <div class="field">
            <label for="find-job">{W.jobs.find}</label>
            <input id="find-job" type="search" value={find} onInput={(e) => setFind(e.currentTarget.value)} />
          </div>
        </div>
      )}
      {list.length === 0 && <Blank kind="empty" title={W.jobs.none(find.trim())} />}
      <ul class="doors">
        {list.map((j) => (
          <li key={j.job}>
            <a class="door" href={href({ page: "job", job: j.job })}>
              <b>{j.job}</b>
              <span>{W.home.records(j.count)}</span>
            </a>
          </li>
        ))}
      </ul>
      <p class="quiet">{W.jobs.archived}</p>
    </div>
  );
}
