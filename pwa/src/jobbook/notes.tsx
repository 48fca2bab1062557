import { useEffect, useRef, useState } from "preact/hooks";
import { byMade, text } from "../records/fields";
import type { Shelf } from "../records/repository";
import { clearDraft, loadDraft, saveDraft } from "../form/drafts";
import { book } from "../screen/route";
import { useApp, useUnsaved, when } from "../screen/context";
import { FaultLine } from "../ui/parts";
import { B } from "../text/jobbook";
import { useShelf, useWho, useWork } from "./use";

/** Notes about one thing, and a place to write one more. */
export function Notes({ about }: { about: string }) {
  const { shelf } = useShelf("note");
  const who = useWho();
  const list = (shelf?.all("note") ?? []).filter((n) => text(n, "about") === about).sort(byMade);
  return (
    <section class="card" id="notes" aria-label={B.notes}>
      <h2>{B.notes}</h2>
      {list.length === 0 && <p class="quiet">{B.note.none}</p>}
      <ul class="note-list">
        {list.map((n) => (
          <li key={n.id}>
            <a href={book("record", n.id)}>
              <span class="note-text">{text(n, "text")}</span>
              <small class="quiet">
                {when(n.made)} {who(n.by)}
              </small>
            </a>
          </li>
        ))}
      </ul>
      {shelf && <AddNote shelf={shelf} about={about} />}
    </section>
  );
}

export function AddNote({
  shelf,
  about,
  done,
  focus,
}: {
  shelf: Shelf;
  about: string;
  done?: () => void;
  focus?: boolean;
}) {
  const { say } = useApp();
  const draft = `note ${about}`;
  const [typed, setTyped] = useState(loadDraft(draft)?.inputs["text"] ?? "");
  const [stored, setStored] = useState(true);
  const work = useWork();
  const id = `note-${about}`;
  const field = useRef<HTMLTextAreaElement>(null);
  useUnsaved(draft, !stored && typed !== "");
  useEffect(() => {
    if (focus) field.current?.focus();
  }, [focus]);
  return (
    <form
      autocomplete="off"
      onSubmit={(e) => {
        e.preventDefault();
        if (!typed.trim()) return;
        work.run(async () => {
          const rec = await shelf.make("note", { about, text: typed.trim() });
          setTyped("");
          clearDraft(draft);
          say(B.note.done, () => void shelf.remove(rec.id));
          done?.();
        });
      }}
    >
      <div class="field-wrap">
        <div class="field tall">
          <label for={id}>{B.note.add}</label>
          <textarea
            ref={field}
            id={id}
            rows={2}
            value={typed}
            maxLength={8000}
            placeholder={B.note.like}
            onInput={(e) => {
              setTyped(e.currentTarget.value);
              setStored(saveDraft(draft, { inputs: { text: e.currentTarget.value } }));
            }}
          />
        </div>
        <FaultLine id={`${id}-fault`} text={work.fault || undefined} />
      </div>
      <div class="form-foot">
        <button type="submit" class="button" disabled={!typed.trim() || work.busy}>
          {B.note.save}
        </button>
      </div>
    </form>
  );
}
