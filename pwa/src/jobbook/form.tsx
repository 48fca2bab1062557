import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { clearDraft, loadDraft, saveDraft } from "../form/drafts";
import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Field, FieldFault, RecordKind, UnitSystem } from "../engine/contract.gen";
import { Refused } from "../records/rules";
import { chance } from "../storage/chance";
import type { Repository } from "../records/repository";
import { askToKeep } from "../storage/persist";
import { tellKeypad } from "../form/keypad/status";
import { recordHref } from "../screen/route";
import { useApp, useTitle, useUnsaved } from "../screen/context";
import { goUp, useHere } from "../screen/here";
import { Button } from "../ui/controls";
import { Blank, FaultLine } from "../ui/parts";
import { usePrefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { W } from "../text/words";
import { Fields, UnitLine } from "../form/fields";
import type { Offer } from "../form/props";
import { asked, changesOf, filled, startOf, valueOf, type Typed } from "../form/typed";
import { begun } from "./begin";
import { bringBack, brought } from "./carried";
import { inherited, nextOrder, setupsOf } from "./setups";
import { keepShown, shownIn } from "./shown";
import { askedFirst } from "./usual";
import { Gate, mark, metOr, storeFault, useKinds, useRepository } from "./use";

/** The form of a new record of a kind. */
export function NewRecord({ id: key, more }: { id: string; more: Record<string, string> }) {
  return <Loaded kindKey={key} more={more} />;
}

/** The form of a record that is there. */
export function EditRecord({ id, more }: { id: string; more: Record<string, string> }) {
  return <Loaded kindKey={id.slice(0, id.indexOf(":"))} id={id} more={more} />;
}

function Loaded({ kindKey, id, more }: { kindKey: string; id?: string; more: Record<string, string> }) {
  const { book } = useApp();
  const { kinds, fault: kindFault } = useKinds(book?.repo);
  const kind = kinds.find((k) => k.key === kindKey);
  const links = useMemo(
    () => [
      ...new Set([
        kindKey,
        ...(kind?.fields ?? []).flatMap((f) => [f, ...(f.columns ?? [])]).flatMap((f) => named(f, kinds)),
      ]),
    ],
    [kind, kindKey, kinds],
  );
  const { repo, ready, fault } = useRepository(...links);
  const rec = id ? repo?.get(id) : undefined;
  useTitle(kind ? (rec ? `${B.change}: ${nameOf(rec)}` : W.pick.make(kind.label)) : "");
  return (
    <Gate ready={ready && (kinds.length > 0 || !!kindFault)} fault={fault || kindFault}>
      {!kind ? (
        <Blank kind="empty" title={B.form.unknown(kindKey)} />
      ) : id && !rec ? (
        <Blank kind="empty" title={B.gone} help={B.goneHelp} />
      ) : rec?.newer ? (
        <Blank kind="empty" title={B.newer} />
      ) : (
        <Form key={id ?? kindKey} repo={repo!} kind={kind} kinds={kinds} rec={rec} more={more} />
      )}
    </Gate>
  );
}

/** Kinds of record that nothing belongs to. */
const leaves = ["reading", "note", "photo", "kept"];

/** The kinds of record that a link may lead to. */
const named = (f: Field, kinds: readonly RecordKind[]): string[] =>
  f.kind !== "link" ? [] : (f.of ?? kinds.map((k) => k.key).filter((k) => !leaves.includes(k)));

/** Values a new record starts with: what it belongs to, its place in the order, what still holds. */
function given(
  repo: Repository,
  kind: RecordKind,
  more: Record<string, string>,
  unit: UnitSystem,
): Record<string, string> {
  const out: Record<string, string> = { ...more };
  const { job = "", machine = "", fixture = "" } = more;
  if (kind.key === "setup" && job) {
    Object.assign(out, inherited(setupsOf(repo, job).at(-1), kind, unit, { machine, fixture }));
    out["order"] = nextOrder(repo, job);
    out["state"] ??= "planned";
  }
  if (kind.key === "job") out["state"] ??= "asked";
  return out;
}

function Form({
  repo,
  kind,
  kinds,
  rec,
  more,
}: {
  repo: Repository;
  kind: RecordKind;
  kinds: readonly RecordKind[];
  rec: Rec | undefined;
  more: Record<string, string>;
}) {
  const { say, describe } = useApp();
  const { unit } = usePrefs();
  const draft = rec
    ? `record ${rec.id}`
    : `record new ${kind.key} ${more["job"] ?? more["part"] ?? more["about"] ?? ""}`;
  // A draft brings back what its form showed: an entry that came since is not covered by it.
  const [was] = useState(() => back(draft));
  const [begin] = useState(() => startOf(kind, rec, rec ? {} : given(repo, kind, more, unit), unit));
  // What was chosen since, before the form was come to again, takes the place of what was then.
  const [since] = useState(() => {
    const keys = was && !rec ? ["machine", "fixture", "part"].filter((key) => more[key]) : [];
    return Object.fromEntries(
      keys.flatMap((key) => (was?.before?.[key] === begin[key] ? [] : [[key, begin[key]!]])),
    );
  });
  const before = useRef<Values>({ ...(was?.before ?? begin), ...since });
  const shown = useRef(rec && (shownIn(rec.id, was?.more) ?? rec));
  const [values, setValues] = useState<Values>(was ? { ...was.values, ...since } : before.current);
  const [stored, setStored] = useState(true);
  const [faults, setFaults] = useState<FieldFault[]>([]);
  const [touched, touch] = useState<readonly string[]>([]);
  const [trouble, setTrouble] = useState("");
  const [busy, setBusy] = useState(false);
  const [explain, setExplain] = useState(false);
  const [all, showAll] = useHere("all fields", !!rec);
  useUnsaved(draft, !stored);

  // The newest values, also between two changes before the form is drawn again.
  const latest = useRef(values);
  // Another tab may have a draft of the same form: only this one's own is cleared.
  const clear = () => {
    const there = loadDraft(draft)?.inputs["json"];
    if (there === undefined || there === JSON.stringify(latest.current)) clearDraft(draft);
    setStored(true);
  };
  const put = (key: string, v: Typed) => {
    const next = { ...latest.current, [key]: v };
    latest.current = next;
    setValues(next);
    touch((t) => (t.includes(key) ? t : [...t, key]));
    setTrouble("");
    const more = { before: JSON.stringify(before.current), ...(shown.current && keepShown(shown.current)) };
    setStored(saveDraft(draft, { inputs: { json: JSON.stringify(next) }, more }));
  };

  useEffect(() => {
    const got = brought();
    if (got) put(got.into, got.id);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- once, as the form comes
  }, []);

  // Every field is checked against the rules as it is typed; one that is still empty is no mistake
  // yet.
  const fields = asked(kind);
  const first = askedFirst(kind, fields);
  const shownFields = all
    ? fields
    : fields.filter(
        (f) => first.includes(f) || filled(values[f.key]) || faults.some((x) => base(x.field) === f.key),
      );
  useEffect(() => {
    if (touched.length === 0) return;
    let live = true;
    const t = setTimeout(() => {
      const set = Object.fromEntries(
        fields.flatMap((f) =>
          touched.includes(f.key) && values[f.key] !== undefined ? [[f.key, valueOf(f, values[f.key]!)]] : [],
        ),
      );
      repo
        .ask<{ faults?: FieldFault[] }>("new", {
          type: kind.key,
          ms: 1,
          chance: chance(20),
          set,
          device: "form",
          at: "",
          by: "",
          unit,
        })
        .then(
          (out) =>
            live &&
            setFaults(
              (out.faults ?? []).filter((f) => touched.includes(base(f.field)) && !missing(values, f)),
            ),
          () => undefined, // reported when it is kept
        );
    }, 350);
    return () => {
      live = false;
      clearTimeout(t);
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- what is asked goes with the values
  }, [values, unit]);
  useEffect(() => {
    const on = document.activeElement?.getAttribute("name") ?? "";
    const one = faults.find((f) => base(f.field) === on);
    tellKeypad({ fault: one?.message ?? "" });
    return () => tellKeypad({ fault: "" });
  }, [faults]);

  const save = async () => {
    if (busy) return;
    setBusy(true);
    setTrouble("");
    try {
      const set = rec ? changesOf(kind, before.current, latest.current) : allOf(kind, latest.current);
      const met = shown.current && (await repo.change(shown.current, set, unit));
      const out = met ?? (await repo.make(kind.key, set));
      clear();
      void askToKeep();
      say(metOr(met, B.form.saved(nameOf(out) || kind.label)));
      if (out.kind === "setup" && set["state"] === "running") await mark(repo, out, "running", say);
      if (more["from"]) clearDraft(begun(more["from"] === "-" ? "" : more["from"]));
      // Where an entry came meanwhile, the record itself shows both.
      if (met?.met.length || !more["back"])
        location.replace(recordHref(met?.met.length ? out.id : home(out)));
      else bringBack(more, out);
    } catch (err) {
      if (err instanceof Refused) {
        setFaults(err.faults);
        touch(fields.map((f) => f.key));
        const first = err.faults[0];
        requestAnimationFrame(() => document.getElementById(`rec-${base(first?.field ?? "")}`)?.focus());
        if (err.faults.some((f) => !fields.some((x) => x.key === base(f.field)))) setTrouble(err.message);
      } else setTrouble(storeFault(err));
    } finally {
      setBusy(false);
    }
  };

  const faultOf = (key: string) => faults.find((f) => base(f.field) === key)?.message ?? "";
  const offers = (f: Field): Offer[] =>
    f.kind === "sheet"
      ? (describe?.groups ?? []).map((g) => ({
          title: g.title,
          options: describe!.worksheets
            .filter((s) => s.group === g.key)
            .map((s) => ({ key: s.name, label: s.title })),
        }))
      : named(f, kinds).map((k) => ({
          title: kinds.find((x) => x.key === k)?.plural ?? k,
          options: repo
            .all(k)
            .sort((a, b) => byMade(b, a))
            .map((r) => ({
              key: r.id,
              label: (nameOf(r) || B.unnamed) + (text(r, "tag") ? ` (${text(r, "tag")})` : ""),
            })),
        }));
  return (
    <form
      class="sheet-form narrow rec-form"
      autocomplete="off"
      onSubmit={(e) => {
        e.preventDefault();
        void save();
      }}
    >
      <UnitLine unit={unit} explain={explain} setExplain={setExplain} />
      {explain && <p class="help">{kind.help}</p>}
      <Fields
        prefix="rec"
        fields={shownFields}
        unit={unit}
        explain={explain}
        offers={offers}
        values={values}
        faultOf={faultOf}
        put={(f, v) => put(f.key, v)}
      />
      {shownFields.length < fields.length && (
        <Button class="button more-fields" label={B.form.more} act={() => showAll(true)} />
      )}
      {faults.length > 0 && trouble === "" && (
        <p class="warn warn-refuse" role="alert">
          <span>
            <b>{B.form.wrong(faults.length)}</b> {faults[0]!.message}
          </span>
        </p>
      )}
      <FaultLine id="record-fault" text={trouble || undefined} />
      <div class="form-foot">
        <button type="submit" class="button go" disabled={busy}>
          {busy ? B.form.saving : B.form.save}
        </button>
        <button
          type="button"
          class="button"
          onClick={() => {
            clear();
            if (more["back"]) goUp(more["back"]);
            else history.back();
          }}
        >
          {rec ? B.form.drop : B.form.cancel}
        </button>
      </div>
    </form>
  );
}

/** After a part, a feature or a step is kept, its job or setup is shown, where work goes on. */
const home = (rec: Rec): string =>
  (rec.kind === "part" && text(rec, "job")) || (rec.kind === "step" && text(rec, "setup")) || rec.id;

const base = (field: string): string => field.split("#")[0]!;

const missing = (values: Record<string, Typed>, f: FieldFault): boolean => !filled(values[f.field]);

const allOf = (kind: RecordKind, values: Record<string, Typed>): Record<string, unknown> =>
  Object.fromEntries(
    asked(kind).flatMap((f) => (filled(values[f.key]) ? [[f.key, valueOf(f, values[f.key]!)]] : [])),
  );

type Values = Record<string, Typed>;

/** What was being typed before the page went away, and what the form had begun with. */
function back(draft: string): { values: Values; before?: Values; more: Record<string, string> } | undefined {
  try {
    const { inputs, more = {} } = loadDraft(draft) ?? { inputs: {} };
    const values = JSON.parse(inputs["json"] ?? "null") as Values | null;
    const before = JSON.parse(more["before"] ?? "null") as Values | null;
    if (!values || Object.keys(values).length === 0) return undefined;
    return { values, more, ...(before && { before }) };
  } catch {
    return undefined;
  }
}
