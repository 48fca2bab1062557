import { nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { Door } from "../screen/door";
import { Button } from "../ui/controls";
import { Segments } from "../ui/parts";
import { B } from "../text/jobbook";
import { M } from "../text/mill";
import { Ahead } from "./ahead";
import { Clashes, Gone } from "./clash";
import { Facts } from "./facts";
import { KeptList } from "./kept";
import { useLight } from "./light";
import { Listed } from "./listed";
import { Notes } from "./notes";
import { OneStep } from "./onestep";
import { Card } from "./parts";
import { Photos } from "./photos";
import { HandOn } from "./handon";
import { nextAfter } from "./setups";
import { Steps } from "./steps";
import { mark, ofRecord, Remove, useKinds, useLit } from "./use";

const views = ["steps", "readings", "sits"] as const;
type View = (typeof views)[number];

/**
 * One way the part sits on a machine: the step that is next, in one screenful. Behind the keys of its
 * foot are its steps, its readings, and how it sits with everything that belongs to it.
 */
export const SetupPage = ofRecord<{ id: string; more: Record<string, string> }>(Open, [
  "step",
  "reading",
  "job",
  "machine",
  "fixture",
  "part",
  "feature",
  "tool",
]);

interface Of {
  repo: Repository;
  setup: Rec;
}

function Open({ repo, rec: setup, more }: { repo: Repository; rec: Rec; more: Record<string, string> }) {
  useLit(true);
  useLight();
  const view = views.find((v) => v === more["view"]);
  const page = book("setup", setup.id);
  const Shown = view && { steps: StepsView, readings: ReadingsView, sits: Sits }[view];
  const to = (v: View) => book("setup", setup.id, { view: v });
  return (
    <>
      {Shown ? <Shown repo={repo} setup={setup} /> : <OneStep repo={repo} setup={setup} to={to} />}
      <nav class="page-foot" aria-label={M.foot}>
        {views.map((v) => (
          <Door key={v} label={M.views[v]} to={to(v)} page={page} here={v === view} within={!!view} />
        ))}
      </nav>
    </>
  );
}

function StepsView({ repo, setup }: Of) {
  const part = repo.get(text(setup, "part"));
  return (
    <div class="two-up">
      <div>
        <Steps repo={repo} setup={setup} />
      </div>
      <div>
        {part && <Ahead repo={repo} part={part} setup={setup} />}
        <Card title={B.setup.kept}>
          <KeptList of={(k) => text(k, "setup") === setup.id} none={B.kept.empty} />
        </Card>
      </div>
    </div>
  );
}

function ReadingsView({ repo, setup }: Of) {
  const { describe } = useApp();
  const known = (sheet: string) => describe?.worksheets.some((s) => s.name === sheet);
  return (
    <div class="narrow">
      <p class="foot-links">
        <Button go label={B.mill.read} href={book("readings", setup.id)} />
        {known("tapin") && <Button label={M.into} href={book("tap", setup.id)} />}
        {known("tram") && (
          <Button label={M.line} href={href({ page: "sheet", sheet: "tram", from: setup.id })} />
        )}
      </p>
      <Listed repo={repo} setup={setup} />
    </div>
  );
}

/** How it sits, its state, and everything that belongs to it. */
function Sits({ repo, setup }: Of) {
  const { say } = useApp();
  const { kinds } = useKinds(repo);
  const fields = kinds.find((k) => k.key === "setup");
  const states = fields?.fields.find((f) => f.key === "state")?.options ?? [];
  const job = repo.get(text(setup, "job"));
  const next = nextAfter(repo, setup);
  return (
    <div class="two-up">
      <div>
        <Gone repo={repo} rec={setup} />
        <Clashes repo={repo} rec={setup} />
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
              pick={(s) => void mark(repo, setup, s, say)}
            />
          )}
          {next && <HandOn repo={repo} setup={setup} next={next} />}
        </section>
        <Card title={B.setup.how}>
          <Facts repo={repo} rec={setup} kind={fields} hide={["name", "order", "job", "state"]} />
          <p class="foot-links">
            <Button label={B.change} href={book("edit", setup.id)} />
            <Button label={B.setup.repeat} href={book("repeat", setup.id)} />
            <Button label={B.setup.print} href={book("print", `setup/${setup.id}`)} />
            <Button label={B.history} href={book("history", setup.id)} />
            {!setup.gone && <Remove repo={repo} rec={setup} name={nameOf(setup)} />}
          </p>
        </Card>
      </div>
      <div>
        <Photos about={setup.id} />
        <Notes about={setup.id} />
      </div>
    </div>
  );
}
