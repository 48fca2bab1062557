import { useEffect, useRef, useState } from "preact/hooks";
import { Drawing } from "../drawing/lazy";
import { loadDraft, saveDraft, clearDraft } from "../form/drafts";
import { byMade, canonical, nameOf, text, type Rec } from "../records/fields";
import type { Book } from "../records/open";
import type { Repository } from "../records/repository";
import type { Answer, Sheet } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { book, href } from "../screen/route";
import { useApp, useLoaded } from "../screen/context";
import { Door } from "../screen/door";
import { goUp } from "../screen/here";
import { Button, Form, TextField } from "../ui/controls";
import { Blank, Segments, WideTable } from "../ui/parts";
import { prefs, usePrefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { M } from "../text/mill";
import { W } from "../text/words";
import { Headline } from "../page/headline";
import type { Work } from "../page/use-work";
import { headline, levelOf } from "../worksheet/answer";
import { FieldInput } from "../form/field";
import { plain } from "../form/typed";
import { useLight } from "./light";
import { prefill, type Given, type Round } from "./prefill";
import { Boxes, usePadKeys, useReading, useTold } from "./reading-field";
import { signed, thou } from "./readlogic";
import { keepShown, shownIn } from "./shown";
import { speak } from "./speak";
import { takenNow } from "./taken";
import { TapChart, TapDrawing } from "./tapview";
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
export const Tap = ofRecord<{ id: string; more: Texts }>(Described, ["reading", "job", "gauge"], {
  title: (name) => `${T.title}: ${name}`,
  none: B.read.noSetup,
});

function Described({ repo, rec, more }: { repo: Repository; rec: Rec; more: Texts }) {
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
        <Going repo={repo} setup={rec} sheet={sheet} filled={filled} view={more["view"] ?? ""} />
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
  const { reply } = value;
  if (!isRefused(reply)) return { answer: reply };
  return { fault: reply.error, ...(reply.headline && { headline: reply.headline }) };
}

interface Said {
  answer?: Answer;
  headline?: string;
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
  view,
}: {
  repo: Repository;
  setup: Rec;
  sheet: Sheet;
  filled: Given;
  view: string;
}) {
  const { book: records, say } = useApp();
  const { unit, bare } = usePrefs();
  const work = useWork();
  const { pairs = "", sweeps = "", ...known } = filled.inputs;
  const { asked, set, keep } = useAsked(repo, setup, known);
  const head = asked["mode"] === "head";
  const kind = head ? "head" : "tap";
  const how = head ? "head" : asked["mode"] === "shim" ? "shim" : "tap";
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
  const take = (given?: string) => {
    const value = typing.number(given);
    if (!value) return;
    if (done.length > 0 && !open && moved === "told" && !next.answer) return; // not worked out yet
    setFault("");
    if (work.busy) return;
    const store = async () => {
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
      // The last of its round: the keypad gives way to the answer.
      if (now.place === places.at(-1)) typing.field.current?.blur();
    };
    return new Promise<void>((done) => work.run(() => store().finally(done)));
  };
  typing.takes(take);
  const lastOne = (open ?? done.at(-1) ?? { reads: [] }).reads
    .flatMap((r) => repo.get(r) ?? [])
    .sort(byMade)
    .at(-1);
  const verdict = next.answer ? headline(sheet, next.answer).text : "";
  useEffect(() => {
    if (verdict && prefs().speak) speak(verdict);
  }, [verdict]);
  useTold(typing.fault, "");
  const undo = () => {
    if (!lastOne) return;
    repo.remove(lastOne).then(
      (gone) => say(metOr(gone, B.read.undone(nameOf(lastOne))), () => takeBack(say, repo.restore(gone))),
      (err: unknown) => setFault(storeFault(err)),
    );
  };
  useLight();
  usePadKeys(typing, { back: undo });
  // A round that is begun is read on; before the first there is nothing else to do.
  const reads = !!open || done.length === 0;
  const settled = !!wants || !!next.fault;
  useEffect(() => {
    if (reads && !settled && !view) typing.field.current?.focus({ preventScroll: true });
  }, [reads, settled, view, typing.field]);

  // Tapped, and the needle says the same as before.
  const before = done.at(-1)?.reads.map((r) => text(repo.get(r), "value")) ?? [];
  const stuck = () =>
    work.run(async () => {
      if (await keep()) say(B.clash.met);
      const made: Rec[] = [];
      for (const [i, station] of places.entries()) {
        const values = { station, value: before[i], kind, round: String(n), ...(told && { move: told }) };
        made.push(await repo.make("reading", { setup: setup.id, ...values, ...takenNow(setup) }));
      }
      say(M.tap.stuckSaid, () => takeBack(say, Promise.all(made.map((r) => repo.remove(r)))));
    });
  const job = repo.get(text(setup, "job"));
  const store = async (answer: Answer) => {
    await records?.keep(
      { job: job ? nameOf(job) : "", worksheet: "tapin", unit, inputs, answer },
      { setup: setup.id, ...(job && { job: job.id }) },
    );
    say(T.kept);
  };
  const good = next.answer?.results["done"]?.value === true && !open && done.length > 1;
  const page = book("tap", setup.id);
  const leave = () =>
    work.run(async () => {
      // In line: the sequence is kept, once.
      if (good && next.answer && !(await isKept(repo, records, setup, table))) await store(next.answer);
      goUp(book("setup", setup.id));
    });
  const door = (to: string, label: string) => (
    <Door
      label={label}
      to={book("tap", setup.id, { view: to })}
      page={page}
      here={view === to}
      within={!!view}
    />
  );
  const shown = open ?? done.at(-1);
  const value = (station: string) => {
    const rec = repo.get(shown?.reads[places.indexOf(station)] ?? "");
    return text(rec, "value").replace(bare === "thou" ? / (thou|um)$/ : "", "");
  };
  const fault = typing.fault || work.fault || next.fault?.message || "";
  const said: Work = {
    headline: wants
      ? T.wants(wants.label)
      : reads
        ? M.read(T.places[place]!)
        : (next.answer?.headline ?? next.headline ?? T.round(n - 1)),
    facts: fault || wants ? [] : reads ? [T.round(n)] : (next.answer?.facts ?? []).slice(0, 3),
    wanted: "",
    broken: "",
    stale: false,
    ...(fault && { fault: { field: "reading", message: fault } }),
  };
  const answer = anew ? undefined : next.answer;
  const canStick = !reads && !!answer && !good && moved === "told" && !/^(none|0, 0)$/.test(told);
  return (
    <div class={view ? "page tapping within" : "page tapping"}>
      <Headline
        work={said}
        level={reads || !answer ? "none" : levelOf(answer)}
        take={nothing}
        leave={nothing}
      />
      {!view &&
        (head ? (
          answer && <Drawing sheet={sheet} answer={answer} />
        ) : (
          <TapDrawing answer={answer} pivot={asked["pivot"] ?? "a"} side={asked["side"] ?? "front"} />
        ))}
      <Form class="take" act={() => typing.submit()}>
        <div class="mill-board">
          <Boxes
            of={typing}
            spots={places.map((p) => ({ key: p, name: T.places[p]!, value: value(p) }))}
            now={place}
            pick={nothing}
            label={`${T.round(n)}: ${B.read.at(T.places[place]!)}`}
            means={bare}
            again=""
          />
        </div>
      </Form>
      {!view && answer && !head && <TapChart answer={answer} />}
      {!view && (
        <div class="hand-keys">
          {settled ? (
            <Button go class="hand main" label={T.set} href={book("tap", setup.id, { view: "more" })} />
          ) : (
            <Button
              go
              class={canStick ? "hand main" : "hand full"}
              label={reads ? M.read(T.places[place]!) : good ? M.tap.again : M.tap.moved[how]}
              disabled={work.busy}
              act={() => typing.field.current?.focus()}
            />
          )}
          {canStick && <Button class="hand" label={M.tap.stuck} disabled={work.busy} act={stuck} />}
        </div>
      )}
      {view === "more" && (
        <section class="card mill-more">
          <h2>{T.set}</h2>
          <div class="fields">
            {sheet.inputs
              .filter(
                (i) =>
                  i.kind !== "table" &&
                  (head ? i.key !== "pivot" && i.key !== "reach" : i.section !== "Head"),
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
        </section>
      )}
      {view === "rounds" && (
        <section class="card mill-more">
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
          <Rounds repo={repo} list={anew ? [] : all} places={places} />
          <p class="foot-links">
            <Button label={B.read.undo} disabled={!lastOne || work.busy} act={undo} />
            {answer && (
              <Button label={T.keep} disabled={work.busy} act={() => work.run(() => store(answer))} />
            )}
            {all.length > 0 && !anew && (
              <Button
                label={T.anew}
                act={() => {
                  setAnew(true);
                  goUp(page);
                  say(T.anewHelp, () => setAnew(false));
                }}
              />
            )}
          </p>
        </section>
      )}
      <nav class="page-foot" aria-label={W.page.foot}>
        {door("more", M.more)}
        {door("rounds", M.tap.rounds)}
        <a class="foot-less" href={href({ page: "sheet", sheet: "tapin", from: setup.id })}>
          {M.tap.why}
        </a>
        <button type="button" class={good ? "go" : ""} disabled={work.busy} onClick={leave}>
          {M.tap.done}
        </button>
      </nav>
    </div>
  );
}

const nothing = () => undefined;

/** Whether this sequence is kept with the setup already. */
async function isKept(
  repo: Repository,
  records: Book | undefined,
  setup: Rec,
  table: string,
): Promise<boolean> {
  if (!records) return true;
  await repo.load("kept");
  const mine = repo
    .all("kept")
    .filter((k) => text(k, "setup") === setup.id && text(k, "worksheet") === "tapin");
  const all = await Promise.all(mine.map((k) => records.get(k.id)));
  return all.some((k) => [k?.inputs["pairs"], k?.inputs["sweeps"]].includes(table));
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
          { key: "told", label: still ? T.nothing : T.asTold(moveWords(told)) },
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

/** A move as it was kept, "b, -0.0121 in", to a quarter of a thou; of a head the turns as they are. */
function moveWords(move: string): string {
  const [end = "", by = ""] = move.split(", ");
  const n = thou(by);
  return n === undefined ? move : `${end.toUpperCase()} ${Math.round(n * 4) / 4}`;
}

function Rounds({
  repo,
  list,
  places,
}: {
  repo: Repository;
  list: readonly Round[];
  places: readonly string[];
}) {
  if (list.length === 0) return null;
  return (
    <WideTable
      name={T.list}
      heads={[M.tap.round, M.tap.movedBefore, ...places.map((p) => T.places[p]!)].map((name) => (
        <th key={name} scope="col">
          {name}
        </th>
      ))}
    >
      {[...list].reverse().map((r) => (
        <tr key={r.n}>
          <td>{r.n}</td>
          <td class="num">{moveWords(r.move)}</td>
          {r.reads.map((id, i) => (
            <td key={i} class="num">
              {text(repo.get(id), "value").replace(/ thou$/, "")}
            </td>
          ))}
        </tr>
      ))}
    </WideTable>
  );
}
