import type { ComponentChildren } from "preact";
import type { Field, Option, UnitSystem } from "../engine/contract.gen";
import { book } from "../screen/route";
import { inOwn, useNeedle } from "./needle";
import { pinNumber } from "./pin";
import { NUMERIC } from "./keypad/layout";
import { FaultLine, Segments, Toggles } from "../ui/parts";
import { W } from "../text/words";
import type { FieldProps, One } from "./props";
import { ListEditor, TableEditor } from "./rows";
import { commaList } from "./rowtext";

/** The option that clears an optional choice. */
const unsaid = { key: "", label: "–" };
const yesNo = [
  { key: "yes", label: W.sheet.yes },
  { key: "no", label: W.sheet.no },
];

/** One field, drawn by its kind: choices are offered and never typed. */
export function FieldInput(p: FieldProps) {
  const { f, value, set } = p;
  const id = `${p.prefix}-${f.key}`;
  if (f.kind === "table") return <TableEditor {...p} id={id} Cell={FieldInput} />;
  const one: One = { ...p, id, value: typeof value === "string" ? value : "" };
  const about = {
    name: id,
    legend: f.label,
    help: p.explain ? f.help : undefined,
    fault: p.fault || undefined,
  };
  switch (f.kind) {
    case "choice":
    case "flag": {
      const options = f.kind === "flag" ? yesNo : (f.options ?? []);
      const usual = f.default ?? (f.kind === "flag" && !f.optional ? "no" : "");
      return (
        <div class="field-wrap wide">
          <Segments
            {...about}
            options={f.optional ? [unsaid, ...options] : options}
            value={one.value || usual}
            pick={set}
          />
        </div>
      );
    }
    case "choices":
      return (
        <div class="field-wrap wide">
          <Toggles
            {...about}
            options={f.options ?? []}
            value={commaList(one.value || (f.default ?? ""))}
            pick={(keys) => set(keys.join(", "))}
          />
        </div>
      );
    case "list":
      return <ListEditor {...one} Cell={TextField} />;
    case "link":
    case "sheet":
      return <Pick {...one} />;
    default:
      return <TextField {...one} />;
  }
}

/** What a blank field means, or what to type into it. */
function hint(f: Field, needed: boolean, unit: UnitSystem): string {
  const word = f.words?.find((w) => w.key === f.default);
  if (word) return word.label;
  if (f.default) return W.sheet.unset(inOwn(f, f.default, unit));
  if (f.example) {
    // Examples are written in inches, which a bare number is not where the shop is metric.
    const example =
      f.units && f.kind !== "drill" ? inOwn(f, pinNumber(f.example, f.units.in), unit) : f.example;
    return (needed ? W.sheet.neededLike : W.sheet.like)(example);
  }
  return needed ? W.sheet.required : W.sheet.optional;
}

/** A field's box with its label, and under it help and fault. */
function Frame(
  p: One & { look?: string; box?: string; more?: ComponentChildren; children: ComponentChildren },
) {
  return (
    <div class={["field-wrap", p.look, p.fault && "wrong"].filter(Boolean).join(" ")}>
      <div class={["field", p.box].filter(Boolean).join(" ")}>
        <label for={p.id}>{p.f.label}</label>
        {p.children}
      </div>
      {p.more}
      {p.explain && p.f.help && (
        <p class="help" id={`${p.id}-help`}>
          {p.f.help}
        </p>
      )}
      <FaultLine id={`${p.id}-fault`} text={p.fault || undefined} />
    </div>
  );
}

/** Id, name and ARIA attributes that every box has. */
const spoken = ({ id, f, fault, explain }: One) => ({
  id,
  name: f.key,
  "aria-invalid": fault ? ("true" as const) : undefined,
  "aria-describedby":
    [fault ? `${id}-fault` : "", explain && f.help ? `${id}-help` : ""].filter(Boolean).join(" ") ||
    undefined,
  "aria-required": f.required || undefined,
});

/**
 * A number, a thread, a day or words: label and unit inside the field, what stands for a number as
 * chips under it.
 */
function TextField(p: One & { empty?: string }) {
  const { f, unit, fault, row } = p;
  const needle = useNeedle(f, unit, p.value, p.set);
  const { value, set } = needle;
  const pad = NUMERIC.has(f.kind);
  const long = f.kind === "long";
  const word = f.words?.find((w) => w.key === value.trim().toLowerCase());
  const bare = needle.bare ?? f.units?.[unit];
  const offered =
    f.words ?? p.known?.filter((name) => name !== value.trim()).map((name) => ({ key: name, label: name }));
  const roomy = f.kind === "text" && p.offers && (f.most ?? 200) > 80;
  const box = {
    ...spoken(p),
    value,
    placeholder: p.empty ?? hint(f, row ? !f.optional : !!f.required, unit),
    maxLength: f.most ?? (long ? 8000 : 400),
    onInput: (e: { currentTarget: HTMLInputElement | HTMLTextAreaElement }) => set(e.currentTarget.value),
  };
  return (
    <Frame
      {...p}
      look={fault || long ? "wide" : roomy ? "roomy" : ""}
      box={long ? "tall" : f.label.length > 18 ? "long-name" : ""}
      more={
        offered &&
        offered.length > 0 && (
          <div class="chips">
            {offered.map((w) => (
              <button
                key={w.key}
                type="button"
                class="chip"
                aria-pressed={word?.key === w.key}
                onClick={() => set(word?.key === w.key ? "" : w.key)}
              >
                {w.label}
              </button>
            ))}
          </div>
        )
      }
    >
      {long ? (
        <textarea {...box} rows={3} />
      ) : (
        <input
          {...box}
          class={pad ? "num" : ""}
          // The phone's own way of choosing a day; a time behind the day stays until changed.
          {...(f.kind === "date" && value.length <= 10
            ? { type: "date" as const }
            : { type: "text" as const })}
          autocomplete="off"
          autocapitalize="off"
          autocorrect="off"
          spellcheck={false}
          enterkeyhint="next"
          {...(pad && {
            "data-pad": f.needle ? "reading" : f.kind,
            "data-habit": f.lately,
            "data-label": row ? `${row}, ${f.label}` : f.label,
            "data-units": needle.bare ? "thou,mm" : f.units && `${f.units.in},${f.units.mm}`,
            "data-bare": needle.bare,
          })}
        />
      )}
      {word ? (
        <span class="field-unit">{word.label}</span>
      ) : bare && !(value === "" && f.words?.some((w) => w.key === f.default)) ? (
        <span class="field-unit" aria-hidden="true">
          {bare}
        </span>
      ) : null}
    </Frame>
  );
}

/** Kinds that stand ready to be added. */
const READY = ["machine", "fixture", "material"];

/** A record by its name, a worksheet by its title. What is not there any more stays as it is. */
function Pick(p: One) {
  const { f, value, set } = p;
  const groups = (p.offers?.(f) ?? []).filter((g) => g.options.length > 0);
  const none = groups.length === 0;
  const kind = f.of?.[0];
  const list = (options: Option[]) =>
    options.map((o) => (
      <option key={o.key} value={o.key}>
        {o.label}
      </option>
    ));
  return (
    <Frame
      {...p}
      more={
        kind &&
        !p.row &&
        (READY.includes(kind) || (none && !["job", "setup", "step", "part"].includes(kind))) && (
          <a
            class="chip"
            href={book(READY.includes(kind) ? "stock" : "new", kind, { back: location.hash, into: f.key })}
          >
            {W.pick.make(f.label)}
          </a>
        )
      }
    >
      <select {...spoken(p)} value={value} onChange={(e) => set(e.currentTarget.value)}>
        <option value="">{none ? W.pick.nothing(f.label.toLowerCase()) : W.pick.none}</option>
        {value && !groups.some((g) => g.options.some((o) => o.key === value)) && (
          <option value={value}>{f.kind === "link" ? W.pick.gone : value}</option>
        )}
        {groups.length === 1
          ? list(groups[0]!.options)
          : groups.map((g) => (
              <optgroup key={g.title} label={g.title}>
                {list(g.options)}
              </optgroup>
            ))}
      </select>
    </Frame>
  );
}
