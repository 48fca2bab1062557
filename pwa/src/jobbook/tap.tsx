import { useEffect, useRef, useState } from "preact/hooks";
import { loadDraft, saveDraft, clearDraft } from "../form/drafts";
import { byMade, canonical, nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import type { Answer, Sheet } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { book, href } from "../screen/route";
import { useApp, useLoaded } from "../screen/context";
import { Button, Form, TextField } from "../ui/controls";
import { Blank, FaultLine, Fold, Segments } from "../ui/parts";
import { prefs, usePrefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { headline } from "../worksheet/answer";
import { FieldInput } from "../form/field";
import { plain } from "../form/typed";
import { Fit } from "./fit";
import { Card } from "./parts";
import { prefill, type Given, type Round } from "./prefill";
import { ReadingField, useReading, useTold } from "./reading-field";
import { signed } from "./readlogic";
import { keepShown, shownIn } from "./shown";
import { speak } from "./speak";
import { takenNow } from "./taken";
import { Gate, metOr, ofRecord, storeFault, takeBack, useWork } from "./use";

const T = B.tap;

type Texts = Record<string, string>;

/** Places read in each round: two ends, or four sides of a sweep. */
const ends = ["a", "b"];
const fours = ["right", "back", "left", "front"];

/**
 * The state of a tapping in: the rounds read in full, the open one, and which round and place come
 * next.
 */
function standing(all: readonly Round[], places: readonly string[], anew: boolean) {
  const whole = (r: Round) => r.reads.every(Boolean);
  const done = anew ? [] : all.filter(whole);
  const open = anew ? undefined : all.find((r) => !whole(r));
  const n = open?.n ?? (done.at(-1)?.n ?? 0) + 1;
  return { done, open, n, place: places[open ? open.reads.indexOf("") : 0]! };
}

/** Tapping in, live: two touches and a number a reading, and after each round what to move. */
export const Tap = ofRecord(Described, ["reading", "job", "gauge"], {
  title: (name) => `${T.title}: ${name}`,
  none: B.read.noSetup,
});

function Described({ repo, rec }: { repo: Repository; rec: Rec }) {
  const { describe, describeFault } = useApp();
  const sheet = describe?.worksheets.find((s) => s.name === "tapin");
  const mine = repo.all("reading").filter((r) => text(r, "setup") === rec.id);
  const { value: filled, fault } = useLoaded(
    () => prefill(repo, "tapin", rec.id),
    [repo, rec, repo.get(text(rec, "indicator")), ...mine],
  );
  return (
    <Gate ready={!!describe && !!filled} fault={describeFault || fault}>
      {sheet && filled ? (
        <Going repo={repo} setup={rec} sheet={sheet} filled={filled} />
      ) : (
        <Blank kind="empty" title={B.read.noSetup} help={B.goneHelp} />
      )}
    </Gate>
  );
}

/** Settings of a tapping in: from the setup where they were stored there, else from its records. */
function useAsked(repo: Repository, setup: Rec, known: Texts) {
  const name = `tapin ${setup.id}`;
  const kept = (setup.values["tapin"] ?? {}) as Texts;
  const [was] = useState(() => loadDraft(name));
  const [typed, setTyped] = useState<Texts | undefined>(was?.inputs);
  const shown = useRef(shownIn(setup.id, was?.more));
  const asked: Texts = Object.fromEntries(Object.entries({ ...known, ...typed }).filter(([, t]) => t !== ""));
  return {
    asked,
    set: (key: string, t: string) => {
      const next = { ...asked, [key]: t };
      shown.current ??= setup;
      setTyped(next);
      saveDraft(name, { inputs: next, more: keepShown(shown.current) });
    },
    /** Stores them in the setup, where another phone finds them. */
    keep: async (): Promise<boolean> => {
      const now =
        canonical(kept) !== canonical(asked)
          ? await repo.change(shown.current ?? setup, { tapin: asked })
          : undefined;
      shown.current = undefined;
      clearDraft(name);
      setTyped(undefined);
      return (now?.met.length ?? 0) > 0;
    },
  };
}

/** What the worksheet says of the rounds so far. */
function useNext(sheet: Sheet, inputs: Texts, table: string): Said {
  const { bridge } = useApp();
  const { unit } = usePrefs();
  const key = JSON.stringify(inputs) + unit;
  const { value, fault, loading } = useLoaded(async () => {
    const reply = table ? await bridge.run(sheet.name, unit, inputs, "tapping in") : undefined;
    return { of: key, reply };
  }, [bridge, sheet, key, table]);
  if (!table) return {};
  if (fault && !loading) return { fault: { field: "", message: fault } };
  if (!value?.reply || value.of !== key) return {};
  return isRefused(value.reply) ? { fault: value.reply.error } : { answer: value.reply };
}

interface Said {
  answer?: Answer;
  fault?: { field: string; message: string };
}

/** The advised move, as it is stored with the readings after it. */
function toldMove(answer: Answer | undefined, head: boolean): string {
  const of = (key: string) => answer?.results[key]?.text ?? "";
  if (head) return of("turnx") || of("turny") ? `${of("turnx") || "0"}, ${of("turny") || "0"}` : "0, 0";
  return of("end") ? `${of("end").toLowerCase()}, ${of("move")}` : "none";
}

function Going({
  repo,
  setup,
  sheet,
  filled,
}: {
  repo: Repository;
  setup: Rec;
  sheet: Sheet;
  filled: Given;
}) {
  const { book: records, say } = useApp();
  const { unit, bare } = usePrefs();
  const work = useWork();
  const { pairs = "", sweeps = "", ...known } = filled.inputs;
  const { asked, set, keep } = useAsked(repo, setup, known);
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
  const typing = useReading(`tap ${setup.id}`);
  const { setFault } = typing;

  const move = (now: { open: Round | undefined; n: number }): string => {
    if (now.n === 1 || now.open) return now.open?.move ?? "";
    if (moved === "told") return told;
    if (moved === "none") return head ? "0, 0" : "none";
    const number = (t: string | undefined) => (t ?? "").trim().replace(/[,;]/g, "") || "0";
    if (head) return `${number(other["turnx"])}, ${number(other["turny"])}`;
    return `${other["end"]}, ${signed(number(other["by"]), "in", unit)}`;
  };
  const take = () => {
    const value = typing.number();
    if (!value) return;
    if (done.length > 0 && !open && moved === "told" && !next.answer) return; // not worked out yet
    setFault("");
    work.run(async () => {
      if (await keep()) say(B.clash.met);
      // The last reading may be stored and the rounds not yet worked out with it.
      const fresh = (await prefill(repo, "tapin", setup.id)).rounds[kind] ?? [];
      const now = standing(fresh, places, anew);
      if (now.n !== n && !now.open) return; // the move before it is not worked out yet either
      const before = move(now);
      await repo.make("reading", {
        setup: setup.id,
        station: now.place,
        value: signed(value, bare, unit),
        kind,
        round: String(now.n),
        ...(before && { move: before }),
        ...takenNow(setup),
      });
      setAnew(false);
      setMoved("told");
      typing.taken();
    });
  };
  const lastOne = (open ?? done.at(-1) ?? { reads: [] }).reads
    .flatMap((r) => repo.get(r) ?? [])
    .sort(byMade)
    .at(-1);
  const verdict = next.answer ? headline(sheet, next.answer).text : "";
  useEffect(() => {
    if (verdict && prefs().speak) speak(verdict);
  }, [verdict]);
  useTold(typing.fault, open ? "" : verdict);

  const job = repo.get(text(setup, "job"));
  const keepIt = () =>
    work.run(async () => {
      await records?.keep(
        { job: job ? nameOf(job) : "", worksheet: "tapin", unit, inputs, answer: next.answer! },
        { setup: setup.id, ...(job && { job: job.id }) },
      );
      say(T.kept);
    });
  return (
    <div class="readings">
      <Fit title={T.next} sheet={sheet} answer={next.answer}>
        <p class={next.fault ? "warn warn-refuse" : "quiet"}>
          {next.fault?.message ?? (wants ? T.wants(wants.label) : head ? T.beginHead : T.begin)}
        </p>
      </Fit>
      <Form class="card take" act={take}>
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
        <ReadingField
          of={typing}
          label={`${T.round(n)}: ${B.read.at(T.places[place]!)}`}
          means={bare}
          under={!typing.fault && <FaultLine id="reading-fault" text={work.fault || undefined} />}
        />
        <div class="form-foot">
          <Button submit go label={B.read.take} disabled={work.busy} />
          <Button
            label={B.read.undo}
            disabled={!lastOne || work.busy}
            act={() => {
              if (!lastOne) return;
              repo.remove(lastOne).then(
                (gone) =>
                  say(metOr(gone, B.read.undone(nameOf(lastOne))), () => takeBack(say, repo.restore(gone))),
                (err: unknown) => setFault(storeFault(err)),
              );
            }}
          />
        </div>
      </Form>
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
      <Listed repo={repo} list={anew ? [] : all} />
      <p class="foot-links">
        {next.answer && <Button label={T.keep} disabled={work.busy} act={keepIt} />}
        {all.length > 0 && !anew && (
          <Button
            label={T.anew}
            act={() => {
              setAnew(true);
              say(T.anewHelp, () => setAnew(false));
            }}
          />
        )}
        <Button label={T.sheet} href={href({ page: "sheet", sheet: "tapin", from: setup.id })} />
        <Button label={B.mill.open} href={book("setup", setup.id)} />
      </p>
    </div>
  );
}

/** The move really made before this round: the advised one unless the user says otherwise. */
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
    <TextField
      key={key}
      id={`moved-${key}`}
      label={label}
      looks="long-name"
      class="num"
      value={other[key] ?? ""}
      autocomplete="off"
      maxLength={30}
      data-pad={head ? "number" : "length"}
      data-label={label}
      set={(t) => setOther({ ...other, [key]: t })}
    />
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

function Listed({ repo, list }: { repo: Repository; list: readonly Round[] }) {
  if (list.length === 0) return null;
  return (
    <Card title={T.list}>
      <ol class="read-list" reversed>
        {[...list].reverse().map((r) => (
          <li key={r.n}>
            <b>{T.round(r.n)}</b>{" "}
            <span class="num">
              {T.row(
                r.move,
                r.reads
                  .flatMap((x) => repo.get(x) ?? [])
                  .map((x) => `${T.places[text(x, "station")]} ${text(x, "value")}`)
                  .join(", "),
              )}
            </span>
          </li>
        ))}
      </ol>
    </Card>
  );
}
