import { useRef, useState } from "preact/hooks";
import {
  csvFile,
  download,
  exportRecords,
  holdsRecords,
  importRecords,
  tablesOf,
  type Report,
} from "../records/transfer";
import { nameOf } from "../records/fields";
import { href } from "../screen/route";
import { useApp, words } from "../screen/context";
import { FaultLine } from "../ui/parts";
import { P } from "../text/paper";
import { DemoKeys } from "../jobbook/demo";
import { recordHref } from "../jobbook/facts";
import { Gate, useKinds, useShelf } from "../jobbook/use";
import { kindsRead } from "./gather";

const F = P.files;

/** The ways out and in that need no network: one file, one job, one table. */
export function Files({ more }: { more: Record<string, string> }) {
  const { book, say } = useApp();
  const { shelf, ready, fault } = useShelf(...kindsRead, "set");
  const { kinds } = useKinds(shelf);
  const [going, setGoing] = useState("");
  const [trouble, setTrouble] = useState("");
  const [report, setReport] = useState<Report>();
  const pick = useRef<HTMLInputElement>(null);
  const job = shelf?.get(more["job"] ?? "");
  const tell = (done: number, all: number) => setGoing(F.working(done, all));
  const work = (failed: string, run: () => Promise<void>) => {
    if (going) return;
    setGoing("…");
    setTrouble("");
    run()
      .catch((err: unknown) => setTrouble(`${failed} ${words(err)}`))
      .finally(() => setGoing(""));
  };
  const save = (one?: { id: string; name: string }) =>
    work(F.exportFailed, async () => {
      let made;
      try {
        made = await exportRecords(shelf!, book!.name, new Date(), one, tell);
      } catch (err) {
        if (one) throw err;
        // Without the calculations the records still get out, in the form that replication has.
        const file = await book!.exportAll();
        download(file);
        say(F.exported(file.name));
        return;
      }
      download(made.file);
      say(F.saved(made.file.name, made.records));
    });
  const read = (file: File | undefined) => {
    if (!file) return;
    setReport(undefined);
    work(F.importFailed, async () => {
      if (await holdsRecords(file)) setReport(await importRecords(shelf!, await file.text(), tell));
      else {
        const r = await book!.importAll(file);
        say(F.imported(r.added, r.already));
      }
    });
  };
  return (
    <Gate ready={ready} fault={fault}>
      <div class="narrow">
        <FaultLine id="file-fault" text={trouble || undefined} />
        <p role="status">{going}</p>
        <section class="card">
          <h2>{F.all}</h2>
          <p class="quiet">{F.allHelp}</p>
          <div class="form-foot">
            <button type="button" class="button go" disabled={!!going} onClick={() => save()}>
              {F.save}
            </button>
            {job && (
              <button
                type="button"
                class="button"
                disabled={!!going}
                onClick={() => save({ id: job.id, name: nameOf(job) })}
              >
                {F.saveJob}
              </button>
            )}
          </div>
          {job && (
            <p>
              <a class="way" href={href({ page: "job", job: job.id })}>
                {nameOf(job)}
              </a>
            </p>
          )}
        </section>
        <section class="card">
          <h2>{F.read}</h2>
          <p class="quiet">{F.readHelp}</p>
          <div class="form-foot">
            <button type="button" class="button" disabled={!!going} onClick={() => pick.current?.click()}>
              {F.read}
            </button>
            <input
              ref={pick}
              class="hidden"
              type="file"
              accept=".json,application/json"
              aria-label={F.read}
              tabIndex={-1}
              onChange={(e) => {
                read(e.currentTarget.files?.[0]);
                e.currentTarget.value = "";
              }}
            />
          </div>
          {report && <Told report={report} />}
        </section>
        <section class="card">
          <h2>{F.tables}</h2>
          <p class="quiet">{F.tablesHelp}</p>
          <ul class="file-list">
            {tablesOf(kinds).map(({ kind, tables }) => {
              const n = shelf!.all(kind.key).length;
              return (
                <li key={kind.key}>
                  <b>{kind.plural}</b> <span class="quiet">{n || F.empty}</span>
                  {n > 0 && (
                    <div class="foot-links">
                      {[{ key: "", label: kind.plural }, ...tables].map((t) => (
                        <button
                          key={t.key}
                          type="button"
                          class="button"
                          disabled={!!going}
                          onClick={() =>
                            work(F.exportFailed, async () => download(await csvFile(shelf!, kind.key, t.key)))
                          }
                        >
                          {t.label}
                        </button>
                      ))}
                    </div>
                  )}
                </li>
              );
            })}
          </ul>
        </section>
        <section class="card">
          <h2>{F.demo}</h2>
          <p class="quiet">{F.demoWeight}</p>
          <DemoKeys />
        </section>
      </div>
    </Gate>
  );
}

/** What reading a file in did: counts, what there is to choose, what was left out and why. */
function Told({ report }: { report: Report }) {
  return (
    <div class="told" role="status">
      <p>
        <b>{F.report(report)}</b>
      </p>
      {report.clashes.length > 0 && (
        <>
          <p>{F.clashes(report.clashes.length)}</p>
          <ul>
            {report.clashes.slice(0, 50).map((c) => (
              <li key={c.id}>
                <a class="way" href={recordHref(c.id)}>
                  {c.id}
                </a>
                : {c.fields.join(", ")}
              </li>
            ))}
          </ul>
        </>
      )}
      {report.refused.length > 0 && (
        <>
          <p>{F.refused(report.refused.length)}</p>
          <ul>
            {report.refused.slice(0, 50).map((r, i) => (
              <li key={i}>
                {r.field}: {r.message}
              </li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}
