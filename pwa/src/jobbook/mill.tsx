import { useEffect, useState } from "preact/hooks";
import { byMade, nameOf, text, yes, type Rec } from "../records/fields";
import type { Shelf } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { Blank, Sign } from "../ui/parts";
import { B } from "../text/jobbook";
import { DemoKeys } from "./demo";
import { finderOf } from "./finding";
import { SetupDoor } from "./job";
import { TakePhoto } from "./photos";
import { nextAfter, stepsOf } from "./setups";
import { tick } from "./steps";
import { Gate, mark, storeFault, titleOfSheet, useLit, useShelf } from "./use";

const LATER = ["step", "reading", "kept", "photo", "note", "part", "feature"];

/** What stands first when the app is opened at the mill: the running setup, its next step, and what a hand does there. */
export function Mill() {
  const { bridge } = useApp();
  const { shelf, fault } = useShelf("job", "setup", "step", "machine", "fixture");
  // Steps and what they stand on come a moment later; the setup itself does not wait for them.
  const ready = !!shelf && shelf.ready("job", "setup");
  useEffect(() => {
    if (!shelf || !ready) return;
    // Once the page is there and the hand is at rest, so that the next pages and finding are ready when wanted.
    const t = setTimeout(() => {
      LATER.reduce((before, kind) => before.then(() => shelf.load(kind)), Promise.resolve())
        .then(() => finderOf(shelf, bridge).start())
        .catch(() => undefined); // said on the page that asks for it
    }, 6000);
    return () => clearTimeout(t);
  }, [bridge, shelf, ready]);
  return (
    <section class="mill" aria-label={B.mill.title}>
      <Gate ready={ready} fault={fault}>
        {shelf && <Standing shelf={shelf} />}
      </Gate>
    </section>
  );
}

/** The setup that runs; of several, the one touched last. */
export function running(shelf: Shelf): Rec | undefined {
  return shelf
    .all("setup")
    .filter((s) => text(s, "state") === "running")
    .sort((a, b) => (a.changed < b.changed ? 1 : -1))[0];
}

function Standing({ shelf }: { shelf: Shelf }) {
  const { say } = useApp();
  const setup = running(shelf);
  const jobs = shelf.all("job").sort((a, b) => byMade(b, a));
  if (setup) return <Running shelf={shelf} setup={setup} />;
  const planned = shelf
    .all("setup")
    .filter((s) => text(s, "state") !== "done")
    .sort((a, b) => (a.changed < b.changed ? 1 : -1))
    .slice(0, 3);
  return (
    <div class="card">
      <h2>{jobs.length > 0 ? B.mill.none : B.mill.first}</h2>
      <p class="quiet">{jobs.length > 0 ? B.mill.noneHelp : B.mill.firstHelp}</p>
      {planned.length > 0 && (
        <>
          <h3>{B.mill.waiting}</h3>
          <ul class="doors">
            {planned.map((s) => (
              <li key={s.id} class="start-line">
                <SetupDoor shelf={shelf} setup={s} job={shelf.get(text(s, "job"))} />
                <button type="button" class="button" onClick={() => void mark(shelf, s, "running", say)}>
                  {B.mill.start}
                </button>
              </li>
            ))}
          </ul>
        </>
      )}
      <p class="foot-links">
        <a class="button go" href={book("new", "job")}>
          {B.mill.newJob}
        </a>
      </p>
      {jobs.length === 0 && <DemoKeys />}
    </div>
  );
}

const FACE = "datumbook.mill";

/** What the running setup's card says. */
interface Face {
  setup: string;
  under: string;
  /** The next step: its id, name, notes and worksheet. */
  step: string;
  next: string;
  notes: string;
  sheet: string;
  /** What stands there when no step is next. */
  none: string;
  /** The setup that takes over then. */
  on: string;
}

function faceBefore(setup: string): Face | undefined {
  try {
    const kept = JSON.parse(localStorage.getItem(FACE) ?? "{}") as Partial<Face>;
    const whole = ["under", "step", "next", "notes", "sheet", "none", "on"].every(
      (key) => typeof kept[key as keyof Face] === "string",
    );
    return whole && kept.setup === setup ? (kept as Face) : undefined;
  } catch {
    return undefined;
  }
}

function Running({ shelf, setup }: { shelf: Shelf; setup: Rec }) {
  const { describe, describeFault, say } = useApp();
  useLit(true);
  const job = shelf.get(text(setup, "job"));
  const machine = shelf.get(text(setup, "machine"));
  const fixture = shelf.get(text(setup, "fixture"));
  const steps = stepsOf(shelf, setup.id);
  const next = steps.find((s) => !yes(s, "done"));
  const after = nextAfter(shelf, setup);
  // Steps, machine and fixture come a moment after the setup: till then the card says what it said the last time, so
  // that no key moves under a thumb when they are there.
  const whole = shelf.ready("step", "machine", "fixture");
  const [before] = useState(() => faceBefore(setup.id));
  const now: Face = {
    setup: setup.id,
    under: [machine && nameOf(machine), fixture && nameOf(fixture), text(setup, "datum")]
      .filter(Boolean)
      .join(" · "),
    step: next?.id ?? "",
    next: next ? nameOf(next) : "",
    notes: next ? text(next, "notes") : "",
    sheet: next ? text(next, "worksheet") : "",
    none: steps.length > 0 ? B.mill.nothing : B.mill.noSteps,
    on: after ? nameOf(after) || B.unnamed : "",
  };
  const kept = JSON.stringify(now);
  useEffect(() => {
    try {
      if (whole) localStorage.setItem(FACE, kept);
    } catch {
      // a window without storage: the card comes when all of it is there
    }
  }, [whole, kept]);
  const face = whole ? now : before;
  if (!face || (!describe && !describeFault)) return <Blank kind="loading" title={B.loading} />;
  const { sheet } = face;
  const from = face.step || setup.id;
  const have = (name: string) => describe?.worksheets.some((s) => s.name === name);
  const centre = ["centre", "middle", "edge"].find(have);
  return (
    <>
      <div class="card running">
        <a class="running-name" href={book("setup", setup.id)}>
          {job && <small>{nameOf(job)}</small>}
          <b>{nameOf(setup) || B.unnamed}</b>
          <small>{face.under}</small>
        </a>
        {setup.demo && <p class="quiet">{B.mill.invented}</p>}
        {setup.clashes.length > 0 && (
          <p class="warn warn-caution">
            <Sign level="caution" size={22} /> {B.clash.count(setup.clashes.length)}
          </p>
        )}
        <div class="next-step">
          <small>{face.step ? B.mill.next : face.none}</small>
          {face.next && <p>{face.next}</p>}
          {face.notes && <p class="quiet">{face.notes}</p>}
        </div>
        <div class="form-foot">
          {face.step && (
            <button
              type="button"
              class="button go"
              onClick={() => {
                if (!next) return; // on its way
                tick(shelf, next, true).then(
                  () => say(B.mill.ticked(nameOf(next)), () => void tick(shelf, next, false)),
                  (err: unknown) => say(storeFault(err)),
                );
              }}
            >
              {B.mill.tick}
            </button>
          )}
          {sheet && have(sheet) && (
            <a class="button" href={href({ page: "sheet", sheet, from })}>
              {B.mill.work(titleOfSheet(describe, sheet))}
            </a>
          )}
          {face.on && (
            <button
              type="button"
              class="button go"
              onClick={() => whole && after && void mark(shelf, after, "running", say, setup)}
            >
              {B.setup.handOn(face.on)}
            </button>
          )}
          {!face.step && (
            <a class="button" href={`${book("setup", setup.id)}`}>
              {B.mill.open}
            </a>
          )}
        </div>
      </div>
      <div class="benches">
        <a class="bench main-bench" href={book("readings", setup.id, face.step ? { step: face.step } : {})}>
          {B.mill.read}
        </a>
        <a class="bench" href={href({ page: "sheet", sheet: "hole", from })}>
          {B.mill.hole}
        </a>
        <a class="bench" href={href({ page: "sheet", sheet: "tram", from })}>
          {B.mill.tram}
        </a>
        {have("tapin") && (
          <a class="bench" href={book("tap", setup.id)}>
            {B.mill.tap}
          </a>
        )}
        {centre && (
          <a class="bench" href={href({ page: "sheet", sheet: centre, from })}>
            {B.mill.centre}
          </a>
        )}
        <TakePhoto shelf={shelf} about={setup.id} big />
        <a class="bench" href={book("note", setup.id)}>
          {B.mill.note}
        </a>
      </div>
    </>
  );
}
