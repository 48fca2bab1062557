import { nameOf } from "../records/fields";
import { recordHref } from "../screen/route";
import { useApp, useLoaded, useTitle, when } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { B } from "../text/jobbook";
import { saying } from "./saying";
import { Gate, tell, useKinds, useRepository, useWho } from "./use";

/** Every change to a record: what, when, by whom. An earlier value can be restored. */
export function History({ id }: { id: string }) {
  const { say } = useApp();
  const { repo, ready, fault } = useRepository(
    id.slice(0, id.indexOf(":")),
    "machine",
    "fixture",
    "gauge",
    "job",
    "setup",
  );
  const { kinds } = useKinds(repo);
  const who = useWho();
  const rec = repo?.get(id);
  useTitle(rec ? `${B.history}: ${nameOf(rec)}` : "");
  const { value: list, fault: trouble } = useLoaded(
    () => (ready ? repo?.history(id) : undefined),
    [repo, ready, id, rec?.changed],
  );
  const fields = kinds.find((k) => k.key === rec?.kind)?.fields ?? [];
  if (ready && !rec) return <Blank kind="empty" title={B.gone} help={B.goneHelp} />;
  return (
    <Gate ready={ready && !!list} fault={fault || trouble}>
      <div class="narrow">
        <p class="quiet">{B.past.intro}</p>
        <section class="card">
          <ol class="past" reversed>
            {[...(list ?? [])].reverse().map((p) => {
              const f = fields.find((x) => x.key === p.field.split("#")[0]);
              const said = p.field === "gone" ? "" : saying(f, p.v, p.unit, repo);
              return (
                <li key={p.id + p.field}>
                  <p>
                    <b>{p.label}</b>{" "}
                    {p.v === null ? B.past.cleared : <span class={f?.units ? "num" : ""}>{said}</span>}
                    {p.field === "gone" && p.v === true && B.remove.toLowerCase()}
                  </p>
                  <small class="quiet">
                    {when(p.at)} · {who(p.by)}
                    {p.current && ` · ${B.past.now}`}
                  </small>
                  {!p.current && !rec?.newer && p.field !== "gone" && (
                    <Button
                      class="chip"
                      label={B.past.bring}
                      act={() => {
                        const unit = p.unit === "in" || p.unit === "mm" ? p.unit : undefined;
                        const now = (list ?? []).filter((x) => x.field === p.field && x.current);
                        const shown = {
                          id,
                          heads: { [p.field]: now.map((x) => x.id) },
                          clashes: rec?.clashes ?? [],
                        };
                        tell(say, repo!.change(shown, { [p.field]: p.v }, unit), B.past.brought);
                      }}
                    />
                  )}
                </li>
              );
            })}
          </ol>
        </section>
        <p class="foot-links">
          <Button label={B.form.drop} href={recordHref(id)} />
        </p>
      </div>
    </Gate>
  );
}
