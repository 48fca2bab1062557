import { useEffect, useRef, useState } from "preact/hooks";
import type { Kept } from "../records/kept";
import type { Found, Sheet } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { href } from "../screen/route";
import { sayFault } from "../storage/persist";
import { useApp, useLoaded, useUnsaved, when, words } from "../screen/context";
import { Button, Form, TextField } from "../ui/controls";
import { Blank, FaultLine, Figure, Sign } from "../ui/parts";
import { B } from "../text/jobbook";
import { W } from "../text/words";
import { asRead, headline, levelOf, mains } from "../worksheet/answer";
import { PlannedAndFound } from "./compare";

/** What is kept under one job, newest first. */
export function JobPage({ id: job }: { id: string }) {
  const { book, bookFault, describe, say } = useApp();
  const [round, next] = useState(0);
  const [hidden, hide] = useState<readonly string[]>([]);
  const going = useRef(new Map<string, { record: Kept; timer: number }>());
  useEffect(() => book?.watch(() => next((n) => n + 1)), [book]);
  const kept = useLoaded(() => book?.list(job), [book, job, round]);

  // A delete waits eight seconds for its Undo, or until the page is left; only then is it stored.
  const finish = (id: string) => {
    const one = going.current.get(id);
    clearTimeout(one?.timer);
    going.current.delete(id);
    const back = (why: string) => {
      hide((h) => h.filter((x) => x !== id));
      say(why);
    };
    if (one)
      void book?.remove(one.record).then(
        ({ met }) => met.length > 0 && back(B.clash.met),
        (err: unknown) => back(words(err)),
      );
  };
  useEffect(() => {
    const all = going.current;
    const leave = () => [...all.keys()].forEach(finish);
    addEventListener("pagehide", leave);
    return () => {
      removeEventListener("pagehide", leave);
      leave();
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- finish is the same for one book
  }, [book, job]);
  const remove = (record: Kept, title: string) => {
    const id = record._id;
    hide((h) => [...h, id]);
    going.current.set(id, { record, timer: window.setTimeout(() => finish(id), 8000) });
    say(B.kept.removed(title), () => {
      clearTimeout(going.current.get(id)?.timer);
      going.current.delete(id);
      hide((h) => h.filter((x) => x !== id));
    });
  };

  if (bookFault || kept.fault) return <Blank kind="broken" title={B.failed} help={bookFault || kept.fault} />;
  if (!kept.value) return <Blank kind="loading" title={B.loading} />;
  const list = kept.value.filter((k) => !hidden.includes(k._id));
  return (
    <div class="narrow">
      {list.length === 0 && <Blank kind="empty" title={B.kept.empty} help={B.goneHelp} />}
      {list.map((record) => (
        <Record
          key={record._id}
          record={record}
          sheet={describe?.worksheets.find((s) => s.name === record.worksheet)}
          remove={remove}
        />
      ))}
      {describe && describe.worksheets.length > 0 && (
        <p class="foot-links">
          {[...new Set(kept.value.map((k) => k.worksheet))]
            .flatMap((name) => describe.worksheets.filter((s) => s.name === name))
            .concat(kept.value.length === 0 ? describe.worksheets.slice(0, 1) : [])
            .map((s) => (
              <Button
                key={s.name}
                label={`${B.kept.again}: ${s.title}`}
                href={href({ page: "sheet", sheet: s.name, job })}
              />
            ))}
        </p>
      )}
    </div>
  );
}

/**
 * The planned length that a measured depth is held against: the hole's shoulder, else the first
 * main length.
 */
function plannedDepth(sheet: Sheet | undefined, record: Kept): { label: string; found: Found } | undefined {
  const { results } = record.answer;
  const list = sheet?.results ?? [];
  const r =
    list.find((x) => x.key === "shoulder" && results[x.key]) ??
    list.find((x) => x.main && x.kind === "length" && results[x.key]);
  return r ? { label: r.label, found: asRead(results[r.key]!) } : undefined;
}

function Record({
  record,
  sheet,
  remove,
}: {
  record: Kept;
  sheet: Sheet | undefined;
  remove: (record: Kept, title: string) => void;
}) {
  const { answer } = record;
  if (!answer?.results || !answer.cautions) {
    return (
      <article class="card record">
        <h2>{sheet?.title ?? record.worksheet}</h2>
        <p>{W.jobs.unreadable}</p>
      </article>
    );
  }
  const head = sheet ? headline(sheet, answer).text : "";
  const numbers = sheet ? mains(sheet, answer).slice(0, 4) : [];
  const planned = plannedDepth(sheet, record);
  const title = sheet?.title ?? record.worksheet;
  const what = sheet?.inputs.find((i) => i.required)?.key ?? "";
  const named = record.inputs[what] ?? "";
  return (
    <article class="card record" aria-label={`${title} ${named}`}>
      <header>
        <Sign level={levelOf(answer)} />
        <h2>
          {named && <span class="num">{named} </span>}
          {title}
        </h2>
      </header>
      {!sheet && <p class="quiet">{B.kept.newer}</p>}
      {head && <p>{head}</p>}
      {record.note && <p class="note">{record.note}</p>}
      <dl class="mains few">
        {numbers.map(({ result, found }) => (
          <div key={result.key} class={found.text.length > 14 ? "main long" : "main"}>
            <dt>{result.label}</dt>
            <dd>
              <Figure text={found.text} also={found.also} />
            </dd>
          </div>
        ))}
      </dl>
      <Measured record={record} sheet={sheet} planned={planned} />
      {record._conflicts && record._conflicts.length > 0 && (
        <p class="warn warn-caution">
          <Sign level="caution" size={22} /> {B.kept.conflict}
        </p>
      )}
      <footer>
        <small class="quiet">{B.kept.kept(when(record.created))}</small>
        <div class="form-foot">
          {sheet && (
            <Button
              label={B.compare.open}
              href={href({ page: "sheet", sheet: record.worksheet, record: record._id })}
            />
          )}
          <Button label={B.remove} act={() => remove(record, `${named} ${title}`.trim())} />
        </div>
      </footer>
    </article>
  );
}

/** Planned beside measured, and the form for the measured depth. */
function Measured({
  record,
  sheet,
  planned,
}: {
  record: Kept;
  sheet: Sheet | undefined;
  planned: { label: string; found: Found } | undefined;
}) {
  const { book, bridge, say } = useApp();
  const [open, setOpen] = useState(false);
  const [text, setText] = useState(record.measured);
  const shown = useRef(record); // when the field was opened
  const [fault, setFault] = useState("");
  useUnsaved(`measured ${record._id}`, open && text !== record.measured);
  const id = `measured-${record._id}`;
  const depth =
    sheet?.inputs.find((i) => i.key === "depth") ?? sheet?.inputs.find((i) => i.kind === "length");

  // The worksheet itself reads the measured text, so that every way of writing a size is understood
  // here too.
  const ask = async (measured: string, lane: string) =>
    measured && sheet && depth
      ? bridge.run(sheet.name, record.unit, { ...record.inputs, [depth.key]: measured }, lane)
      : undefined;
  const read = useLoaded(async () => {
    const reply = await ask(record.measured, `measured ${record._id}`);
    return reply && !isRefused(reply) ? reply.inputs[depth?.key ?? ""] : undefined;
  }, [record._id, record.measured, sheet, bridge]);
  const off =
    typeof read.value?.value === "number" &&
    typeof planned?.found.value === "number" &&
    read.value.unit === planned.found.unit
      ? read.value.value - planned.found.value
      : undefined;

  const save = async () => {
    const typed = text.trim();
    try {
      const reply = await ask(typed, `read ${id}`);
      if (reply && isRefused(reply) && reply.error.field === depth?.key) return setFault(reply.error.message);
      const now = await book?.change(shown.current, { measured: typed });
      if (now && now.met.length > 0) say(B.clash.met);
      setOpen(false);
      setFault("");
    } catch (err) {
      setFault(sayFault(err) ?? `${W.keep.failed} ${words(err)}`);
    }
  };

  return (
    <div class="measured">
      {planned && (
        <PlannedAndFound
          planned={B.compare.planned}
          what={planned.label}
          size={planned.found.text}
          found={B.kept.measured}
        >
          {record.measured ? (
            <Figure text={record.measured} />
          ) : (
            <span class="quiet">{B.kept.noMeasure}</span>
          )}
          {off !== undefined && <span class="off num">{offPlan(off, planned.found.unit)}</span>}
        </PlannedAndFound>
      )}
      {open ? (
        <Form act={() => void save()}>
          <TextField
            id={id}
            label={B.kept.measured}
            class="num"
            value={text}
            autocomplete="off"
            spellcheck={false}
            maxLength={60}
            unit={record.unit}
            under={<FaultLine id={`${id}-fault`} text={fault || undefined} />}
            data-pad="length"
            data-label={B.kept.measured}
            aria-describedby={`${id}-fault`}
            aria-invalid={fault ? "true" : undefined}
            set={(t) => {
              setText(t);
              setFault("");
            }}
          />
          <div class="form-foot">
            <Button submit go label={B.kept.saveMeasure} />
            <Button
              label={B.kept.cancel}
              act={() => {
                setOpen(false);
                setText(record.measured);
                setFault("");
              }}
            />
          </div>
        </Form>
      ) : (
        <Button
          label={record.measured ? B.kept.changeMeasure : B.kept.addMeasure}
          act={() => {
            shown.current = record;
            setText(record.measured);
            setOpen(true);
          }}
        />
      )}
    </div>
  );
}

function offPlan(off: number, unit: string): string {
  const size = Math.abs(off).toFixed(unit === "mm" ? 2 : 4);
  if (Number(size) === 0) return B.compare.same;
  return `${size} ${unit} ${off > 0 ? B.kept.deeper : B.kept.shallower}`;
}
