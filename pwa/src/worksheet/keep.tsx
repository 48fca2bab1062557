import { useEffect, useState } from "preact/hooks";
import { clearDraft, loadDraft, saveDraft } from "../form/drafts";
import type { Links } from "../records/kept";
import { askToKeep, sayFault } from "../storage/persist";
import type { Answer, Sheet, UnitSystem } from "../engine/contract.gen";
import { href } from "../screen/route";
import { useApp, useLoaded, useUnsaved, words } from "../screen/context";
import { FaultLine } from "../ui/parts";
import { W } from "../text/words";

const LONGEST = 80;

/** Keeps the plan under a job, on this phone at once. */
export function KeepBox({
  draft,
  sheet,
  unit,
  inputs,
  answer,
  job: firstJob,
  note: firstNote,
  links,
  kept,
}: {
  draft: string;
  sheet: Sheet;
  unit: UnitSystem;
  inputs: Record<string, string>;
  answer: Answer | undefined;
  job: string;
  note: string;
  /** The setup and step it was worked out for. */
  links?: Links;
  kept: () => void;
}) {
  const { book, bookFault, say } = useApp();
  const [was] = useState(() => loadDraft(draft)?.inputs);
  const [job, setJob] = useState(was?.["job"] ?? firstJob);
  const [note, setNote] = useState(was?.["note"] ?? firstNote);
  const [stored, setStored] = useState(true);
  const [fault, setFault] = useState("");
  const [busy, setBusy] = useState(false);
  const [round, setRound] = useState(0);
  const [last, setLast] = useState("");
  const jobs = useLoaded(() => book?.jobs(), [book, round]);
  useUnsaved("keep", !stored);
  useEffect(() => setJob((j) => j || firstJob), [firstJob]);

  const put = (job: string, note: string) => {
    setJob(job);
    setNote(note);
    setFault("");
    setStored(saveDraft(draft, { inputs: { job, note } }));
  };
  const keep = async () => {
    const name = job.trim().replace(/\s+/g, " ");
    if (!name) return setFault(W.keep.needJob);
    if (name.length > LONGEST) return setFault(W.keep.longJob);
    if (!book || !answer) return;
    setBusy(true);
    setFault("");
    try {
      const to = links && name === firstJob ? links : await book.linkTo(name);
      const record = await book.keep(
        {
          job: name,
          worksheet: sheet.name,
          unit,
          inputs,
          answer,
          note: note.trim(),
        },
        to,
      );
      setNote("");
      clearDraft(draft);
      setStored(true);
      setLast(to?.job ?? name);
      kept();
      setRound((n) => n + 1);
      void askToKeep();
      say(W.keep.done(name), () => {
        void book.remove(record._id).then(
          () => {
            setRound((n) => n + 1);
            setLast("");
            say(W.keep.undone);
          },
          (err: unknown) => setFault(words(err)),
        );
      });
    } catch (err) {
      setFault(sayFault(err) ?? `${W.keep.failed} ${words(err)} ${W.keep.failedHelp}`);
    } finally {
      setBusy(false);
    }
  };

  const names = (jobs.value ?? []).filter((j) => j.job).slice(0, 6);
  return (
    <form
      class="card keep"
      id="keep"
      autocomplete="off"
      onSubmit={(e) => {
        e.preventDefault();
        void keep();
      }}
    >
      <h2>{W.keep.title}</h2>
      <div class="field-wrap">
        <div class="field">
          <label for="keep-job">{W.keep.job}</label>
          <input
            id="keep-job"
            type="text"
            value={job}
            maxLength={120}
            placeholder={W.keep.newJob}
            aria-describedby="keep-job-help keep-fault"
            onInput={(e) => put(e.currentTarget.value, note)}
          />
        </div>
        <p class="help" id="keep-job-help">
          {W.keep.jobHelp}
        </p>
        {names.length > 0 && (
          <div class="chips" role="group" aria-label={W.keep.pick}>
            {names.map((j) => (
              <button
                key={j.job}
                type="button"
                class="chip name"
                aria-pressed={j.job === job}
                onClick={() => put(j.job, note)}
              >
                {j.job}
              </button>
            ))}
          </div>
        )}
      </div>
      <div class="field-wrap">
        <div class="field tall">
          <label for="keep-note">{W.keep.note}</label>
          <textarea
            id="keep-note"
            rows={2}
            value={note}
            maxLength={2000}
            placeholder={W.keep.noteHelp}
            onInput={(e) => put(job, e.currentTarget.value)}
          />
        </div>
      </div>
      <FaultLine id="keep-fault" text={fault || bookFault || undefined} />
      <div class="form-foot">
        <button type="submit" class="button go" disabled={!answer || !book || busy}>
          {busy ? W.keep.working : W.keep.keep}
        </button>
        {last && (
          <a class="button" href={href({ page: "job", job: last })}>
            {W.keep.open}
          </a>
        )}
      </div>
    </form>
  );
}
