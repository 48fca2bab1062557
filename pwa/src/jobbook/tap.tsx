import { useEffect, useRef, useState } from "preact/hooks";
import { loadDraft, saveDraft, clearDraft } from "../form/drafts";
import { byMade, canonical, nameOf, text, type Rec } from "../records/fields";
import { askToKeep } from "../storage/persist";
import type { Shelf } from "../records/repository";
import type { Answer, Sheet } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { drawings } from "../drawing/registry";
import { book, href } from "../screen/route";
import { tellKeypad } from "../form/keypad/status";
import { useApp, useLoaded, useTitle, useUnsaved, words } from "../screen/context";
import { Blank, FaultLine, Fold, Segments } from "../ui/parts";
import { prefs, usePrefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { AnswerHead, headline, levelOf } from "../worksheet/answer";
import { FieldInput } from "../form/field";
import { plain } from "../form/typed";
import { prefill, type Given, type Round } from "./prefill";
import { isReading, signed } from "./readlogic";
import { speak } from "./speak";
import { Gate, storeFault, useLit, useShelf, useWork } from "./use";
import { useWedge } from "./wedge";

const T = B.tap;

type Texts = Record<string, string>;

/** Places read in each round: two ends, or four sides of a sweep. */
const ends = ["a", "b"];
const fours = ["right", "back", "left", "front"];

/** Where a tapping in stands: the rounds read in full, the one that is open, and which round and place come next. */
function standing(all: readonly Round[], places: readonly string[], anew: boolean) {
  const whole = (r: Round) => r.reads.every(Boolean);
  const done = anew ? [] : all.filter(whole);
  const open = anew ? undefined : all.find((r) => !whole(r));
  const n = open?.n ?? (done.at(-1)?.n ?? 0) + 1;
  return { done, open, n, place: places[open ? open.reads.indexOf("") : 0]! };
}

/** Tapping in, live: two touches and a number a reading, and after each round what to move. */
export function Tap({ id }: { id: string }) {
  const { shelf, ready, fault } = useShelf("setup", "reading", "job", "gauge");
  const { describe, describeFault } = useApp();
  const setup = shelf?.get(id);
  const sheet = describe?.worksheets.find((s) => s.name === "tapin");
  const mine = ready ? shelf!.all("reading").filter((r) => text(r, "setup") === id) : [];
  const filled = useLoaded(
    () => (ready && setup ? prefill(shelf!, "tapin", id) : undefined),
    [shelf, ready, setup, shelf?.get(text(setup, "indicator")), ...mine],
  );
  useTitle(setup ? `${T.title}: ${nameOf(setup)}` : T.title);
  return (
    <Gate
      ready={ready && !!describe && (!setup || !!filled.value)}
      fault={fault || describeFault || filled.fault}
    >
      {shelf && setup && sheet && filled.value ? (
        <Going shelf={shelf} setup={setup} sheet={sheet} filled={filled.value} />
      ) : (
        <Blank kind="empty" title={B.read.noSetup} help={B.goneHelp} />
      )}
    </Gate>
  );
}

/** What is asked once of a tapping in: from the setup where it was kept there, else what its records say. */
function useAsked(shelf: Shelf, setup: Rec, known: Texts) {
  const name = `tapin ${setup.id}`;
  const kept = (setup.values["tapin"] ?? {}) as Texts;
  const [typed, setTyped] = useState<Texts | undefined>(() => loadDraft(name)?.inputs);
  const asked: Texts = Object.fromEntries(Object.entries({ ...known, ...typed }).filter(([, t]) => t !== ""));
  return {
    asked,
    set: (key: string, t: string) => {
      const next = { ...asked, [key]: t };
      setTyped(next);
      saveDraft(name, { inputs: next });
    },
    /** Into the setup, where another phone finds it. */
    keep: async () => {
      if (canonical(kept) !== canonical(asked)) await shelf.change(setup.id, { tapin: asked });
      clearDraft(name);
      setTyped(undefined);
    },
  };
}

/** What the worksheet says of the rounds so far. */
function useNext(sheet: Sheet, inputs: Texts, table: string) {
  const { bridge } = useApp();
  const { unit } = usePrefs();
  const [state, put] = useState<{ of: string; answer?: Answer; fault?: { field: string; message: string } }>({
    of: "",
  });
  const key = JSON.stringify(inputs) + unit;
  useEffect(() => {
    if (!table) return;
    let live = true;
    bridge.run(sheet.name, unit, inputs, "tapping in").then(
      (reply) => {
        if (!live || !reply) return;
        put(isRefused(reply) ? { of: key, fault: reply.error } : { of: key, answer: reply });
      },
      (err: unknown) => live && put({ of: key, fault: { field: "", message: words(err) } }),
    );
    return () => {
      live = false;
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- key stands for inputs and unit
  }, [bridge, sheet, key, table]);
  return table && state.of === key ? state : { of: "" };
}

/** The move told, as it is kept with the readings after it. */
function toldMove(answer: Answer | undefined, head: boolean): string {
  const of = (key: string) => answer?.results[key]?.text ?? "";
  if (head) return of("turnx") || of("turny") ? `${of("turnx") || "0"}, ${of("turny") || "0"}` : "0, 0";
  return of("end") ? `${of("end").toLowerCase()}, ${of("move")}` : "none";
}

function Going({ shelf, setup, sheet, filled }: { shelf: Shelf; setup: Rec; sheet: Sheet; filled: Given }) {
  const { book: records, say } = useApp();
  const { unit, bare } = usePrefs();
  const work = useWork();
  const { pairs = "", sweeps = "", ...known } = filled.inputs;
  const { asked, set, keep } = useAsked(shelf, setup, known);
  const head = asked["mode"] === "head";
  const kind = head ? "head" : "tap";
  const places: readonly string[] = head ? fours : ends;
  const all = filled.rounds[kind] ?? [];
  const [anew, setAnew] = useState(false);
  const { done, open, n, place } = standing(all, places, anew);
  const table = anew ? "" : head ? sweeps : pairs;
  const inputs: Texts = { ...asked, [head ? "sweeps" : "pairs"]: table };
  const wants = sheet.inputs.find((i) => i.required && !asked[i.key]);
  const next = useNext(sheet, inputs, wants ? "" : table);
  const told = toldMove(next.answer, head);
  const [moved, setMoved] = useState<"told" | "other" | "none">("told");
  const [other, setOther] = useState<Texts>({ end: "b" });
  const draft = `tap ${setup.id}`;
  const [typed, setTyped] = useState(loadDraft(draft)?.inputs["value"] ?? "");
  const [fault, setFault] = useState("");
  const field = useRef<HTMLInputElement>(null);
  const [stored, setStored] = useState(true);
  useLit(true);
  useWedge(field);
  useUnsaved(draft, !stored && typed !== "");

  const move = (now: { open: Round | undefined; n: number }): string => {
    if (now.n === 1 || now.open) return now.open?.move ?? "";
    if (moved === "told") return told;
    if (moved === "none") return head ? "0, 0" : "none";
    const number = (t: string | undefined) => (t ?? "").trim().replace(/[,;]/g, "") || "0";
    if (head) return `${number(other["turnx"])}, ${number(other["turny"])}`;
    return `${other["end"]}, ${signed(number(other["by"]), "in", unit)}`;
  };
  const take = () => {
    const value = field.current?.value ?? typed;
    if (!value.trim()) return setFault(B.read.needs);
    if (!isReading(value)) return setFault(B.read.number);
    if (done.length > 0 && !open && moved === "told" && !next.answer) return; // it is still being worked out
    setFault("");
    work.run(async () => {
      await keep();
      // The last reading may be stored and the rounds not yet worked out with it.
      const fresh = (await prefill(shelf, "tapin", setup.id)).rounds[kind] ?? [];
      const now = standing(fresh, places, anew);
      if (now.n !== n && !now.open) return; // what to move before it is not worked out yet either
      const before = move(now);
      await shelf.make("reading", {
        setup: setup.id,
        station: now.place,
        value: signed(value, bare, unit),
        kind,
        round: String(now.n),
        ...(before && { move: before }),
        when: new Date().toISOString(),
        who: prefs().who.trim() || undefined,
        gauge: text(setup, "indicator") || undefined,
      });
      setAnew(false);
      setMoved("told");
      setTyped("");
      if (field.current) {
        field.current.value = "";
        field.current.dispatchEvent(new Event("input", { bubbles: true }));
      }
      setStored(saveDraft(draft, { inputs: {} }));
      navigator.vibrate?.(15);
      void askToKeep();
    });
  };
  const lastOne = (open ?? done.at(-1) ?? { reads: [] }).reads
    .flatMap((r) => shelf.get(r) ?? [])
    .sort(byMade)
    .at(-1);
  const verdict = next.answer ? headline(sheet, next.answer).text : "";
  useEffect(() => {
    if (verdict && prefs().speak) speak(verdict);
  }, [verdict]);
  const level = next.answer ? levelOf(next.answer) : "none";
  const says = open ? "" : verdict;
  useEffect(() => {
    tellKeypad({ fault, answer: says, level });
    return () => tellKeypad({ fault: "", answer: "", level: "none" });
  }, [fault, says, level]);

  const job = shelf.get(text(setup, "job"));
  const keepIt = () =>
    work.run(async () => {
      await records?.keep(
        { job: job ? nameOf(job) : "", worksheet: "tapin", unit, inputs, answer: next.answer! },
        { setup: setup.id, ...(job && { job: job.id }) },
      );
      say(T.kept);
    });
  const Drawing = drawings[sheet.drawing];
  const label = T.places[place]!;
  return (
    <div class="readings">
      <section class="card" aria-label={T.next} aria-live="polite">
        <h2>{T.next}</h2>
        {next.answer ? (
          <>
            <AnswerHead sheet={sheet} answer={next.answer} />
            {Drawing && <Drawing answer={next.answer} />}
          </>
        ) : (
          <p class={next.fault ? "warn warn-refuse" : "quiet"}>
            {next.fault?.message ?? (wants ? T.wants(wants.label) : head ? T.beginHead : T.begin)}
          </p>
        )}
      </section>
      <form
        class="card take"
        autocomplete="off"
        onSubmit={(e) => {
          e.preventDefault();
          take();
        }}
      >
        {n > 1 && !open && !anew && (
          <Moved
            told={told}
            head={head}
            moved={moved}
            setMoved={setMoved}
            other={other}
            setOther={setOther}
          />
        )}
        <div class={fault ? "field-wrap wrong" : "field-wrap"}>
          <div class="field">
            <label for="reading">
              {T.round(n)}: {B.read.at(label)}
            </label>
            <input
              ref={field}
              id="reading"
              class="num"
              type="text"
              value={typed}
              autocomplete="off"
              autocapitalize="off"
              spellcheck={false}
              maxLength={40}
              enterkeyhint="send"
              data-pad="reading"
              data-take={B.read.take}
              data-label={`${T.round(n)}: ${B.read.at(label)}`}
              data-units={unit === "mm" ? "um,mm" : "thou,mm"}
              aria-invalid={fault ? "true" : undefined}
              aria-describedby={fault ? "reading-fault" : undefined}
              onInput={(e) => {
                setTyped(e.currentTarget.value);
                setFault("");
                setStored(saveDraft(draft, { inputs: { value: e.currentTarget.value } }));
              }}
            />
            <span class="field-unit" aria-hidden="true">
              {bare === "thou" ? (unit === "mm" ? "um" : "thou") : bare}
            </span>
          </div>
          <FaultLine id="reading-fault" text={fault || work.fault || undefined} />
        </div>
        <div class="form-foot">
          <button type="submit" class="button go" disabled={work.busy}>
            {B.read.take}
          </button>
          <button
            type="button"
            class="button"
            disabled={!lastOne || work.busy}
            onClick={() => {
              if (!lastOne) return;
              shelf.remove(lastOne.id).then(
                () => say(B.read.undone(nameOf(lastOne)), () => void shelf.restore(lastOne.id)),
                (err: unknown) => setFault(storeFault(err)),
              );
            }}
          >
            {B.read.undo}
          </button>
        </div>
      </form>
      <Fold title={T.set} open={!!wants}>
        <div class="fields">
          {sheet.inputs
            .filter(
              (i) =>
                i.kind !== "table" && (head ? i.key !== "pivot" && i.key !== "reach" : i.section !== "Head"),
            )
            .map((input) => (
              <FieldInput
                key={input.key}
                prefix="tapin"
                f={input}
                unit={unit}
                value={asked[input.key] ?? ""}
                fault={next.fault?.field === input.key ? next.fault.message : ""}
                set={(t) => set(input.key, plain(t))}
              />
            ))}
        </div>
      </Fold>
      <Listed shelf={shelf} list={anew ? [] : all} />
      <p class="foot-links">
        {next.answer && (
          <button type="button" class="button" disabled={work.busy} onClick={keepIt}>
            {T.keep}
          </button>
        )}
        {all.length > 0 && !anew && (
          <button
            type="button"
            class="button"
            onClick={() => {
              setAnew(true);
              say(T.anewHelp, () => setAnew(false));
            }}
          >
            {T.anew}
          </button>
        )}
        <a class="button" href={href({ page: "sheet", sheet: "tapin", from: setup.id })}>
          {T.sheet}
        </a>
        <a class="button" href={book("setup", setup.id)}>
          {B.mill.open}
        </a>
      </p>
    </div>
  );
}

/** What was really moved before this round: as told, unless said otherwise. */
function Moved({
  told,
  head,
  moved,
  setMoved,
  other,
  setOther,
}: {
  told: string;
  head: boolean;
  moved: "told" | "other" | "none";
  setMoved: (m: "told" | "other" | "none") => void;
  other: Texts;
  setOther: (t: Texts) => void;
}) {
  const still = told === "none" || told === "0, 0";
  const field = (key: string, label: string) => (
    <div class="field-wrap" key={key}>
      <div class="field long-name">
        <label for={`moved-${key}`}>{label}</label>
        <input
          id={`moved-${key}`}
          class="num"
          type="text"
          value={other[key] ?? ""}
          autocomplete="off"
          maxLength={30}
          data-pad={head ? "number" : "length"}
          data-label={label}
          onInput={(e) => setOther({ ...other, [key]: e.currentTarget.value })}
        />
      </div>
    </div>
  );
  return (
    <>
      <Segments
        name="moved"
        legend={T.made}
        options={[
          { key: "told", label: still ? T.nothing : T.asTold(told) },
          { key: "other", label: T.otherwise },
          ...(still ? [] : [{ key: "none", label: T.nothing }]),
        ]}
        value={moved}
        pick={(k) => setMoved(k === "other" || k === "none" ? k : "told")}
      />
      {moved === "other" && !head && (
        <Segments
          name="moved-end"
          legend={T.end}
          options={ends.map((key) => ({ key, label: T.places[key]! }))}
          value={other["end"] ?? "b"}
          pick={(end) => setOther({ ...other, end })}
        />
      )}
      {moved === "other" && (head ? [field("turnx", T.turnx), field("turny", T.turny)] : field("by", T.by))}
    </>
  );
}

function Listed({ shelf, list }: { shelf: Shelf; list: readonly Round[] }) {
  if (list.length === 0) return null;
  return (
    <section class="card" aria-label={T.list}>
      <h2>{T.list}</h2>
      <ol class="read-list" reversed>
        {[...list].reverse().map((r) => (
          <li key={r.n}>
            <b>{T.round(r.n)}</b>{" "}
            <span class="num">
              {T.row(
                r.move,
                r.reads
                  .flatMap((x) => shelf.get(x) ?? [])
                  .map((x) => `${T.places[text(x, "station")]} ${text(x, "value")}`)
                  .join(", "),
              )}
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}
