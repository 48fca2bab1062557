import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Answer, Sheet, UnitSystem } from "../engine/contract.gen";
import { clearDraft, loadDraft, saveDraft } from "../form/drafts";
import { nameOf } from "../records/fields";
import type { Kept, Links } from "../records/kept";
import { useApp, useLoaded, useUnsaved, words } from "../screen/context";
import type { FromJob, Prefill, Written } from "../screen/load";
import { askToKeep, sayFault } from "../storage/persist";
import { Button, Labelled, TextField } from "../ui/controls";
import { FaultLine } from "../ui/parts";
import { W } from "../text/words";
import type { Texts } from "./ways";

const LONGEST = 80;
const RECENT = 6;

export interface Keep {
  /** Keeps the answer: at once where it is known under what, else it is asked. */
  keep: () => void;
  /** Whether it stands kept as it is. */
  kept: boolean;
  /** Whether it is still to be asked under which job. */
  ask: boolean;
  /** What the keep view shows: which job, or what the job offers to do with the answer. */
  panel: ComponentChildren;
}

export interface KeepAsked {
  /** What the page is called, and the draft's name. */
  title: string;
  draft: string;
  sheet: Sheet;
  unit: UnitSystem;
  inputs: Texts;
  /** Absent while there is none that can be kept. */
  answer: Answer | undefined;
  /** What the job gave, and its part in keeping. */
  job?: { takes: Prefill; book: FromJob } | undefined;
  /** The kept record that is changed. */
  record?: Kept | undefined;
  /** The job it was opened from, by its name. */
  under?: string | undefined;
  /** Whether the keep view is shown, and how it is shown or the board again. */
  open: boolean;
  show: (panel: boolean) => void;
  /** Called once it is kept. */
  done: () => void;
}

/** Where an answer goes: a job by its name, with its links where they are known. */
interface Place {
  job: string;
  links?: Links | undefined;
  /** It is there already, perhaps by its name alone: nothing is made. */
  stands?: boolean;
}

/** Today as it is written: "2 Mar". */
const today = (): string => new Date().toLocaleDateString(undefined, { day: "numeric", month: "short" });

/** A name for a job that an answer makes: what, of what, when. */
function nameFor(title: string, sheet: Sheet, inputs: Texts): string {
  const what = sheet.inputs.find((i) => i.required && i.kind !== "table" && i.kind !== "list");
  const said = what && !what.options ? (inputs[what.key] ?? "").trim() : "";
  return W.keep.name(title, said.length > 24 ? "" : said, today());
}

/**
 * Keep: one touch where a setup runs, or where the record or job is known; else one more, which makes
 * the job that it names. What the answer says of records is written at once, with one Undo for all.
 */
export function useKeep(p: KeepAsked): Keep {
  const { book, bookFault, say } = useApp();
  const [kept, setKept] = useState<{ inputs: string; answer: Answer; offers: boolean }>();
  const [fault, setFault] = useState("");
  const [was] = useState(() => loadDraft(p.draft)?.inputs);
  const [name, setName] = useState(was?.["job"]);
  const [note, setNote] = useState(was?.["note"] ?? "");
  const [stored, setStored] = useState(true);
  useUnsaved("keep", !stored);
  const busy = useRef(false);
  const waits = useRef<{ now: string; place: Place; note: string } | undefined>(undefined);
  const now = JSON.stringify([p.sheet.name, p.unit, p.inputs]);
  const known: Place | undefined = p.job
    ? { job: p.job.takes.job, links: p.job.takes.links }
    : p.record
      ? { job: p.record.job, links: p.record.links }
      : p.under
        ? { job: p.under, stands: true }
        : undefined;

  const first = nameFor(p.title, p.sheet, p.inputs);
  const put = (job: string, note: string) => {
    setName(job);
    setNote(note);
    setFault("");
    setStored(saveDraft(p.draft, { inputs: { job, note } }));
  };

  const keepAt = async (place: Place, note = "") => {
    const { answer } = p;
    if (!answer || busy.current) return;
    if (!book) {
      waits.current = { now, place, note };
      return;
    }
    busy.current = true;
    setFault("");
    try {
      const job = place.job.trim().replace(/\s+/g, " ");
      const back: (() => Promise<unknown>)[] = [];
      let links = place.links ?? (await book.linkTo(job));
      if (!links && !place.stands) {
        const made = await book.repo.make("job", { name: job });
        back.push(() => book.repo.remove(made));
        links = { job: made.id };
      }
      const plan = {
        job,
        worksheet: p.sheet.name,
        unit: p.unit,
        inputs: p.inputs,
        answer,
        note: note.trim(),
      };
      const record = await book.keep(plan, links ?? {});
      back.push(() => book.remove(record));
      clearDraft(p.draft);
      setName(undefined);
      setNote("");
      setStored(true);
      const keeping = p.job && { answer, unit: p.unit, inputs: p.inputs, taken: p.job.takes };
      const written: Written | undefined = keeping && (await p.job?.book.writeBack(book.repo, keeping));
      if (written) back.push(written.undo);
      const offers = !!keeping && !!p.job?.book.offers(book.repo, keeping);
      setKept({ inputs: now, answer, offers });
      p.done();
      void askToKeep();
      p.show(offers);
      const setup = book.repo.get(links?.setup ?? "");
      say(W.keep.done(job || (setup ? nameOf(setup) : ""), written?.what ?? ""), () => {
        setKept(undefined);
        p.show(false);
        back
          .reverse()
          .reduce((before, one) => before.then(one), Promise.resolve<unknown>(undefined))
          .then(
            () => say(W.keep.undone),
            (err: unknown) => say(sayFault(err) ?? words(err)),
          );
      });
    } catch (err) {
      const told = sayFault(err) ?? `${W.keep.failed} ${words(err)} ${W.keep.failedHelp}`;
      setFault(told);
      if (known) say(told);
    } finally {
      busy.current = false;
    }
  };
  // On a first visit the answer may be there before the records are: what was touched is done then.
  useEffect(() => {
    const asked = waits.current;
    waits.current = undefined;
    if (book && asked?.now === now) void keepAt(asked.place, asked.note);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- once, when the book is open
  }, [book]);
  const stands = kept?.inputs === now;
  return {
    keep: () => {
      if (known) return void keepAt(known);
      if (!p.open) return p.show(true);
      const job = (name ?? first).trim();
      if (!job) return setFault(W.keep.needJob);
      if (job.length > LONGEST) return setFault(W.keep.longJob);
      void keepAt({ job }, note);
    },
    kept: stands,
    ask: !known && !stands,
    panel:
      stands && kept.offers && p.job ? (
        <p.job.book.After answer={kept.answer} unit={p.unit} inputs={p.inputs} taken={p.job.takes} />
      ) : known || stands ? null : (
        <WhichJob
          name={name ?? first}
          note={note}
          put={put}
          fault={fault || bookFault}
          pick={p.answer && book ? (job) => void keepAt({ job, stands: true }, note) : undefined}
        />
      ),
  };
}

/**
 * Which job: those used last as keys, and a name for a new one, filled in already. The page's own Keep
 * makes it.
 */
function WhichJob({
  name,
  note,
  put,
  fault,
  pick,
}: {
  name: string;
  note: string;
  put: (name: string, note: string) => void;
  fault: string;
  pick: ((job: string) => void) | undefined;
}) {
  const { book } = useApp();
  const [noting, open] = useState(!!note);
  const jobs = useLoaded(() => book?.jobs(), [book]);
  const recent = (jobs.value ?? []).filter((j) => j.job).slice(0, RECENT);
  return (
    <section class="card keep" id="keep" aria-label={W.keep.which}>
      <h2>{W.keep.which}</h2>
      {recent.length > 0 && (
        <div class="chips" role="group" aria-label={W.keep.pick}>
          {recent.map((j) => (
            <Button key={j.job} class="chip name" label={j.job} disabled={!pick} act={() => pick?.(j.job)} />
          ))}
        </div>
      )}
      <TextField
        id="keep-job"
        label={W.keep.newJob}
        value={name}
        maxLength={120}
        aria-describedby="keep-fault"
        set={(to) => put(to, note)}
      />
      {noting ? (
        <Labelled id="keep-note" label={W.keep.note} looks="tall">
          <textarea
            id="keep-note"
            rows={2}
            value={note}
            maxLength={2000}
            placeholder={W.keep.noteHelp}
            onInput={(e) => put(name, e.currentTarget.value)}
          />
        </Labelled>
      ) : (
        <Button label={W.keep.note} act={() => open(true)} />
      )}
      <FaultLine id="keep-fault" text={fault || undefined} />
    </section>
  );
}
