import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Shelf } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp, useTitle } from "../screen/context";
import { Blank, Segments } from "../ui/parts";
import { B } from "../text/jobbook";
import { W } from "../text/words";
import { Ahead } from "./ahead";
import { Clashes, Gone } from "./clash";
import { Facts } from "./facts";
import { KeptList } from "./kept";
import { Notes } from "./notes";
import { Photos } from "./photos";
import { lastOfEach, places } from "./readlogic";
import { OneReading } from "./readings";
import { nextAfter } from "./setups";
import { Steps } from "./steps";
import { Gate, mark, storeFault, useKinds, useLit, useShelf } from "./use";

/** One way the part sits on a machine: how, what is done, what was read, what it looked like. */
export function SetupPage({ id }: { id: string }) {
  const { shelf, ready, fault } = useShelf(
    "setup",
    "step",
    "reading",
    "job",
    "machine",
    "fixture",
    "part",
    "feature",
  );
  const setup = shelf?.get(id);
  useTitle(setup ? nameOf(setup) : "");
  return (
    <Gate ready={ready} fault={fault}>
      {shelf && setup ? (
        <Open shelf={shelf} setup={setup} />
      ) : (
        <Blank kind="empty" title={B.gone} help={B.goneHelp} />
      )}
    </Gate>
  );
}

function Open({ shelf, setup }: { shelf: Shelf; setup: Rec }) {
  const { say, describe } = useApp();
  const { kinds } = useKinds(shelf);
  useLit(true);
  const job = shelf.get(text(setup, "job"));
  const readings = shelf.all("reading").filter((r) => text(r, "setup") === setup.id && !text(r, "round"));
  const at = places(setup, readings);
  const kind = text([...readings].sort(byMade).at(-1), "kind");
  const last = lastOfEach(readings, kind, at).slice(-6);
  const states = kinds.find((k) => k.key === "setup")?.fields.find((f) => f.key === "state")?.options ?? [];
  const next = nextAfter(shelf, setup);
  const sheet = (name: string) => describe?.worksheets.some((s) => s.name === name);
  return (
    <div class="two-up">
      <div>
        <Gone shelf={shelf} rec={setup} />
        <Clashes shelf={shelf} rec={setup} />
        <section class="card">
          {job && (
            <p>
              <a class="way" href={href({ page: "job", job: job.id })}>
                {B.setup.of(nameOf(job))}
              </a>
            </p>
          )}
          {states.length > 0 && (
            <Segments
              name="state"
              legend={B.setup.state}
              options={states}
              value={text(setup, "state") || "planned"}
              pick={(s) => void mark(shelf, setup, s, say)}
            />
          )}
          {next && (
            <p class="foot-links">
              <button
                type="button"
                class="button go"
                onClick={() => {
                  void mark(shelf, next, "running", say, setup).then((done) => {
                    if (done) location.hash = book("setup", next.id);
                  });
                }}
              >
                {B.setup.handOn(nameOf(next) || B.unnamed)}
              </button>
            </p>
          )}
          <div class="benches">
            <a class="bench main-bench" href={book("readings", setup.id)}>
              {B.mill.read}
            </a>
            {sheet("hole") && (
              <a class="bench" href={href({ page: "sheet", sheet: "hole", from: setup.id })}>
                {B.mill.hole}
              </a>
            )}
            {sheet("tram") && (
              <a class="bench" href={href({ page: "sheet", sheet: "tram", from: setup.id })}>
                {B.mill.tram}
              </a>
            )}
            {sheet("tapin") && (
              <a class="bench" href={book("tap", setup.id)}>
                {B.mill.tap}
              </a>
            )}
          </div>
        </section>
        <Steps shelf={shelf} setup={setup} />
        {shelf.get(text(setup, "part")) && (
          <Ahead shelf={shelf} part={shelf.get(text(setup, "part"))} setup={setup} />
        )}
        <section class="card" aria-label={B.setup.readings}>
          <h2>{B.setup.readings}</h2>
          {readings.length === 0 ? (
            <p class="quiet">{B.setup.noReadings}</p>
          ) : (
            <ul class="read-list">
              {last.map((r) => (
                <li key={r.id}>
                  <OneReading r={r} place={at.find((p) => p.name === text(r, "station"))} />
                </li>
              ))}
            </ul>
          )}
          <p class="foot-links">
            <a class="button" href={book("readings", setup.id)}>
              {readings.length > 0 ? B.setup.allReadings(readings.length) : B.mill.read}
            </a>
          </p>
        </section>
      </div>
      <div>
        <section class="card" aria-label={B.setup.how}>
          <h2>{B.setup.how}</h2>
          <Facts
            shelf={shelf}
            rec={setup}
            kind={kinds.find((k) => k.key === "setup")}
            hide={["name", "order", "job", "state"]}
          />
          <p class="foot-links">
            <a class="button" href={book("edit", setup.id)}>
              {B.change}
            </a>
            <a class="button" href={book("repeat", setup.id)}>
              {B.setup.repeat}
            </a>
            <a class="button" href={book("print", `setup/${setup.id}`)}>
              {B.setup.print}
            </a>
            <a class="button" href={book("history", setup.id)}>
              {B.history}
            </a>
            <button
              type="button"
              class="button"
              onClick={() => {
                shelf.remove(setup.id).then(
                  () => say(B.removed(nameOf(setup)), () => void shelf.restore(setup.id)),
                  (err: unknown) => say(storeFault(err)),
                );
              }}
            >
              {B.remove}
            </button>
          </p>
        </section>
        <Photos about={setup.id} />
        <Notes about={setup.id} />
        <section class="card" aria-label={B.setup.kept}>
          <h2>{B.setup.kept}</h2>
          <KeptList of={(k) => text(k, "setup") === setup.id} none={W.job.empty} />
        </section>
      </div>
    </div>
  );
}
