import { useState } from "preact/hooks";
import { byMade, nameOf, text } from "../records/fields";
import type { Shelf } from "../records/repository";
import type { UnitSystem, RecordField } from "../engine/contract.gen";
import { book } from "../screen/route";
import { useApp } from "../screen/context";
import { FaultLine } from "../ui/parts";
import { B } from "../text/jobbook";
import { Field } from "./field";
import { inputOf, type Typed, type TypedRow } from "./formlogic";

export interface RecFieldProps {
  f: RecordField;
  value: Typed;
  unit: UnitSystem;
  fault: string;
  explain: boolean;
  shelf: Shelf;
  prefix: string;
  set: (v: Typed) => void;
}

/** One field of a record, drawn by its type. */
export function RecField(p: RecFieldProps) {
  const { f, value, set } = p;
  const id = `${p.prefix}-${f.key}`;
  if (f.type === "table") return <Rows {...p} id={id} />;
  const typed = typeof value === "string" ? value : "";
  switch (f.type) {
    case "long":
      return <LongField {...p} id={id} typed={typed} />;
    case "date":
      return <DateField {...p} id={id} typed={typed} />;
    case "sheet":
      return <SheetField {...p} id={id} typed={typed} />;
    case "link":
      return <LinkField {...p} id={id} typed={typed} />;
    default: {
      const field = (
        <Field
          sheet={p.prefix}
          input={inputOf(f)}
          unit={p.unit}
          value={typed}
          fault={p.fault}
          explain={p.explain}
          set={set}
        />
      );
      const roomy = f.type === "list" || (f.type === "text" && (f.most ?? 0) > 80);
      return roomy ? <div class="roomy">{field}</div> : field;
    }
  }
}

type One = RecFieldProps & { id: string; typed: string };

function Under({ id, f, fault, explain }: { id: string; f: RecordField; fault: string; explain: boolean }) {
  return (
    <>
      {explain && f.help && (
        <p class="help" id={`${id}-help`}>
          {f.help}
        </p>
      )}
      <FaultLine id={`${id}-fault`} text={fault || undefined} />
    </>
  );
}

function LongField({ f, id, typed, fault, explain, set }: One) {
  return (
    <div class={`field-wrap wide${fault ? " wrong" : ""}`}>
      <div class="field tall">
        <label for={id}>{f.label}</label>
        <textarea
          id={id}
          rows={3}
          value={typed}
          maxLength={f.most ?? 8000}
          placeholder={f.example ?? ""}
          aria-invalid={fault ? "true" : undefined}
          aria-describedby={fault ? `${id}-fault` : undefined}
          onInput={(e) => set(e.currentTarget.value)}
        />
      </div>
      <Under id={id} f={f} fault={fault} explain={explain} />
    </div>
  );
}

/** The phone's own way of choosing a day; a time that stands behind the day stays as it is until changed. */
function DateField({ f, id, typed, fault, explain, set }: One) {
  const plain = typed.length <= 10;
  return (
    <div class={`field-wrap${fault ? " wrong" : ""}`}>
      <div class="field">
        <label for={id}>{f.label}</label>
        <input
          id={id}
          {...(plain ? { type: "date" as const } : { type: "text" as const, placeholder: B.form.date })}
          value={typed}
          aria-invalid={fault ? "true" : undefined}
          aria-describedby={fault ? `${id}-fault` : undefined}
          onInput={(e: { currentTarget: HTMLInputElement }) => set(e.currentTarget.value)}
        />
      </div>
      <Under id={id} f={f} fault={fault} explain={explain} />
    </div>
  );
}

/** A worksheet by its title; a name that this app does not know stays as it is. */
function SheetField({ f, id, typed, fault, explain, set }: One) {
  const { describe } = useApp();
  const list = describe?.worksheets ?? [];
  return (
    <div class={`field-wrap${fault ? " wrong" : ""}`}>
      <div class="field">
        <label for={id}>{f.label}</label>
        <select
          id={id}
          value={typed}
          aria-invalid={fault ? "true" : undefined}
          aria-describedby={fault ? `${id}-fault` : undefined}
          onChange={(e) => set(e.currentTarget.value)}
        >
          <option value="">{B.form.none}</option>
          {typed && !list.some((s) => s.name === typed) && <option value={typed}>{typed}</option>}
          {describe?.groups.map((g) => (
            <optgroup key={g.key} label={g.title}>
              {list
                .filter((s) => s.group === g.key)
                .map((s) => (
                  <option key={s.name} value={s.name}>
                    {s.title}
                  </option>
                ))}
            </optgroup>
          ))}
        </select>
      </div>
      <Under id={id} f={f} fault={fault} explain={explain} />
    </div>
  );
}

function LinkField({ f, id, typed, fault, explain, set, shelf }: One) {
  const kinds = f.of ?? [];
  const list = kinds.flatMap((k) => shelf.all(k)).sort((a, b) => byMade(b, a));
  const there = list.some((r) => r.id === typed);
  return (
    <div class={`field-wrap${fault ? " wrong" : ""}`}>
      <div class="field">
        <label for={id}>{f.label}</label>
        <select
          id={id}
          value={typed}
          aria-invalid={fault ? "true" : undefined}
          aria-describedby={fault ? `${id}-fault` : undefined}
          onChange={(e) => set(e.currentTarget.value)}
        >
          <option value="">{list.length === 0 ? B.form.pickNone(f.label.toLowerCase()) : B.form.none}</option>
          {typed && !there && <option value={typed}>{B.form.gone}</option>}
          {list.map((r) => (
            <option key={r.id} value={r.id}>
              {nameOf(r) || B.unnamed}
              {text(r, "tag") ? ` (${text(r, "tag")})` : ""}
            </option>
          ))}
        </select>
      </div>
      {list.length === 0 && kinds[0] && !["job", "setup", "step", "part"].includes(kinds[0]) && (
        <a class="chip" href={book("new", kinds[0])}>
          {B.form.make(f.label)}
        </a>
      )}
      <Under id={id} f={f} fault={fault} explain={explain} />
    </div>
  );
}

/** A table's rows: those so far to read and touch, and one open with its fields. */
function Rows(p: RecFieldProps & { id: string }) {
  const { f, fault, explain, set, id } = p;
  const list: TypedRow[] = typeof p.value === "string" ? [] : p.value;
  const [open, setOpen] = useState(-1);
  const now: TypedRow | undefined = open < 0 ? undefined : (list[open] ?? { row: "", cells: {} });
  const put = (key: string, v: string) => {
    if (!now) return;
    const next = [...list];
    next[open] = { ...now, cells: { ...now.cells, [key]: v } };
    set(next);
  };
  return (
    <fieldset class="rows field-wrap wide" aria-describedby={fault ? `${id}-fault` : undefined}>
      <legend>{f.label}</legend>
      {explain && f.help && <p class="help">{f.help}</p>}
      {list.length > 0 && (
        <ol class="row-list">
          {list.map((row, i) => (
            <li key={row.row || i} class={i === open ? "open" : ""}>
              <button type="button" class="row-text" onClick={() => setOpen(i === open ? -1 : i)}>
                <span class="unseen">{B.form.changeRow(f.label, i + 1)}</span>
                <span class="row-n" aria-hidden="true">
                  {i + 1}
                </span>
                {(f.columns ?? [])
                  .filter((c) => row.cells[c.key])
                  .map((c) => (
                    <span key={c.key} class="row-cell">
                      <small>{c.label}</small>{" "}
                      <span class={c.bare ? "num" : ""}>
                        {c.options?.find((o) => o.key === row.cells[c.key])?.label ?? row.cells[c.key]}
                      </span>
                    </span>
                  ))}
              </button>
              <button
                type="button"
                class="square"
                aria-label={B.form.removeRow(f.label, i + 1)}
                onClick={() => {
                  setOpen(-1);
                  set(list.filter((_, j) => j !== i));
                }}
              >
                ✕
              </button>
            </li>
          ))}
        </ol>
      )}
      {now && (
        <div class="row-open">
          <p class="row-title">{B.form.row(f.label, open + 1)}</p>
          <div class="fields">
            {(f.columns ?? []).map((c) => (
              <RecField
                key={c.key}
                {...p}
                prefix={`${id}-${open}`}
                f={c}
                fault=""
                value={now.cells[c.key] ?? ""}
                set={(v) => put(c.key, typeof v === "string" ? v : "")}
              />
            ))}
          </div>
        </div>
      )}
      <div class="chips">
        {now && (
          <button type="button" class="chip" onClick={() => setOpen(-1)}>
            {B.form.rowDone}
          </button>
        )}
        <button type="button" class="chip" onClick={() => setOpen(list.length)}>
          {B.form.addRow}
        </button>
      </div>
      <FaultLine id={`${id}-fault`} text={fault || undefined} />
    </fieldset>
  );
}
