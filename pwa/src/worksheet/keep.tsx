import { useEffect, useState } from "preact/hooks";
import { clearDraft, loadDraft, saveDraft } from "../form/drafts";
import type { Links } from "../records/kept";
import { askToKeep, sayFault } from "../storage/persist";
import type { Answer, Sheet, UnitSystem } from "../engine/contract.gen";
import { href } from "../screen/route";
import { useApp, useLoaded, useUnsaved, words } from "../screen/context";
import { Button, Form, Labelled, TextField } from "../ui/controls";
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
      const plan = { job: name, worksheet: sheet.name, unit, inputs, answer, note: note.trim() };
      const record = await book.keep(plan, to);
      setNote("");
      clearDraft(draft);
      setStored(true);
      setLast(to?.job ?? name);
      kept();
      setRound((n) => n + 1);
      void askToKeep();
      say(W.keep.done(name), () => {
        void book.remove(record).then(
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
    <Form class="card keep" id="keep" act={() => void keep()}>
      <h2>{W.keep.title}</h2>
      <TextField
        id="keep-job"
        label={W.keep.job}
        value={job}
        maxLength={120}
        placeholder={W.keep.newJob}
        aria-describedby="keep-job-help keep-fault"
        set={(name) => put(name, note)}
        help={W.keep.jobHelp}
        under={
          names.length > 0 && (
            <div class="chips" role="group" aria-label={W.keep.pick}>
              {names.map((j) => (
                <Button
                  key={j.job}
                  class="chip name"
                  pressed={j.job === job}
                  label={j.job}
                  act={() => put(j.job, note)}
                />
              ))}
            </div>
          )
        }
      />
      <Labelled id="keep-note" label={W.keep.note} looks="tall">
        <textarea
          id="keep-note"
          rows={2}
          value={note}
          maxLength={2000}
          placeholder={W.keep.noteHelp}
          onInput={(e) => put(job, e.currentTarget.value)}
        />
      </Labelled>
      <FaultLine id="keep-fault" text={fault || bookFault || undefined} />
      <div class="form-foot">
        <Button submit go label={busy ? W.keep.working : W.keep.keep} disabled={!answer || !book || busy} />
        {last && <Button label={W.keep.open} href={href({ page: "job", job: last })} />}
      </div>
    </Form>
  );
}
