import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { Button } from "../ui/controls";
import { Segments } from "../ui/parts";
import { B } from "../text/jobbook";
import { Ahead } from "./ahead";
import { Clashes, Gone } from "./clash";
import { Facts } from "./facts";
import { KeptList } from "./kept";
import { Notes } from "./notes";
import { Card } from "./parts";
import { Photos, TakePhoto } from "./photos";
import { lastOfEach, places } from "./readlogic";
import { OneReading } from "./readings";
import { nextAfter } from "./setups";
import { Steps } from "./steps";
import { mark, ofRecord, Remove, useKinds, useLit } from "./use";

/** One way the part sits on a machine: how, what is done, what was read, what it looked like. */
export const SetupPage = ofRecord(Open, ["step", "reading", "job", "machine", "fixture", "part", "feature"]);

function Open({ repo, rec: setup }: { repo: Repository; rec: Rec }) {
  const { say, describe } = useApp();
  const { kinds } = useKinds(repo);
  useLit(true);
  const job = repo.get(text(setup, "job"));
  const readings = repo.all("reading").filter((r) => text(r, "setup") === setup.id && !text(r, "round"));
  const at = places(setup, readings);
  const kind = text([...readings].sort(byMade).at(-1), "kind");
  const last = lastOfEach(readings, kind, at).slice(-6);
  const states = kinds.find((k) => k.key === "setup")?.fields.find((f) => f.key === "state")?.options ?? [];
  const next = nextAfter(repo, setup);
  const part = repo.get(text(setup, "part"));
  const sheet = (name: string, label: string, to = href({ page: "sheet", sheet: name, from: setup.id })) =>
    describe?.worksheets.some((s) => s.name === name) && <Button class="bench" label={label} href={to} />;
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
          {next && (
            <p class="foot-links">
              <Button
                go
                label={B.setup.handOn(nameOf(next) || B.unnamed)}
                act={() => {
                  void mark(repo, next, "running", say, setup).then((done) => {
                    if (done) location.hash = book("setup", next.id);
                  });
                }}
              />
            </p>
          )}
          <div class="benches">
            <Button class="bench main-bench" label={B.mill.read} href={book("readings", setup.id)} />
            {sheet("hole", B.mill.hole)}
            {sheet("tram", B.mill.tram)}
            {sheet("tapin", B.mill.tap, book("tap", setup.id))}
            <TakePhoto repo={repo} about={setup.id} big />
            <Button class="bench" label={B.mill.note} href={book("note", setup.id)} />
          </div>
        </section>
        <Steps repo={repo} setup={setup} />
        {part && <Ahead repo={repo} part={part} setup={setup} />}
        <Card title={B.setup.readings}>
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
            <Button
              label={readings.length > 0 ? B.setup.allReadings(readings.length) : B.mill.read}
              href={book("readings", setup.id)}
            />
          </p>
        </Card>
      </div>
      <div>
        <Card title={B.setup.how}>
          <Facts
            repo={repo}
            rec={setup}
            kind={kinds.find((k) => k.key === "setup")}
            hide={["name", "order", "job", "state"]}
          />
          <p class="foot-links">
            <Button label={B.change} href={book("edit", setup.id)} />
            <Button label={B.setup.repeat} href={book("repeat", setup.id)} />
            <Button label={B.setup.print} href={book("print", `setup/${setup.id}`)} />
            <Button label={B.history} href={book("history", setup.id)} />
            {!setup.gone && <Remove repo={repo} rec={setup} name={nameOf(setup)} />}
          </p>
        </Card>
        <Photos about={setup.id} />
        <Notes about={setup.id} />
        <Card title={B.setup.kept}>
          <KeptList of={(k) => text(k, "setup") === setup.id} none={B.kept.empty} />
        </Card>
      </div>
    </div>
  );
}
