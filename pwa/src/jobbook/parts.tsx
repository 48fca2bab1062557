import type { ComponentChildren } from "preact";
import type { Option } from "../engine/contract.gen";
import { Labelled, type Around, type Typed } from "../ui/controls";

/** A section of a page under its heading. */
export function Card({
  title,
  kind = "",
  ...rest
}: {
  title: string;
  kind?: string;
  id?: string;
  "aria-live"?: "polite";
  children: ComponentChildren;
}) {
  return (
    <section {...rest} class={`card ${kind}`.trim()} aria-label={title}>
      <h2>{title}</h2>
      {rest.children}
    </section>
  );
}

/** A select: one option of a list, or none. */
export function Choice({
  none,
  options,
  value,
  set,
  ...around
}: Around & Typed & { none: string; options: Option[] }) {
  return (
    <Labelled {...around}>
      <select id={around.id} value={value} onChange={(e) => set(e.currentTarget.value)}>
        <option value="">{none}</option>
        {options.map((o) => (
          <option key={o.key} value={o.key}>
            {o.label}
          </option>
        ))}
      </select>
    </Labelled>
  );
}
