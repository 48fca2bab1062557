import { useEffect, useRef } from "preact/hooks";
import { nameOf, text, yes, type Rec } from "../records/fields";
import type { Changed, Repository } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { Button, Form } from "../ui/controls";
import { FaultLine } from "../ui/parts";
import { prefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { M } from "../text/mill";
import { Card } from "./parts";
import { stepsOf } from "./setups";
import { clashWords } from "./saying";
import { storeFault, tell, titleOfSheet, useDraft, useWork } from "./use";

/** Ticks or unticks a step; who did it stands with it. */
export function tick(repo: Repository, step: Rec, done: boolean, also = {}): Promise<Changed> {
  return repo.change(step, { done: done || null, who: (done && prefs().who.trim()) || null, ...also });
}

/** The steps of a setup in order, each with its tick, and one more to add. */
export function Steps({ repo, setup }: { repo: Repository; setup: Rec }) {
  const { describe, say } = useApp();
  const list = stepsOf(repo, setup.id);
  const [{ name = "" }, put, clear] = useDraft(`step ${setup.id}`, { name: "" });
  const work = useWork();
  const field = useRef<HTMLInputElement>(null);
  // With no step yet there is one thing to do.
  const none = list.length === 0;
  useEffect(() => {
    if (none) field.current?.focus({ preventScroll: true });
  }, [none]);
  const toggle = (s: Rec) => {
    const to = !yes(s, "done");
    if (to) return tell(say, tick(repo, s, true), B.mill.ticked(nameOf(s)), (now) => tick(repo, now, false));
    tick(repo, s, false).then(
      (now) => now.met.length > 0 && say(B.clash.met),
      (err: unknown) => say(storeFault(err)),
    );
  };
  const add = () => {
    const typed = name.trim();
    if (!typed) return;
    work.run(async () => {
      const last = Math.max(0, ...list.map((s) => parseFloat(text(s, "order")) || 0));
      await repo.make("step", { setup: setup.id, name: typed, order: String(Math.floor(last) + 1) });
      clear();
    });
  };
  return (
    <Card id="steps" title={B.setup.steps}>
      {list.length === 0 && <p class="quiet">{B.setup.noSteps}</p>}
      <ol class="ticks">
        {list.map((s) => {
          const done = yes(s, "done");
          const sheet = text(s, "worksheet");
          return (
            <li key={s.id} class={done ? "done" : ""}>
              <button
                type="button"
                class="tick"
                role="checkbox"
                aria-checked={done}
                aria-label={done ? B.setup.untick(nameOf(s)) : B.setup.tick(nameOf(s))}
                onClick={() => toggle(s)}
              >
                <svg viewBox="0 0 32 32" width="32" height="32" aria-hidden="true">
                  <path class="tick-box" d="M4 4H28V28H4Z" />
                  {done && <path class="tick-mark" d="M9 17L14 22L23 11" />}
                </svg>
              </button>
              <a class="tick-name" href={book("record", s.id)}>
                <span>{nameOf(s)}</span>
                {text(s, "notes") && <small class="quiet">{text(s, "notes")}</small>}
                {text(s, "took") && <small class="quiet">{M.pass.last(text(s, "took"))}</small>}
                {done && text(s, "who") && <small class="quiet">{text(s, "who")}</small>}
                {s.clashes.length > 0 && <small class="beyond">{clashWords(s)}</small>}
              </a>
              {sheet && (
                <Button
                  label={titleOfSheet(describe, sheet)}
                  href={href({ page: "sheet", sheet, from: s.id })}
                />
              )}
            </li>
          );
        })}
      </ol>
      <Form class="add-line" act={add}>
        <div class="field">
          <label for="add-step">{B.setup.addStep}</label>
          <input
            ref={field}
            id="add-step"
            type="text"
            maxLength={200}
            value={name}
            placeholder={B.setup.addStepHelp}
            onInput={(e) => put({ name: e.currentTarget.value })}
          />
        </div>
        <Button submit label={B.form.addRow} disabled={!name.trim() || work.busy} />
        <FaultLine id="step-fault" text={work.fault || undefined} />
      </Form>
    </Card>
  );
}
