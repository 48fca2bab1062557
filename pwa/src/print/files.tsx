import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { csvFile, exportRecords, importRecords, rescueRecords, type Report } from "../records/transfer";
import { download, handOver } from "../records/handover";
import { nameOf } from "../records/fields";
import { book, href, recordHref } from "../screen/route";
import { useApp, words } from "../screen/context";
import { FaultLine } from "../ui/parts";
import { P } from "../text/paper";
import { DemoKeys } from "../jobbook/demo";
import { Gate, useKinds, useRepository } from "../jobbook/use";

const F = P.files;

/** Export and import without a network: everything, one job, one table. */
export function Files({ more }: { more: Record<string, string> }) {
  const { book: records, bridge, say } = useApp();
  const { kinds } = useKinds(records?.repo);
  const { repo, fault } = useRepository(...kinds.map((k) => k.key));
  const [going, setGoing] = useState("");
  const [trouble, setTrouble] = useState("");
  const [report, setReport] = useState<Report>();
  const [made, setMade] = useState<{ file: File; records: number }>();
  const pick = useRef<HTMLInputElement>(null);
  const job = repo?.get(more["job"] ?? "");
  const tell = (done: number, all: number) => setGoing(F.working(done, all));
  const work = (failed: string, run: () => Promise<void>) => {
    if (going) return;
    setGoing("…");
    setTrouble("");
    run()
      .catch((err: unknown) => setTrouble(`${failed} ${words(err)}`))
      .finally(() => setGoing(""));
  };
  const save = (one?: string) =>
    work(F.exportFailed, async () => {
      // Rules that have stopped do not answer: the file is then made without them.
      const make = () =>
        bridge.state === "stopped"
          ? Promise.reject(new Error(bridge.trouble))
          : exportRecords(repo!, records!.name, new Date(), one, tell);
      const rescue = (err: unknown) => {
        if (one) throw err;
        return rescueRecords(repo!, records!.name);
      };
      const now = made ?? (await make().catch(rescue));
      const handed = await handOver(now.file);
      setMade(handed === "again" ? now : undefined);
      if (handed === "shared") say(F.shared(now.file.name));
      if (handed === "saved") say(F.saved(now.file.name, now.records));
    });
  // From the key that says so: at once, while the browser still takes the touch for what it hands over.
  const once = useRef(!!more["now"]);
  const whole = !!repo && kinds.length > 0 && repo.ready(...kinds.map((k) => k.key));
  useEffect(() => {
    if (!once.current || !whole) return;
    once.current = false;
    history.replaceState(history.state, "", book("files"));
    save();
    // eslint-disable-next-line react-hooks/exhaustive-deps -- saved once
  }, [whole]);
  const read = (file: File | undefined) => {
    if (!file) return;
    setReport(undefined);
    work(F.importFailed, async () => setReport(await importRecords(repo!, file, tell)));
  };
  return (
    <Gate ready={!!repo} fault={fault}>
      <div class="narrow">
        <FaultLine id="file-fault" text={trouble || undefined} />
        <p role="status">{going}</p>
        <section class="card">
          <h2>{F.all}</h2>
          <p class="quiet">{F.allHelp}</p>
          {made && <p>{F.again}</p>}
          <div class="form-foot">
            <button type="button" class="button go" disabled={!!going} onClick={() => save()}>
              {made ? F.now : F.save}
            </button>
            {job && !made && (
              <button type="button" class="button" disabled={!!going} onClick={() => save(job.id)}>
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
              accept=".json,.txt,application/json,text/plain"
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
            {kinds.map((kind) => {
              const n = repo!.all(kind.key).length;
              return (
                <li key={kind.key}>
                  <b>{kind.plural}</b> <span class="quiet">{n || F.empty}</span>
                  {n > 0 && (
                    <div class="foot-links">
                      {kind.tables.map((t) => (
                        <button
                          key={t.key}
                          type="button"
                          class="button"
                          disabled={!!going}
                          onClick={() =>
                            work(F.exportFailed, async () => download(await csvFile(repo!, kind.key, t.key)))
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

/** Result of an import: counts, clashes to settle, what was left out and why. */
function Told({ report }: { report: Report }) {
  const list = (says: string, rows: ComponentChildren[]) =>
    rows.length > 0 && (
      <>
        <p>{says}</p>
        <ul>
          {rows.slice(0, 50).map((row, i) => (
            <li key={i}>{row}</li>
          ))}
        </ul>
      </>
    );
  return (
    <div class="told" role="status">
      <p>
        <b>{F.report(report)}</b>
      </p>
      {list(
        F.clashes(report.clashes.length),
        report.clashes.map((c) => (
          <>
            <a class="way" href={recordHref(c.id)}>
              {c.id}
            </a>
            : {c.fields.join(", ")}
          </>
        )),
      )}
      {list(
        F.look(report.look.length),
        report.look.map((r) => `${r.field}: ${r.message}`),
      )}
      {list(
        F.refused(report.refused.length),
        report.refused.map((r) => `${r.field}: ${r.message}`),
      )}
    </div>
  );
}
