import { useEffect, useRef, useState } from "preact/hooks";
import { clearDraft, loadDraft, saveDraft } from "../form/drafts";
import type { Kept, Links } from "../records/kept";
import type { Bridge } from "../engine/bridge";
import type { Sheet, UnitSystem } from "../engine/contract.gen";
import { href } from "../screen/route";
import { tellKeypad } from "../form/keypad/status";
import { seen, useApp, useUnsaved } from "../screen/context";
import type { Outcome as FromTheJob } from "../screen/load";
import { Blank, Fold, Sign } from "../ui/parts";
import { setPrefs, usePrefs } from "../screen/prefs";
import { W } from "../text/words";
import { AnswerHead, AnswerRest, headline, inALine, levelOf } from "./answer";
import { Fields, UnitLine } from "../form/fields";
import { plain } from "../form/typed";
import { KeepBox } from "./keep";
import { pinUnits } from "../form/pin";
import { useAnswer } from "./use-answer";

type Texts = Record<string, string>;

/** What a worksheet takes from the setup or step it was opened from. */
export interface FromJob {
  id: string;
  inputs: Texts;
  /** In words, where each came from. */
  from: Texts;
  links: Links;
  fault: string;
}

/** A kept record being changed has a draft of its own. */
const draftName = (sheet: Sheet, record: Kept | undefined, given: FromJob | undefined): string =>
  record ? `${sheet.name} ${record._id}` : given ? `${sheet.name} ${given.id}` : sheet.name;

/**
 * What the form starts with: the draft, else the kept record, else the shop's settings on this
 * phone.
 */
function startWith(
  sheet: Sheet,
  record: Kept | undefined,
  given: FromJob | undefined,
  unit: UnitSystem,
  drills: string,
): Texts {
  const draft = loadDraft(draftName(sheet, record, given));
  if (draft) {
    const was = draft.more?.["unit"];
    return (was === "in" || was === "mm") && was !== unit ? pinUnits(sheet, draft.inputs, was) : draft.inputs;
  }
  if (record) return { ...record.inputs };
  const shop: Texts = drills && sheet.inputs.some((i) => i.key === "drills") ? { drills } : {};
  return { ...shop, ...given?.inputs };
}

/**
 * Any worksheet, from its description alone: the form, the answer as it is typed, and keeping it.
 */
export function SheetForm({
  sheet,
  record,
  job,
  given,
  Outcome,
}: {
  sheet: Sheet;
  record?: Kept;
  job?: string;
  given?: FromJob;
  Outcome?: FromTheJob;
}) {
  const { bridge, say, again } = useApp();
  const stopped = useTrouble(bridge);
  const { unit: preferred, drills } = usePrefs();
  const unit: UnitSystem = record?.unit ?? preferred;
  const [texts, setTexts] = useState<Texts>(() => startWith(sheet, record, given, unit, drills));
  const draft = draftName(sheet, record, given);
  const [stored, setStored] = useState(true);
  const [untouched, setUntouched] = useState(true);
  const [explain, setExplain] = useState(false);
  const worked = useAnswer(bridge, sheet, unit, texts);
  const { answer } = worked;
  const fault = worked.settled ? worked.fault : undefined;
  useUnsaved(`sheet ${sheet.name}`, !stored);

  // The newest texts, also between two keys that come before the form is drawn again.
  const latest = useRef(texts);
  const put = (next: Texts) => {
    latest.current = next;
    setTexts(next);
    setUntouched(false);
    const blank = Object.values(next).every((t) => t.trim() === "");
    if (blank) clearDraft(draft);
    else setStored(saveDraft(draft, { inputs: next, more: { unit } }));
  };
  const set = (key: string, text: string) => {
    const next = { ...latest.current };
    if (text === "") delete next[key];
    else next[key] = text;
    put(next);
  };
  const clearAll = () => {
    const before = latest.current;
    put({});
    say(W.sheet.cleared, () => put(before));
  };

  // A required field left blank is no fault: the head says what is wanted, and nothing turns red.
  const blank = (field: string): boolean => field !== "" && !(texts[field] ?? "").trim();
  const faultOf = (key: string): string => (fault?.field === key && !blank(key) ? fault.message : "");
  const told = worked.fault && !blank(worked.fault.field) ? worked.fault.message : "";
  useEffect(() => {
    tellKeypad({
      fault: told,
      answer: answer && !worked.fault ? inALine(sheet, answer) : "",
      level: answer ? levelOf(answer) : "none",
    });
    return () => tellKeypad({ fault: "", answer: "", level: "none" });
  }, [answer, told, worked.fault, sheet]);

  return (
    <div class="sheet">
      <section class="sheet-head card" id="answer" aria-label={W.sheet.answer}>
        {record && <p class="opened">{W.sheet.opened(record.job)}</p>}
        {given && <Taken given={given} sheet={sheet} texts={texts} />}
        {stopped ? (
          <Blank kind="broken" title={W.home.stopped} help={stopped}>
            <button type="button" class="button go" onClick={again}>
              {W.home.again}
            </button>
          </Blank>
        ) : answer ? (
          <AnswerHead
            sheet={sheet}
            answer={answer}
            stale={!!worked.fault}
            use={(c) => {
              const before = latest.current;
              set(c.field!, c.means!);
              say(W.sheet.taken, () => put(before));
            }}
          />
        ) : (
          <Waiting sheet={sheet} worked={worked} asked={!!fault && blank(fault.field)} />
        )}
        {Outcome && given && answer && !worked.fault && (
          <div class="outcome">
            <Outcome answer={answer} unit={unit} inputs={texts} links={given.links} />
          </div>
        )}
        <Spoken
          text={
            answer ? `${headline(sheet, answer).text} ${inALine(sheet, answer, 3)}` : (fault?.message ?? "")
          }
        />
      </section>

      <form
        class="sheet-form"
        id="numbers"
        aria-label={W.sheet.numbers}
        autocomplete="off"
        onSubmit={(e) => e.preventDefault()}
        onKeyDown={nextOnEnter}
      >
        <UnitLine
          unit={unit}
          explain={explain}
          setExplain={setExplain}
          change={
            !record &&
            ((to) => {
              const pinned = pinUnits(sheet, latest.current, unit);
              latest.current = pinned;
              setTexts(pinned);
              if (loadDraft(draft)) setStored(saveDraft(draft, { inputs: pinned, more: { unit: to } }));
              setPrefs({ unit: to });
            })
          }
        />
        <Fields
          prefix={sheet.name}
          fields={sheet.inputs}
          unit={unit}
          explain={explain}
          values={texts}
          faultOf={faultOf}
          wanted={fault?.field}
          put={(f, v) => set(f.key, plain(v))}
        />
        <div class="form-foot">
          <button type="button" class="button" disabled={Object.keys(texts).length === 0} onClick={clearAll}>
            {W.sheet.clear}
          </button>
          <a class="button" href={href({ page: "reference", sheet: sheet.name })}>
            {W.nav.reference}
          </a>
        </div>
      </form>

      <div class="sheet-rest">
        {answer && (
          <div class={worked.fault ? "stale-rest" : ""}>
            <AnswerRest sheet={sheet} answer={answer} />
          </div>
        )}
        <KeepBox
          draft={`keep ${draft}`}
          sheet={sheet}
          unit={unit}
          inputs={texts}
          answer={worked.fault ? undefined : answer}
          job={job || record?.job || ""}
          {...(given ? { links: given.links } : record?.links ? { links: record.links } : {})}
          note={record && untouched ? record.note : ""}
          kept={() => {
            clearDraft(draft);
            setStored(true);
          }}
        />
        {sheet.about.length > 0 && (
          <Fold title={W.sheet.about}>
            {sheet.about.map((p, i) => (
              <p key={i}>{p}</p>
            ))}
          </Fold>
        )}
      </div>
    </div>
  );
}

/** The inputs taken from the job, by name, as long as they are unchanged. */
function Taken({ given, sheet, texts }: { given: FromJob; sheet: Sheet; texts: Texts }) {
  const list = sheet.inputs.filter((i) => given.inputs[i.key] && texts[i.key] === given.inputs[i.key]);
  return (
    <p class="opened">
      {given.fault
        ? `${W.sheet.jobFailed} ${given.fault}`
        : list.length === 0
          ? W.sheet.jobNothing
          : W.sheet.jobGave(
              list.map((i) => `${i.label.toLowerCase()} (${given.from[i.key] ?? ""})`).join("; "),
            )}
    </p>
  );
}

/** Why the worker stopped; "" while it runs. */
function useTrouble(bridge: Bridge): string {
  const [trouble, set] = useState(bridge.trouble);
  useEffect(() => bridge.onState(() => set(bridge.trouble)), [bridge]);
  return trouble;
}

/** Enter goes to the next field, for gauges that end each reading with Enter. */
function nextOnEnter(e: KeyboardEvent & { currentTarget: HTMLFormElement }): void {
  if (e.key !== "Enter" || !(e.target instanceof HTMLInputElement) || e.target.type !== "text") return;
  e.preventDefault();
  const all = [...e.currentTarget.querySelectorAll<HTMLInputElement>("input[type=text]")].filter(seen);
  const next = all[all.indexOf(e.target) + 1];
  if (next) next.focus();
  else e.target.blur();
}

/**
 * In place of an answer: the question, what is still needed, or what is wrong. Never an old answer.
 */
function Waiting({
  sheet,
  worked,
  asked,
}: {
  sheet: Sheet;
  worked: ReturnType<typeof useAnswer>;
  asked: boolean;
}) {
  if (worked.broken) return <Blank kind="broken" title={W.sheet.broken} help={worked.broken} />;
  if (worked.fault && worked.settled && !asked) {
    return (
      <div class="answer-head waiting">
        <div class="verdict">
          <Sign level="refuse" size={40} />
          <p>
            <small>{W.sheet.stopped}</small>
            {worked.fault.message}
          </p>
        </div>
      </div>
    );
  }
  return (
    <div class="answer-head waiting">
      <p class="question">{sheet.question}</p>
      <p class="quiet">
        {asked && worked.fault
          ? worked.fault.message
          : worked.needs.length > 0
            ? W.sheet.needs(worked.needs.join(", "))
            : worked.busy
              ? W.sheet.busy
              : W.sheet.waiting}
      </p>
    </div>
  );
}

/** Said aloud once typing rests, so that a screen reader is not interrupted at each key. */
function Spoken({ text }: { text: string }) {
  const [said, say] = useState("");
  useEffect(() => {
    const t = setTimeout(() => say(text), 700);
    return () => clearTimeout(t);
  }, [text]);
  return (
    <p class="unseen" role="status" aria-live="polite">
      {said}
    </p>
  );
}
