import { useEffect, useState } from "preact/hooks";
import { nameOf, text, yes, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { useApp, type App } from "../screen/context";
import { faceBefore, type Face, type Owed, type Running } from "../screen/face";
import type { MillProps } from "../screen/load";
import { usePages, type Known } from "../screen/pages";
import { nextIn, runningIn } from "../screen/running";
import { finderOf } from "../screen/search";
import { B } from "../text/jobbook";
import { dots } from "../text/words";
import { endsOf, lastRead, onNeedle, sceneFor, sheetsFor } from "./atmill";
import { DemoKeys } from "./demo";
import { clashWords } from "./saying";
import { nextAfter, stepsOf } from "./setups";
import { tick } from "./steps";
import { mark, metOr, storeFault, takeBack, useLit, useRepository } from "./use";

const SHOWN = ["step", "machine", "fixture", "part", "feature", "reading"];
const LATER = ["kept", "photo", "note"];

/**
 * The mill as Start shows it: what runs there and what is done next. It draws nothing of that
 * itself, so that Start need not wait for it; where there is no job yet, it has the invented one.
 */
export function Mill({ tell }: MillProps) {
  const { bridge } = useApp();
  const known = usePages();
  const { repo, fault } = useRepository("job", "setup", ...SHOWN);
  const ready = !!repo && repo.ready("job", "setup");
  // Until what the setup names has loaded, Start goes on showing what it showed before.
  const whole = ready && repo.ready(...SHOWN) && !!known;
  const [had] = useState(() => !!faceBefore());
  const face = whole || (ready && !had && repo.ready("step")) ? faceOf(repo, known) : undefined;
  const runs = face?.kind === "running";
  useLit(runs);
  useEffect(() => {
    if (fault || face) tell(face, fault, whole);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- its text stands for it
  }, [fault, whole, JSON.stringify(face)]);
  useEffect(() => {
    if (!whole) return;
    // Once the page is shown and idle, so that the next pages and the search are ready when wanted.
    const t = setTimeout(() => {
      LATER.reduce((before, kind) => before.then(() => repo.load(kind)), Promise.resolve())
        .then(() => finderOf(repo, bridge).start())
        .catch(() => undefined); // reported on the page that needs it
    }, 6000);
    return () => clearTimeout(t);
  }, [bridge, repo, whole]);
  return face?.kind === "first" ? <DemoKeys /> : null;
}

const newestFirst = (a: Rec, b: Rec): number => (a.changed < b.changed ? 1 : -1);

export function faceOf(repo: Repository, known: Known | undefined): Face {
  const setup = runningIn(repo);
  if (setup) return faceOfSetup(repo, setup, known);
  if (repo.all("job").length === 0) return { kind: "first" };
  const setups = repo.all("setup").sort(newestFirst);
  const waiting = setups.filter((s) => text(s, "state") !== "done").slice(0, 3);
  return {
    kind: "waiting",
    setups: waiting.map((s) => {
      const job = repo.get(text(s, "job"));
      return { id: s.id, name: nameOf(s) || B.unnamed, line: job ? nameOf(job) : "" };
    }),
  };
}

function faceOfSetup(repo: Repository, setup: Rec, known: Known | undefined): Running {
  const job = repo.get(text(setup, "job"));
  const machine = repo.get(text(setup, "machine"));
  const next = nextIn(repo, setup);
  const after = nextAfter(repo, setup);
  const name = next ? nameOf(next) : "";
  const sheets = sheetsFor(known, next);
  const reads = onNeedle(next, sheets[0]);
  const last = reads ? lastRead(repo, setup, next) : [];
  return {
    kind: "running",
    setup: setup.id,
    line: dots(
      setup.demo && B.mill.invented,
      nameOf(setup) || B.unnamed,
      job && nameOf(job),
      machine && nameOf(machine),
    ),
    step: next?.id ?? "",
    next: name || (stepsOf(repo, setup.id).length > 0 ? B.mill.nothing : B.mill.noSteps),
    notes: text(next, "notes"),
    reads,
    sheets,
    on: after?.id ?? "",
    onName: after ? nameOf(after) || B.unnamed : "",
    clash: setup.clashes.length > 0 ? clashWords(setup) : "",
    scene: sceneFor(repo, setup, next, last),
    last: endsOf(last),
  };
}

/** Does what was touched on Start, once the records can take it, and says so with an Undo. */
export async function pay(repo: Repository, { what, id, from }: Owed, say: App["say"]): Promise<void> {
  await Promise.all(["setup", "step"].map((kind) => repo.load(kind)));
  const rec = repo.get(id);
  if (!rec || rec.gone) return;
  if (what === "run") {
    if (text(rec, "state") !== "running")
      await mark(repo, rec, "running", say, from ? repo.get(from) : undefined);
    return;
  }
  if (yes(rec, "done")) return; // elsewhere, meanwhile
  try {
    const done = await tick(repo, rec, true);
    say(metOr(done, B.mill.ticked(nameOf(rec))), () => takeBack(say, tick(repo, done, false)));
  } catch (err) {
    say(storeFault(err));
  }
}
