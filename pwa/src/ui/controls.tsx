import type { AllHTMLAttributes, ComponentChildren, RefObject } from "preact";
import { FaultLine } from "./parts";

interface ButtonProps {
  label: ComponentChildren;
  /** Address of a link; without it the control is a button. */
  href?: string;
  act?: () => void;
  /** The page's main action, dyed. */
  go?: boolean;
  submit?: boolean;
  disabled?: boolean;
  /** State of a toggle. */
  pressed?: boolean;
  /** Class in place of a common key's. */
  class?: string;
}

/** A key, or a link that looks like one. */
export function Button({ label, href, act, go, submit, class: looks = "button", ...p }: ButtonProps) {
  const kind = go ? `${looks} go` : looks;
  return href === undefined ? (
    <button
      type={submit ? "submit" : "button"}
      class={kind}
      disabled={p.disabled}
      aria-pressed={p.pressed}
      onClick={act}
    >
      {label}
    </button>
  ) : (
    <a class={kind} href={href}>
      {label}
    </a>
  );
}

/** A form that is handled here and not submitted. */
export function Form({
  act,
  ...rest
}: {
  act: () => void;
  class?: string;
  id?: string;
  children: ComponentChildren;
}) {
  return (
    <form
      {...rest}
      autocomplete="off"
      onSubmit={(e) => {
        e.preventDefault();
        act();
      }}
    />
  );
}

export interface Around {
  id: string;
  label: ComponentChildren;
  /** A name that may take two lines, or a field of several. */
  looks?: "long-name" | "tall";
  unit?: string | false;
  help?: string;
  /** What is wrong with it; the field's border shows it too. */
  fault?: string;
  /** Anything else under it. */
  under?: ComponentChildren;
}

/** A field with its label and unit inside, and help and fault under it. */
export function Labelled(p: Around & { children: ComponentChildren }) {
  return (
    <div class={p.fault ? "field-wrap wrong" : "field-wrap"}>
      <div class={p.looks ? `field ${p.looks}` : "field"}>
        <label for={p.id}>{p.label}</label>
        {p.children}
        {p.unit && (
          <span class="field-unit" aria-hidden="true">
            {p.unit}
          </span>
        )}
      </div>
      {p.help && (
        <p class="help" id={`${p.id}-help`}>
          {p.help}
        </p>
      )}
      <FaultLine id={`${p.id}-fault`} text={p.fault} />
      {p.under}
    </div>
  );
}

type Attributes = AllHTMLAttributes<HTMLInputElement>;
type Typing = Pick<Attributes, "class" | "maxLength" | "placeholder" | "inputMode"> &
  Pick<Attributes, "autocomplete" | "autocapitalize" | "spellcheck" | "enterkeyhint"> &
  Pick<Attributes, "aria-invalid" | "aria-describedby">;

export interface Typed {
  value: string;
  set: (text: string) => void;
}

/** A line of text. */
export function TextField({
  id,
  label,
  looks,
  unit,
  help,
  fault,
  under,
  set,
  field,
  search,
  ...rest
}: Around & Typing & Typed & { field?: RefObject<HTMLInputElement | null>; search?: boolean }) {
  return (
    <Labelled {...{ id, label, looks, unit, help, fault, under }}>
      <input
        {...rest}
        ref={field}
        id={id}
        {...(search ? { type: "search" as const } : { type: "text" as const })}
        onInput={(e: { currentTarget: HTMLInputElement }) => set(e.currentTarget.value)}
      />
    </Labelled>
  );
}
