import { rows, type Rec } from "../records/fields";
import type { Field, RecordKind } from "../engine/contract.gen";
import type { Repository } from "../records/repository";
import { recordHref } from "../screen/route";
import { WideTable } from "../ui/parts";
import { saying } from "./saying";

/** All of a record's fields, by the headings of its form. Empty ones are left out. */
export function Facts({
  repo,
  rec,
  kind,
  hide = [],
}: {
  repo: Repository;
  rec: Rec;
  kind: RecordKind | undefined;
  hide?: readonly string[];
}) {
  const known = new Set(kind?.fields.map((f) => f.key));
  const extra = Object.keys(rec.values).filter((key) => kind && !known.has(key));
  const sections = [...new Set((kind?.fields ?? []).map((f) => f.section ?? ""))];
  return (
    <>
      {sections.map((section) => {
        const fields = (kind?.fields ?? []).filter(
          (f) => (f.section ?? "") === section && !hide.includes(f.key) && rec.values[f.key] !== undefined,
        );
        if (fields.length === 0) return null;
        const tables = fields.filter((f) => f.kind === "table");
        return (
          <div key={section} class="facts">
            {section && <h3>{section}</h3>}
            <dl class="results">
              {fields
                .filter((f) => f.kind !== "table")
                .map((f) => (
                  <div key={f.key} class={f.kind === "long" ? "result block" : "result"}>
                    <dt>{f.label}</dt>
                    <dd class={f.kind === "long" ? "long-words" : f.units ? "num" : ""}>
                      <Value f={f} rec={rec} repo={repo} />
                    </dd>
                  </div>
                ))}
            </dl>
            {tables.map((f) => (
              <FactTable key={f.key} f={f} rec={rec} repo={repo} />
            ))}
          </div>
        );
      })}
      {extra.map((key) => (
        <p key={key} class="quiet">
          {key}: {saying(undefined, rec.values[key], undefined)}
        </p>
      ))}
    </>
  );
}

function Value({ f, rec, repo }: { f: Field; rec: Rec; repo: Repository }) {
  const v = rec.values[f.key];
  if (f.kind === "link" && typeof v === "string")
    return (
      <a class="way" href={recordHref(v)}>
        {saying(f, v, undefined, repo)}
      </a>
    );
  return <>{saying(f, v, rec.units[f.key], repo)}</>;
}

function FactTable({ f, rec, repo }: { f: Field; rec: Rec; repo: Repository }) {
  const list = rows(rec, f.key);
  const columns = (f.columns ?? []).filter((c) =>
    list.some((r) => r[c.key] !== undefined && r[c.key] !== null),
  );
  return (
    <WideTable
      name={f.label}
      caption={f.label}
      heads={columns.map((c) => (
        <th key={c.key} scope="col">
          {c.label}
        </th>
      ))}
    >
      {list.map((r) => (
        <tr key={r.row}>
          {columns.map((c) => (
            <td key={c.key} class={c.units ? "num" : ""} data-name={c.label}>
              {saying(c, r[c.key], r.unit, repo) || "–"}
            </td>
          ))}
        </tr>
      ))}
    </WideTable>
  );
}
