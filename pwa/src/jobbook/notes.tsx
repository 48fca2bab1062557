import { useEffect, useRef } from "preact/hooks";
import { byMade, text } from "../records/fields";
import type { Repository } from "../records/repository";
import { book } from "../screen/route";
import { useApp, when } from "../screen/context";
import { Button, Form, Labelled } from "../ui/controls";
import { FaultLine } from "../ui/parts";
import { B } from "../text/jobbook";
import { Card } from "./parts";
import { takeBack, useDraft, useRepository, useWho, useWork } from "./use";

/** Notes about one thing, and a place to write one more. */
export function Notes({ about }: { about: string }) {
  const { repo } = useRepository("note");
  const who = useWho();
  const list = (repo?.all("note") ?? []).filter((n) => text(n, "about") === about).sort(byMade);
  return (
    <Card id="notes" title={B.notes}>
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
      {repo && <AddNote repo={repo} about={about} />}
    </Card>
  );
}

export function AddNote({
  repo,
  about,
  done,
  focus,
}: {
  repo: Repository;
  about: string;
  done?: () => void;
  focus?: boolean;
}) {
  const { say } = useApp();
  const [{ text: typed = "" }, put, clear] = useDraft(`note ${about}`, { text: "" });
  const work = useWork();
  const id = `note-${about}`;
  const field = useRef<HTMLTextAreaElement>(null);
  useEffect(() => {
    if (focus) field.current?.focus();
  }, [focus]);
  return (
    <Form
      act={() => {
        if (!typed.trim()) return;
        work.run(async () => {
          const rec = await repo.make("note", { about, text: typed.trim() });
          clear();
          say(repo.get(about)?.gone ? B.note.doneGone : B.note.done, () => takeBack(say, repo.remove(rec)));
          done?.();
        });
      }}
    >
      <Labelled
        id={id}
        label={B.note.add}
        looks="tall"
        under={<FaultLine id={`${id}-fault`} text={work.fault || undefined} />}
      >
        <textarea
          ref={field}
          id={id}
          rows={2}
          value={typed}
          maxLength={8000}
          placeholder={B.note.like}
          onInput={(e) => put({ text: e.currentTarget.value })}
        />
      </Labelled>
      <div class="form-foot">
        <Button submit label={B.note.save} disabled={!typed.trim() || work.busy} />
      </div>
    </Form>
  );
}
