import { Fragment } from "preact";
import { useEffect, useState } from "preact/hooks";
import { byMade, nameOf, text, yes, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { inPocket, putInPocket } from "../screen/pocket";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank, LinkList, Sign } from "../ui/parts";
import { B } from "../text/jobbook";
import { dots } from "../text/words";
import { DemoKeys } from "./demo";
import { finderOf } from "./finding";
import { SetupDoor } from "./job";
import { TakePhoto } from "./photos";
import { nextAfter, stepsOf } from "./setups";
import { tick } from "./steps";
import { clashWords } from "./saying";
import { Gate, mark, tell, titleOfSheet, useLit, useRepository } from "./use";

const LATER = ["step", "reading", "kept", "photo", "note", "part", "feature"];

/**
 * First on the start page at the mill: the running setup, its next step, and the keys for what is
 * done there.
 */
export function Mill() {
  const { bridge } = useApp();
  const { repo, fault } = useRepository("job", "setup", "step", "machine", "fixture");
  // Steps and the records they name load a moment later; the setup itself does not wait for them.
  const ready = !!repo && repo.ready("job", "setup");
  useEffect(() => {
    if (!repo || !ready) return;
    // Once the page is shown and idle, so that the next pages and the search are ready when wanted.
    const t = setTimeout(() => {
      LATER.reduce((before, kind) => before.then(() => repo.load(kind)), Promise.resolve())
        .then(() => finderOf(repo, bridge).start())
        .catch(() => undefined); // reported on the page that needs it
    }, 6000);
    return () => clearTimeout(t);
  }, [bridge, repo, ready]);
  return (
    <section class="mill" aria-label={B.mill.title}>
      <Gate ready={ready} fault={fault}>
        {repo && <Standing repo={repo} />}
      </Gate>
    </section>
  );
}

/** The setup that runs; of several, the one touched last. */
function running(repo: Repository): Rec | undefined {
  return repo
    .all("setup")
    .filter((s) => text(s, "state") === "running")
    .sort((a, b) => (a.changed < b.changed ? 1 : -1))[0];
}

function Standing({ repo }: { repo: Repository }) {
  const { say } = useApp();
  const setup = running(repo);
  const jobs = repo.all("job").sort((a, b) => byMade(b, a));
  if (setup) return <Running repo={repo} setup={setup} />;
  const planned = repo
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
          <LinkList line="start-line">
            {planned.map((s) => (
              <Fragment key={s.id}>
                <SetupDoor repo={repo} setup={s} job={repo.get(text(s, "job"))} />
                <Button label={B.mill.start} act={() => void mark(repo, s, "running", say)} />
              </Fragment>
            ))}
          </LinkList>
        </>
      )}
      <p class="foot-links">
        <Button go label={B.mill.newJob} href={book("new", "job")} />
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
  /** Shown when there is no next step. */
  none: string;
  /** The setup that takes over then. */
  on: string;
}

function faceBefore(setup: string): Face | undefined {
  const kept = Object(inPocket(FACE)) as Partial<Face>;
  const whole = ["under", "step", "next", "notes", "sheet", "none", "on"].every(
    (key) => typeof kept[key as keyof Face] === "string",
  );
  return whole && kept.setup === setup ? (kept as Face) : undefined;
}

function Running({ repo, setup }: { repo: Repository; setup: Rec }) {
  const { describe, describeFault, say } = useApp();
  useLit(true);
  const job = repo.get(text(setup, "job"));
  const machine = repo.get(text(setup, "machine"));
  const fixture = repo.get(text(setup, "fixture"));
  const steps = stepsOf(repo, setup.id);
  const next = steps.find((s) => !yes(s, "done"));
  const after = nextAfter(repo, setup);
  // Steps, machine and fixture load after the setup: until then the card shows its previous text,
  // so that no key moves under a thumb.
  const whole = repo.ready("step", "machine", "fixture");
  const [before] = useState(() => faceBefore(setup.id));
  const now: Face = {
    setup: setup.id,
    under: dots(machine && nameOf(machine), fixture && nameOf(fixture), text(setup, "datum")),
    step: next?.id ?? "",
    next: next ? nameOf(next) : "",
    notes: next ? text(next, "notes") : "",
    sheet: next ? text(next, "worksheet") : "",
    none: steps.length > 0 ? B.mill.nothing : B.mill.noSteps,
    on: after ? nameOf(after) || B.unnamed : "",
  };
  useEffect(() => {
    if (whole) putInPocket(FACE, now);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- its text stands for it
  }, [whole, JSON.stringify(now)]);
  const face = whole ? now : before;
  if (!face || (!describe && !describeFault)) return <Blank kind="loading" title={B.loading} />;
  const { sheet } = face;
  const from = face.step || setup.id;
  const have = (name: string) => describe?.worksheets.some((s) => s.name === name);
  const centre = ["centre", "middle", "edge"].find(have);
  const bench = (label: string, sheet: string) => (
    <Button class="bench" label={label} href={href({ page: "sheet", sheet, from })} />
  );
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
            <Sign level="caution" size={22} /> {clashWords(setup)}
          </p>
        )}
        <div class="next-step">
          <small>{face.step ? B.mill.next : face.none}</small>
          {face.next && <p>{face.next}</p>}
          {face.notes && <p class="quiet">{face.notes}</p>}
        </div>
        <div class="form-foot">
          {face.step && (
            <Button
              go
              label={B.mill.tick}
              act={() => {
                if (!next) return; // still loading
                tell(say, tick(repo, next, true), B.mill.ticked(nameOf(next)), (now) =>
                  tick(repo, now, false),
                );
              }}
            />
          )}
          {sheet && have(sheet) && (
            <Button
              label={B.mill.work(titleOfSheet(describe, sheet))}
              href={href({ page: "sheet", sheet, from })}
            />
          )}
          {face.on && (
            <Button
              go
              label={B.setup.handOn(face.on)}
              act={() => whole && after && void mark(repo, after, "running", say, setup)}
            />
          )}
          {!face.step && <Button label={B.mill.open} href={book("setup", setup.id)} />}
        </div>
      </div>
      <div class="benches">
        <Button
          class="bench main-bench"
          label={B.mill.read}
          href={book("readings", setup.id, face.step ? { step: face.step } : {})}
        />
        {bench(B.mill.hole, "hole")}
        {bench(B.mill.tram, "tram")}
        {have("tapin") && <Button class="bench" label={B.mill.tap} href={book("tap", setup.id)} />}
        {centre && bench(B.mill.centre, centre)}
        <TakePhoto repo={repo} about={setup.id} big />
        <Button class="bench" label={B.mill.note} href={book("note", setup.id)} />
      </div>
    </>
  );
}
