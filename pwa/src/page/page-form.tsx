import { useEffect, useRef, useState } from "preact/hooks";
import type { Bridge } from "../engine/bridge";
import type { Answer, Describe, Field, Page, Sheet, UnitSystem, Way } from "../engine/contract.gen";
import { pictureOf } from "../drawing/shown";
import { clearDraft, loadDraft, saveDraft } from "../form/drafts";
import { Fields } from "../form/fields";
import { ownPad } from "../form/keypad/keypad";
import { tellKeypad } from "../form/keypad/status";
import { pinUnits } from "../form/pin";
import { plain } from "../form/typed";
import type { Kept } from "../records/kept";
import { seen, useApp, useUnsaved } from "../screen/context";
import { setPrefs, usePrefs } from "../screen/prefs";
import { Door } from "../screen/door";
import { goOver, goUp } from "../screen/here";
import { href, type SheetView } from "../screen/route";
import { Button } from "../ui/controls";
import { Blank, Cautions, type Level } from "../ui/parts";
import { W } from "../text/words";
import { AnswerRest, levelOf } from "../worksheet/answer";
import { Board } from "./board";
import { Chips, isPick } from "./box";
import { habitsOf, rememberHabits } from "./habit-inputs";
import { Headline } from "./headline";
import { useKeep, type Keep } from "./keep";
import { cellId, rowsOf, Strip } from "./strip";
import { firstOf, takenOf, type Job } from "./use-job";
import { useListed } from "./use-room";
import { useTrouble } from "./use-trouble";
import { useShape, useWork, type Work } from "./use-work";
import * as ways from "./ways";
import type { Texts } from "./ways";

export interface PageFormProps {
  describe: Describe;
  page: Page;
  /** The worksheet it was opened by. */
  opened: string;
  view: SheetView | undefined;
  record?: Kept | undefined;
  job?: string | undefined;
  fromJob?: Job | undefined;
  /** The address of another view of this page. */
  viewHref: (view: SheetView | undefined) => string;
}

/** A kept record being changed has a draft of its own. */
const draftName = (p: PageFormProps): string =>
  p.record ? `${p.page.name} ${p.record._id}` : p.fromJob ? `${p.page.name} ${p.fromJob.id}` : p.page.name;

/** What was typed before; else the kept record; else the shop's settings and what the job gives. */
function startWith(
  p: PageFormProps,
  unit: UnitSystem,
  drills: string,
  given: Texts,
): { texts: Texts; chosen: string } {
  const draft = loadDraft(draftName(p)) ?? (p.record || p.fromJob ? undefined : loadDraft(p.opened));
  const sheets = p.page.ways.flatMap((w) => ways.sheetOf(p.describe, w.sheet) ?? []);
  if (draft) {
    const was = draft.more?.["unit"];
    const chosen = draft.more?.["way"] ?? "";
    let texts = draft.inputs;
    if ((was === "in" || was === "mm") && was !== unit) texts = allPinned(p, texts, was);
    const { sheet } = ways.wayOf(p.page, texts, chosen, p.opened);
    return { texts: ways.onto(texts, ways.clashesOf(p.describe, p.page), sheet), chosen };
  }
  if (p.record) return { texts: { ...p.record.inputs }, chosen: p.record.worksheet };
  const owned = drills && sheets.some((s) => s.inputs.some((i) => i.key === "drills"));
  const first = firstOf(p.page, p.opened, p.fromJob);
  return { texts: { ...(owned ? { drills } : {}), ...given }, chosen: first === p.opened ? "" : first };
}

/** What is typed for each worksheet of a page, with its units written out. */
function allPinned({ describe, page }: PageFormProps, texts: Texts, unit: UnitSystem): Texts {
  const clashes = ways.clashesOf(describe, page);
  let out = texts;
  for (const name of new Set(page.ways.map((w) => w.sheet))) {
    const s = ways.sheetOf(describe, name);
    if (s) out = ways.aside(pinUnits(s, ways.onto(out, clashes, name), unit), clashes, name);
  }
  return out;
}

/** Any page, from its description alone. */
export function PageForm(p: PageFormProps) {
  const { describe, page } = p;
  const { bridge, say, again, keyInHead } = useApp();
  const stopped = useTrouble(bridge);
  const { unit: preferred, drills, glove } = usePrefs();
  const unit: UnitSystem = p.record?.unit ?? preferred;
  const [taken] = useState(() => startingFrom(p, unit));
  const [start] = useState(() => startWith(p, unit, drills, taken.inputs));
  const [texts, setTexts] = useState<Texts>(start.texts);
  const [chosen, choose] = useState(start.chosen);
  const [stored, setStored] = useState(true);
  const [left, leave] = useState<Texts>(() => leftOf(p.record));
  const [rows, setRows] = useState<Record<string, number>>({});
  const listed = useListed();
  const draft = draftName(p);
  useUnsaved(`sheet ${draft}`, !stored);

  const way = ways.wayOf(page, texts, chosen, p.opened);
  const sheet = ways.sheetOf(describe, way.sheet)!;
  const fed = useFed(bridge, describe, page, way, unit, texts);
  const given = { ...fed.inputs, ...ways.inputsOf(sheet, texts, page, way) };
  // What was left as it is typed is meant, as long as it stands there.
  const meant = Object.keys(left).filter((k) => left[k] === (given[k] ?? ""));
  const inputs: Texts = meant.length > 0 ? { ...given, meant: meant.join(" ") } : given;
  const own = useWork(bridge, sheet, unit, inputs);
  // What another worksheet gives is asked for in its words.
  const work = fed.wants.includes(own.wanted) && fed.work.headline ? { ...own, ...asks(fed.work) } : own;
  const { answer } = work;
  const slip = answer?.cautions.find((c) => c.field && c.asks);
  const { shape, faint } = useShape(bridge, sheet, way, unit, inputs, answer);
  const answers = useRef<Record<string, Answer>>({});
  const asked = useRef(new Set<string>());
  if (answer) answers.current[answer.worksheet] = answer;

  const clashes = ways.clashesOf(describe, page);
  // The newest texts, also between two keys that come before the form is drawn again.
  const latest = useRef(texts);
  const apart = (all: Texts, by = chosen): Texts =>
    ways.aside(all, clashes, ways.wayOf(page, all, by, p.opened).sheet);
  const put = (next: Texts, by = chosen) => {
    latest.current = next;
    setTexts(next);
    if (Object.values(next).every((t) => t.trim() === "")) clearDraft(draft);
    else setStored(saveDraft(draft, { inputs: apart(next, by), more: { unit, ...(by && { way: by }) } }));
  };
  const change = (with_: Texts) => {
    const next = { ...latest.current };
    for (const [key, text] of Object.entries(with_)) {
      if (text === "") delete next[key];
      else next[key] = text;
    }
    put(next);
  };
  const pick = (name: string) => {
    choose(name);
    const to = page.ways.find((w) => ways.keyOf(w) === name)!;
    const next = ways.picked(page, to, ways.onto(apart(latest.current), clashes, to.sheet));
    for (const [input, from, result] of ways.takesOf(to)) {
      const found = answers.current[from]?.results[result];
      if (found && !ways.typed(next, input)) next[input] = found.shown ?? found.text;
    }
    put(next, name);
    // Of a list that goes on from what was taken the next row is open.
    const list = ways.words(to.list)[0];
    const f = list && ways.fieldOf(describe, page, to, list);
    if (!f || !ways.goesOn(to, list)) return void (opening.current = true);
    const row = rowsOf(f, next[list] ?? "").length;
    setRows((r) => ({ ...r, [list]: row }));
    begin.current = cellId(`${to.sheet}-${list}`, row, 0);
  };
  const opening = useRef(p.view === undefined && !p.record);
  const begin = useRef("");
  useEffect(() => {
    const first = begin.current && document.getElementById(begin.current);
    begin.current = "";
    if (!(first instanceof HTMLInputElement) || !ownPad()) return;
    first.inputMode = "none";
    first.focus({ preventScroll: true });
  });
  const clearAll = () => {
    const before = latest.current;
    put({});
    setRows({});
    say(W.sheet.cleared, () => put(before));
  };
  const turn = useRef(() => {});
  useEffect(() => {
    // One unit for the whole page, in the head; touched, it is the other.
    if (!p.record) keyInHead({ label: unit, says: W.page.unit(unit), act: () => turn.current() });
    return () => keyInHead(undefined);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- a state's own setter stays
  }, [unit]);
  const changeUnit = () => {
    const all = allPinned(p, apart(latest.current), unit);
    const to = unit === "in" ? "mm" : "in";
    latest.current = ways.onto(all, clashes, sheet.name);
    setTexts(latest.current);
    if (loadDraft(draft)) setStored(saveDraft(draft, { inputs: all, more: { unit: to, way: chosen } }));
    setPrefs({ unit: to });
  };
  turn.current = changeUnit;

  const takes = p.fromJob?.takes[sheet.name];
  const at = useRef<SheetView | "none" | undefined>(p.view);
  at.current = p.view;
  useEffect(() => () => void (at.current = "none"), []);
  const keeping = useKeep({
    title: page.title,
    draft: `keep ${draft}`,
    sheet,
    unit,
    inputs,
    answer: work.fault || work.stale || slip ? undefined : answer,
    job: p.fromJob && takes && { takes: { ...takes, inputs: taken.inputs }, book: p.fromJob.book },
    record: p.record,
    under: p.job,
    open: p.view === "keep",
    show: (panel) => {
      // Also called by an Undo, when one may be elsewhere by then.
      if (panel && at.current === undefined) location.hash = p.viewHref("keep");
      else if (panel && at.current !== "keep" && at.current !== "none") goOver(p.viewHref("keep"));
      if (!panel && at.current === "keep") goUp(p.viewHref(undefined));
    },
    done: () => {
      clearDraft(draft);
      setStored(true);
      rememberHabits(page, clashes, apart(latest.current));
    },
  });
  // A keep view that has nothing to ask is the drawing: as after a reload.
  const view = p.view === "keep" && !keeping.panel ? undefined : p.view;
  // A page that is left with an answer leaves its habits.
  const leaving = useRef(() => {});
  leaving.current = () => {
    if (answer) rememberHabits(page, clashes, apart(latest.current));
  };
  useEffect(() => {
    const leaves = () => leaving.current();
    addEventListener("pagehide", leaves);
    return () => {
      removeEventListener("pagehide", leaves);
      leaves();
    };
  }, [page]);

  const level: Level | "none" = work.fault ? "refuse" : answer ? levelOf(answer) : "none";
  const faultOf = (key: string): string => (work.fault?.field === key ? work.fault.message : "");
  useEffect(() => {
    tellKeypad({ fault: work.fault?.message ?? "" });
    return () => tellKeypad({ fault: "" });
  }, [work.fault]);
  const field = (key: string): Field | undefined => ways.fieldOf(describe, page, way, key);
  const gap = fed.wants.includes(own.wanted) ? "" : own.wanted;
  const more = ways.askedFor(sheet, page, way, texts, gap, asked.current);
  for (const b of more) asked.current.add(`${sheet.name}.${b.key}`);
  const boxes = [...ways.boxesOf(way), ...more];
  // Chips first, so that they fill a row, and what opens behind them.
  const choices = ways
    .words(way.chips)
    .flatMap((key) => field(key) ?? [])
    .sort((a, b) => Number(isPick(a)) - Number(isPick(b)));
  const from = marks(taken, texts);
  const form = useRef<HTMLFormElement>(null);
  // Where only another worksheet of the page would ask on the answer is looked at first.
  const needed = sheet.inputs.filter((i) => i.required);
  const whole = needed.length > 0 && needed.every((i) => ways.typed(texts, i.key));
  const ownBoxes = boxes.filter((b) => sheet.inputs.some((i) => i.key === b.key));
  const opens = !whole || ownBoxes.some((b) => ways.isOpen(b, field(b.key), texts));
  // What is chosen under the drawing and must be, is chosen first: the keypad would lie over it.
  const choose1st = choices.some((f) => f.required && !f.default && !ways.typed(texts, f.key));
  useFirstBox(form, opening, view === undefined && !choose1st, opens);

  const head = (
    <Headline
      work={stopped ? { ...work, headline: W.page.stopped, facts: [] } : work}
      level={level}
      slip={slip}
      take={(c) => {
        const before = latest.current;
        change({ [c.field!]: c.means! });
        say(W.sheet.taken, () => put(before));
      }}
      leave={(c) => leave({ ...left, [c.field!]: given[c.field!] ?? "" })}
    />
  );
  const steps =
    answer && sheet.results.find((r) => r.kind === "lines" && r.key === "steps" && answer.results[r.key]);
  const foot = (
    <Foot p={p} steps={!!steps} can={!!answer && !work.stale} asked={!!slip} few={glove} keeping={keeping} />
  );
  if (stopped || work.broken) {
    return (
      <div class="page">
        {head}
        <Blank kind="broken" title={W.sheet.broken} help={stopped || work.broken}>
          <button type="button" class="button go" onClick={again}>
            {W.home.again}
          </button>
        </Blank>
      </div>
    );
  }
  return (
    <form
      class={`page view-${view ?? "board"}`}
      data-mark={answer?.mark ?? "none"}
      id="numbers"
      aria-label={W.sheet.numbers}
      autocomplete="off"
      ref={form}
      onSubmit={(e) => e.preventDefault()}
      onFocusIn={(e) => {
        if (e.target instanceof HTMLInputElement) opening.current = false;
      }}
    >
      {head}
      {view === undefined && (
        <>
          <Board
            sheet={sheet}
            unit={unit}
            texts={texts}
            boxes={boxes}
            fieldOf={field}
            shape={shape}
            faint={faint}
            answer={work.fault ? undefined : answer}
            listed={listed}
            faultOf={faultOf}
            from={from}
            fed={fed.shown}
            put={change}
            rowOf={(list) => rows[list] ?? (way.flat ? -1 : 0)}
            openRow={(list, row) => setRows((r) => ({ ...r, [list]: row }))}
            bold={ways.words(way.bold)}
            strips={(list, order, drawn) => (
              <Strip
                key={list}
                id={`${sheet.name}-${list}`}
                f={field(list)!}
                unit={unit}
                value={texts[list] ?? ""}
                flat={list === ways.words(way.list)[0] ? ways.words(way.flat) : []}
                order={order}
                drawn={drawn}
                placeless={listed || (faint && !!work.fault)}
                required={boxes.some((b) => b.key === list && !b.quiet)}
                fault={faultOf(list) !== ""}
                from={from[list]}
                row={rows[list]}
                ends={(way.ends ?? "").split(",")}
                goesOn={ways.goesOn(way, list)}
                openRow={(row) => setRows((r) => ({ ...r, [list]: row }))}
                set={(text) => change({ [list]: text })}
              />
            )}
          />
          <div class="choices">
            {page.ways.filter((w) => w.chip).length > 1 && (
              <div class="seg ways" role="group" aria-label={page.title}>
                {page.ways
                  .filter((w) => w.chip)
                  .map((w) => (
                    <button
                      key={ways.keyOf(w)}
                      type="button"
                      class="chip"
                      aria-pressed={w === way}
                      onClick={() => pick(ways.keyOf(w))}
                    >
                      {w.chip}
                    </button>
                  ))}
              </div>
            )}
            {choices.map((f) => (
              <Chips
                key={f.key}
                id={`${sheet.name}-${f.key}`}
                f={f}
                value={texts[f.key] ?? ""}
                set={(text) => change({ [f.key]: text })}
              />
            ))}
          </div>
        </>
      )}
      {view === "more" && (
        <More
          sheet={sheet}
          fields={ways.restOf(sheet, page, way, shape && pictureOf(sheet.drawing, shape, faint)?.none)}
          unit={unit}
          texts={texts}
          faultOf={faultOf}
          change={change}
          clear={clearAll}
          ways={p}
        />
      )}
      {view === "why" && answer && <AnswerRest sheet={sheet} answer={answer} folded={false} />}
      {view === "steps" && answer && <Steps answer={answer} />}
      {view === "keep" && keeping.panel}
      {foot}
    </form>
  );
}

/** What a kept record's numbers were meant as: asked about again only when another text stands there. */
const leftOf = (record: Kept | undefined): Texts =>
  Object.fromEntries(ways.words(record?.inputs["meant"]).map((key) => [key, record?.inputs[key] ?? ""]));

interface Taken {
  inputs: Texts;
  /** In words, where each came from. */
  from: Texts;
}

/** What stands there before anything is typed: what the job gives, else what stood there last. */
function startingFrom(p: PageFormProps, unit: UnitSystem): Taken {
  if (p.record) return { inputs: {}, from: {} };
  const clashes = ways.clashesOf(p.describe, p.page);
  const habits = ways.onto(habitsOf(p.page, clashes), clashes, firstOf(p.page, p.opened, p.fromJob));
  const job = p.fromJob && takenOf(p.describe, p.page, p.opened, p.fromJob, unit);
  const last = Object.fromEntries(Object.keys(habits).map((key) => [key, W.page.habit]));
  return { inputs: { ...habits, ...job?.inputs }, from: { ...last, ...job?.from } };
}

/** Where the inputs came from that were not typed, as long as they are unchanged. */
const marks = (taken: Taken, texts: Texts): Texts =>
  Object.fromEntries(Object.entries(taken.from).filter(([key]) => texts[key] === taken.inputs[key]));

const asks = ({ headline, facts }: Work): Pick<Work, "headline" | "facts"> => ({ headline, facts });

/**
 * What a way that is picked by what is typed takes from the answer of another, as long as it is not
 * typed itself: it follows that answer.
 */
function useFed(
  bridge: Bridge,
  describe: Describe,
  page: Page,
  way: Way,
  unit: UnitSystem,
  texts: Texts,
): { inputs: Texts; shown: Texts; wants: string[]; work: Work } {
  const takes = way.chip ? [] : ways.takesOf(way).filter(([input]) => !ways.typed(texts, input));
  const from = page.ways.find((w) => w.sheet === takes[0]?.[1]);
  const sheet = from && ways.sheetOf(describe, from.sheet);
  const work = useWork(bridge, sheet, unit, sheet ? ways.inputsOf(sheet, texts, page, from) : {});
  const [inputs, shown]: [Texts, Texts] = [{}, {}];
  for (const [input, , result] of takes) {
    const found = work.answer?.worksheet === sheet?.name ? work.answer?.results[result] : undefined;
    if (!found?.text) continue;
    inputs[input] = found.text;
    shown[input] = found.shown ?? found.text;
  }
  return { inputs, shown, wants: takes.map(([input]) => input), work };
}

/**
 * Under a finger the keypad opens on the first box that still wants a value: once as the page comes,
 * or another of its ways, and may.
 */
function useFirstBox(
  form: { current: HTMLFormElement | null },
  opening: { current: boolean },
  may: boolean,
  wants: boolean,
): void {
  useEffect(() => {
    if (!opening.current || !may) return;
    opening.current = false;
    if (!wants || !ownPad()) return;
    const first = [...(form.current?.querySelectorAll<HTMLInputElement>('input[data-open="yes"]') ?? [])]
      .filter(seen)
      .sort((a, b) => Number(a.dataset["next"]) - Number(b.dataset["next"]))[0];
    if (!first || document.activeElement instanceof HTMLInputElement) return;
    first.inputMode = "none";
    first.focus({ preventScroll: true });
  });
}

/** Everything else the worksheet asks, as a form. */
function More({
  sheet,
  fields,
  unit,
  texts,
  faultOf,
  change,
  clear,
}: {
  sheet: Sheet;
  fields: Field[];
  unit: UnitSystem;
  texts: Texts;
  faultOf: (key: string) => string;
  change: (texts: Texts) => void;
  clear: () => void;
  ways: PageFormProps;
}) {
  const [explain, setExplain] = useState(false);
  return (
    <div class="more">
      <Fields
        prefix={sheet.name}
        fields={fields}
        unit={unit}
        explain={explain}
        values={texts}
        faultOf={faultOf}
        put={(f, v) => change({ [f.key]: plain(v) })}
      />
      <div class="form-foot">
        <button type="button" class="chip" aria-pressed={explain} onClick={() => setExplain(!explain)}>
          {W.sheet.explain}
        </button>
        <button type="button" class="button" disabled={Object.keys(texts).length === 0} onClick={clear}>
          {W.sheet.clear}
        </button>
        <Button label={W.nav.reference} href={href({ page: "reference", sheet: sheet.name })} />
      </div>
    </div>
  );
}

/** What is done, in order, and what can hurt. */
function Steps({ answer }: { answer: Answer }) {
  const steps = answer.results["steps"]?.value;
  return (
    <section class="card">
      <ol class="steps">
        {(Array.isArray(steps) ? steps : []).map((line, i) => (
          <li key={i}>{String(line)}</li>
        ))}
      </ol>
      <Cautions list={answer.cautions} />
    </section>
  );
}

/** The key of a view of this page. */
function View({ p, view, label, off }: { p: PageFormProps; view: SheetView; label: string; off?: boolean }) {
  const at = p.viewHref;
  const [here, within] = [p.view === view, p.view !== undefined];
  return <Door {...{ label, here, within }} to={at(view)} page={at(undefined)} off={!!off} />;
}

/** The keys of the page: in gloves More and Keep, the others stand under More. */
function Foot({
  p,
  steps,
  can,
  asked,
  few,
  keeping,
}: {
  p: PageFormProps;
  steps: boolean;
  can: boolean;
  /** A slip is asked about: it is answered before anything is kept. */
  asked: boolean;
  few: boolean;
  keeping: Keep;
}) {
  const rest = (
    <>
      {steps && <View p={p} view="steps" label={W.page.steps} />}
      <View p={p} view="why" label={W.page.why} off={!can} />
    </>
  );
  return (
    <>
      {few && p.view === "more" && <nav class="page-rest">{rest}</nav>}
      <nav class="page-foot" aria-label={W.page.foot}>
        {!few && rest}
        <View p={p} view="more" label={W.page.more} />
        <button
          type="button"
          class="go"
          disabled={!can || asked || keeping.kept}
          aria-pressed={keeping.kept}
          onClick={keeping.keep}
        >
          {keeping.kept ? W.keep.kept : W.sheet.keep}
        </button>
      </nav>
    </>
  );
}
