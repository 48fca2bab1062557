import { useEffect, useState } from "preact/hooks";
import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Book } from "../records/open";
import type { Repository } from "../records/repository";
import { useApp, type App } from "../screen/context";
import { Button, Form, TextField } from "../ui/controls";
import { FaultLine } from "../ui/parts";
import { B } from "../text/jobbook";
import { M } from "../text/mill";
import { elapsed, moment, passClock, passText, setStart, startOf } from "./pass";
import { tick } from "./steps";
import { tell, useDraft, useWork } from "./use";

const P = M.pass;

/** The last plan of a step's cut says how long one pass takes. */
export async function planned(
  repo: Pick<Repository, "load" | "all">,
  book: Pick<Book, "get"> | undefined,
  step: Pick<Rec, "id">,
): Promise<string> {
  await repo.load("kept");
  const mine = repo
    .all("kept")
    .filter((k) => text(k, "step") === step.id && text(k, "worksheet") === "facing");
  const last = mine.sort(byMade).at(-1);
  const found = last && (await book?.get(last.id))?.answer.results["onepass"];
  return found?.shown ?? found?.text ?? "";
}

/** Keeps a pass's time with its step; an Undo has the watch run on, as it did. */
async function keep(repo: Repository, book: Book | undefined, step: Rec, took: string, say: App["say"]) {
  const start = startOf(step.id);
  const before = step.values["took"] ?? null;
  const now = await repo.change(step, { took });
  setStart(step.id, undefined);
  const plan = await planned(repo, book, now).catch(() => ""); // it is only compared with
  tell(say, Promise.resolve(now), P.kept(took, plan), async () => {
    setStart(step.id, start); // first: the change has the key drawn anew
    await repo.change(now, { took: before });
  });
}

/** Ticks a step that is done; a pass that is still timed has ended with it. */
export function tickDone(repo: Repository, step: Rec, say: App["say"]): void {
  const start = startOf(step.id);
  const gone = start && elapsed(start, moment());
  const took = gone && "ms" in gone ? { took: passText(gone.ms) } : undefined;
  const done = tick(repo, step, true, took).then((now) => {
    setStart(step.id, undefined);
    return now;
  });
  tell(say, done, P.ticked(B.mill.ticked(nameOf(step)), took?.took ?? ""), async (now) => {
    setStart(step.id, start);
    await tick(repo, now, false, took && { took: step.values["took"] ?? null });
  });
}

/** The key that starts and stops a pass, with what has gone by; what cannot be is typed instead. */
export function Timed({ repo, step }: { repo: Repository; step: Rec }) {
  const { book, say } = useApp();
  const work = useWork();
  const [, draw] = useState(0);
  const read = () => {
    const start = startOf(step.id);
    return start && elapsed(start, moment());
  };
  const [asks, ask] = useState(false);
  const [typed, put, clear] = useDraft(`pass ${step.id}`, { took: "" });
  const shown = read();
  const runs = !!shown;
  useEffect(() => {
    if (!runs) return;
    const t = setInterval(() => draw((n) => n + 1), 1000);
    return () => clearInterval(t);
  }, [runs]);
  const wrong = shown && "wrong" in shown ? P.wrong[shown.wrong] : "";
  const touch = () => {
    const gone = read();
    if (!gone) {
      setStart(step.id, moment());
      draw((n) => n + 1);
      return say(P.runs, () => {
        setStart(step.id, undefined);
        draw((n) => n + 1);
      });
    }
    if ("wrong" in gone) return ask(true);
    if (gone.ms >= 1000) work.run(() => keep(repo, book, step, passText(gone.ms), say)); // else it bounced
  };
  const drop = () => {
    setStart(step.id, undefined);
    clear();
    ask(false);
  };
  return (
    <>
      <Button
        class={runs ? "hand watch on" : "hand watch"}
        disabled={work.busy}
        label={
          shown ? (
            <>
              <b class="num">{"ms" in shown ? passClock(shown.ms) : "–"}</b> {P.stop}
            </>
          ) : (
            P.start
          )
        }
        act={touch}
      />
      {(asks || typed["took"]) && wrong ? (
        <Form
          class="full watch-typed"
          act={() =>
            work.run(async () => {
              if (!typed["took"]!.trim()) return;
              await keep(repo, book, step, typed["took"]!.trim(), say);
              clear();
              ask(false);
            })
          }
        >
          <FaultLine id="took-fault" text={work.fault || wrong} />
          <TextField
            id="took"
            label={P.name}
            class="num"
            maxLength={40}
            unit="min"
            value={typed["took"]!}
            data-pad="time"
            data-label={P.name}
            aria-describedby="took-fault"
            set={(took) => {
              work.clear();
              put({ took });
            }}
          />
          <div class="form-foot">
            <Button submit go label={B.form.save} disabled={work.busy} />
            <Button label={P.drop} act={drop} />
          </div>
        </Form>
      ) : (
        <FaultLine id="watch-fault" text={work.fault || undefined} />
      )}
    </>
  );
}
