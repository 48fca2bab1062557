// A value in words: a choice by its label, a bare number with its unit, a link by the name of what
// it leads to.
import { pinNumber } from "../form/pin";
import { nameOf, type Rec } from "../records/fields";
import type { Field } from "../engine/contract.gen";
import { kindOf, type Repository } from "../records/repository";
import { B } from "../text/jobbook";
import { dateWords, W } from "../text/words";

/** What stands beside the name of a record in which a choice is to be made. */
export const clashWords = ({ clashes }: Rec): string =>
  clashes.includes("gone") ? B.clash.against : B.clash.count(clashes.length);

export function saying(
  f: Field | undefined,
  v: unknown,
  unit: string | undefined,
  repo?: Repository,
): string {
  if (v === null || v === undefined) return "";
  if (typeof v === "boolean") return v ? W.sheet.yes : W.sheet.no;
  if (Array.isArray(v)) {
    const one = f?.kind === "list" ? f.columns?.[0] : f;
    return v.map((x) => saying(one, x, unit, repo)).join(", ");
  }
  if (typeof v === "object") {
    return Object.entries(v as Record<string, unknown>)
      .filter(([key]) => key !== "row" && key !== "unit")
      .map(([key, x]) => {
        const c = f?.columns?.find((y) => y.key === key);
        return `${c?.label ?? key} ${saying(c, x, unit, repo)}`;
      })
      .join(", ");
  }
  const text = typeof v === "string" ? v : typeof v === "number" ? String(v) : "";
  if (!f) return text;
  if (f.kind === "choice") return f.options?.find((o) => o.key === text)?.label ?? text;
  if (f.kind === "link") return linkName(text, repo);
  if (f.kind === "date") return dateWords(text);
  const bare = f.units?.[unit === "mm" ? "mm" : "in"];
  return bare ? pinNumber(text, bare) : text;
}

export function linkName(id: string, repo: Repository | undefined): string {
  const rec = repo?.get(id);
  return rec ? nameOf(rec) || B.unnamed : `${kindOf(id)} ${W.pick.gone}`;
}
