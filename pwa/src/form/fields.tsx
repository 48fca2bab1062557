import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Field, UnitSystem } from "../engine/contract.gen";
import { Fold } from "../ui/parts";
import { W } from "../text/words";
import { FieldInput } from "./field";
import type { FieldProps } from "./props";
import { blank, filled, type Typed } from "./typed";

/**
 * All fields of a form: the main part open, headed sections folded until something is filled in.
 */
export function Fields({
  fields,
  values,
  faultOf,
  wanted,
  put,
  ...rest
}: Pick<FieldProps, "prefix" | "unit" | "explain" | "offers"> & {
  fields: readonly Field[];
  values: Readonly<Record<string, Typed>>;
  faultOf: (key: string) => string;
  /** A field that something is missing in. */
  wanted?: string | undefined;
  put: (f: Field, v: Typed) => void;
}) {
  const headings = [...new Set(["", ...fields.map((f) => f.section ?? "")])];
  return (
    <>
      {headings.map((heading) => {
        const mine = fields.filter((f) => (f.section ?? "") === heading);
        const body = (
          <div class="fields">
            {mine.map((f) => (
              <FieldInput
                key={f.key}
                {...rest}
                f={f}
                value={values[f.key] ?? (rest.offers ? blank(f) : "")}
                fault={faultOf(f.key)}
                set={(v) => put(f, v)}
              />
            ))}
          </div>
        );
        if (heading === "") return <div key="">{body}</div>;
        const open = mine.some(
          (f) => faultOf(f.key) || f.key === wanted || filled(values[f.key]) || (f.required && !f.default),
        );
        return (
          <Section key={heading} title={heading} open={open}>
            {body}
          </Section>
        );
      })}
    </>
  );
}

/** A folded part of the form; opened by hand or because something in it is filled in or wrong. */
function Section({ title, open, children }: { title: string; open: boolean; children: ComponentChildren }) {
  const [wanted, setWanted] = useState(open);
  const before = useRef(open);
  useEffect(() => {
    if (open && !before.current) setWanted(true);
    before.current = open;
  }, [open]);
  return (
    <Fold title={title} open={wanted} onToggle={setWanted}>
      {children}
    </Fold>
  );
}

/** What a bare number means, and whether the fields are explained. */
export function UnitLine({
  unit,
  change,
  explain,
  setExplain,
}: {
  unit: UnitSystem;
  change?: ((to: UnitSystem) => void) | false;
  explain: boolean;
  setExplain: (on: boolean) => void;
}) {
  return (
    <div class="unit-line">
      <span>{W.sheet.unitSwitch(unit)}</span>
      {change && (
        <button type="button" class="chip" onClick={() => change(unit === "in" ? "mm" : "in")}>
          {unit === "in" ? "in → mm" : "mm → in"}
        </button>
      )}
      <button type="button" class="chip" aria-pressed={explain} onClick={() => setExplain(!explain)}>
        {W.sheet.explain}
      </button>
    </div>
  );
}
