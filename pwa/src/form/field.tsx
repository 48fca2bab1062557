import type { Input } from "../engine/contract.gen";
import { NUMERIC } from "./keypad/layout";
import { FaultLine, Segments, Toggles } from "../ui/parts";
import { W } from "../text/words";
import type { FieldProps } from "./props";
import { ListEditor, TableEditor } from "./rows";

export const commaList = (text: string): string[] =>
  text
    .split(",")
    .map((x) => x.trim())
    .filter(Boolean);

/** One input of a worksheet, drawn by its kind. */
export function Field(p: FieldProps) {
  const { input, value, set } = p;
  const id = `${p.sheet}-${input.key}`;
  const fault = p.fault || undefined;
  switch (input.kind) {
    case "choice":
      return (
        <div class="field-wrap wide">
          <Segments
            name={id}
            legend={input.label}
            options={input.options ?? []}
            value={value || input.default}
            pick={set}
            {...(p.explain ? { help: input.help } : {})}
            fault={fault}
          />
        </div>
      );
    case "choices":
      return (
        <div class="field-wrap wide">
          <Toggles
            name={id}
            legend={input.label}
            options={input.options ?? []}
            value={commaList(value || input.default)}
            pick={(keys) => set(keys.join(", "))}
            {...(p.explain ? { help: input.help } : {})}
            fault={fault}
          />
        </div>
      );
    case "flag":
      return (
        <div class="field-wrap wide">
          <Segments
            name={id}
            legend={input.label}
            options={[
              { key: "yes", label: W.sheet.yes },
              { key: "no", label: W.sheet.no },
            ]}
            value={value || input.default || "no"}
            pick={set}
            {...(p.explain ? { help: input.help } : {})}
            fault={fault}
          />
        </div>
      );
    case "list":
      return <ListEditor {...p} id={id} />;
    case "table":
      return <TableEditor {...p} id={id} />;
    default:
      return <TextField {...p} id={id} />;
  }
}

/** What a blank field means, or what to type into it. */
function hint(input: Input): string {
  const word = input.words?.find((w) => w.key === input.default);
  if (word) return word.label;
  if (input.default) return W.sheet.unset(input.default);
  if (input.example) return (input.required ? W.sheet.neededLike : W.sheet.like)(input.example);
  return input.required ? W.sheet.required : W.sheet.optional;
}

/** A number, a thread, a drill or plain text: label and unit inside the field, words as chips under it. */
function TextField({ id, input, unit, value, fault, explain, set }: FieldProps & { id: string }) {
  const help = explain && input.help !== "";
  const pad = NUMERIC.has(input.kind);
  const word = input.words?.find((w) => w.key === value.trim().toLowerCase());
  const bare = input.units?.[unit] ?? "";
  const told = [fault ? `${id}-fault` : "", help ? `${id}-help` : ""].filter(Boolean).join(" ");
  return (
    <div class={`field-wrap${fault ? " wrong wide" : ""}`}>
      <div class={input.label.length > 18 ? "field long-name" : "field"}>
        <label for={id}>{input.label}</label>
        <input
          id={id}
          name={input.key}
          class={pad ? "num" : ""}
          type="text"
          value={value}
          placeholder={hint(input)}
          autocomplete="off"
          autocapitalize="off"
          autocorrect="off"
          spellcheck={false}
          enterkeyhint="next"
          maxLength={400}
          aria-invalid={fault ? "true" : undefined}
          aria-describedby={told || undefined}
          aria-required={input.required || undefined}
          {...(pad ? { "data-pad": input.kind, "data-label": input.label } : {})}
          {...(pad && input.units ? { "data-units": `${input.units.in},${input.units.mm}` } : {})}
          onInput={(e) => set(e.currentTarget.value)}
        />
        {word ? (
          <span class="field-unit">{word.label}</span>
        ) : bare && !(value === "" && input.words?.some((w) => w.key === input.default)) ? (
          <span class="field-unit" aria-hidden="true">
            {bare}
          </span>
        ) : null}
      </div>
      {(input.words?.length ?? 0) > 0 && (
        <div class="chips">
          {input.words?.map((w) => (
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
      )}
      {help && (
        <p class="help" id={`${id}-help`}>
          {input.help}
        </p>
      )}
      <FaultLine id={`${id}-fault`} text={fault} />
    </div>
  );
}
