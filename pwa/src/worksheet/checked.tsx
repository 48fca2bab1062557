import { useState } from "preact/hooks";
import type { Check } from "../engine/contract.gen";
import { useApp, useLoaded } from "../screen/context";
import { TextField } from "../ui/controls";
import { Blank, Fold, Sign } from "../ui/parts";
import { W } from "../text/words";

/**
 * 'What this was checked against': every published value, and what this version's calculations make
 * of it.
 */
export function Checked() {
  const { bridge, describe } = useApp();
  const [find, setFind] = useState("");
  const rows = useLoaded(() => bridge.checks(), [bridge]);
  if (rows.fault) return <Blank kind="broken" title={W.checked.failed} help={rows.fault} />;
  if (!rows.value) return <Blank kind="loading" title={W.checked.loading} />;
  const all = rows.value;
  if (all.length === 0) return <Blank kind="empty" title={W.checked.none} />;
  const wanted = find.trim().toLowerCase();
  const list = wanted ? all.filter((r) => `${r.what} ${r.source}`.toLowerCase().includes(wanted)) : all;
  const sheets = [...new Set(all.map((r) => r.sheet))];
  const title = (name: string): string => describe?.worksheets.find((s) => s.name === name)?.title ?? name;
  return (
    <div class="narrow">
      <section class="card">
        <p>{W.checked.intro}</p>
        <Tally rows={all} />
      </section>
      <TextField id="find-check" search label={W.checked.filter} value={find} set={setFind} />
      {sheets.map((name) => {
        const mine = list.filter((r) => r.sheet === name);
        return mine.length === 0 ? null : (
          <Fold
            key={name}
            title={`${title(name)} (${mine.length})`}
            open={wanted !== "" || mine.some((r) => !r.pass)}
          >
            <ul class="checks">
              {[...mine]
                .sort((a, b) => Number(a.pass) - Number(b.pass))
                .map((r, i) => (
                  <li key={i}>
                    <Sign level={r.pass ? "good" : "refuse"} size={22} />
                    <div>
                      <p>
                        {r.what} <span class="quiet">{r.pass ? W.checked.pass : W.checked.fail}</span>
                      </p>
                      <p class="num">
                        {W.checked.printed} {r.expected} · {W.checked.here} {r.got} · {W.checked.within}{" "}
                        {r.tolerance} {r.unit}
                      </p>
                      <p class="quiet">
                        {r.source}
                        {r.provenance && ` (${r.provenance})`}
                      </p>
                    </div>
                  </li>
                ))}
            </ul>
          </Fold>
        );
      })}
    </div>
  );
}

function Tally({ rows }: { rows: Check[] }) {
  const pass = rows.filter((r) => r.pass).length;
  const good = pass === rows.length;
  return (
    <p class="tally">
      <Sign level={good ? "good" : "refuse"} size={32} /> <b>{W.checked.tally(pass, rows.length)}</b>
    </p>
  );
}
