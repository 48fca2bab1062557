import type { Field } from "../engine/contract.gen";
import { href } from "../screen/route";
import { useApp } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { usePrefs } from "../screen/prefs";
import { W } from "../text/words";
import { Sources } from "./answer";

/** What a worksheet asks, gives and rests on, written from its description. */
export function Reference({ name }: { name: string }) {
  const { describe, describeFault } = useApp();
  const { unit } = usePrefs();
  if (describeFault) return <Blank kind="broken" title={W.home.failed} help={describeFault} />;
  if (!describe) return <Blank kind="loading" title={W.home.loading} />;
  const sheet = describe.worksheets.find((s) => s.name === name);
  if (!sheet) return <Blank kind="empty" title={W.sheet.missing(name)} help={W.sheet.missingHelp} />;
  const facts = (i: Field): string[] =>
    [
      i.required ? W.sheet.required : "",
      i.units?.[unit] ? W.reference.bare(i.units[unit]) : "",
      W.reference.limits(i.min ?? "", i.max ?? ""),
      i.default ? W.sheet.unset(i.default) : "",
      i.example ? W.sheet.like(i.example) : "",
      ...(i.words ?? []).map((w) => `${W.reference.or} ${w.key}: ${w.label}`),
    ].filter(Boolean);
  const example = sheet.inputs
    .flatMap(({ required, key, example = "" }) =>
      required && example ? [` ${key}=${/[\s;#"'&]/.test(example) ? `"${example}"` : example}`] : [],
    )
    .join("");
  return (
    <div class="narrow reference">
      <section class="card">
        <p class="question">{sheet.question}</p>
        {sheet.about.map((p, i) => (
          <p key={i}>{p}</p>
        ))}
        <div class="form-foot">
          <Button go label={W.reference.use} href={href({ page: "sheet", sheet: name })} />
        </div>
      </section>
      <section class="card">
        <h2>{W.reference.inputs}</h2>
        <dl class="entries">
          {sheet.inputs.map((i) => (
            <div key={i.key}>
              <dt>
                {i.label} <code>{i.key}</code>
              </dt>
              <dd>
                {i.help && <p>{i.help}</p>}
                <p class="quiet">{facts(i).join("; ")}</p>
                {(i.options ?? []).length > 0 && (
                  <p class="quiet">{i.options!.map((o) => `${o.key} (${o.label})`).join(", ")}</p>
                )}
                {(i.columns ?? []).length > 0 && (
                  <p class="quiet">
                    {i.columns!.map((c) => [c.label, c.units?.[unit]].filter(Boolean).join(" ")).join(", ")}
                  </p>
                )}
              </dd>
            </div>
          ))}
        </dl>
      </section>
      <section class="card">
        <h2>{W.reference.results}</h2>
        <dl class="entries">
          {sheet.results.map((r) => (
            <div key={r.key}>
              <dt>
                {r.label} <code>{r.key}</code>
              </dt>
              {r.help && <dd>{r.help}</dd>}
            </div>
          ))}
        </dl>
      </section>
      <section class="card">
        <h2>{W.reference.script}</h2>
        <pre>
          <code>
            datumbook calc {sheet.name}
            {example} --json
          </code>
        </pre>
      </section>
      {sheet.sources.length > 0 && (
        <section class="card">
          <h2>{W.sheet.sources}</h2>
          <Sources list={sheet.sources} />
        </section>
      )}
    </div>
  );
}
