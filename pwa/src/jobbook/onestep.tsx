import type { ComponentChildren } from "preact";
import { nameOf, text, yes, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { entryOf, usePages, type Known } from "../screen/pages";
import { nextIn } from "../screen/running";
import { Button } from "../ui/controls";
import { Sign } from "../ui/parts";
import { Pictogram } from "../ui/pictograms";
import { B } from "../text/jobbook";
import { M } from "../text/mill";
import { dots } from "../text/words";
import { endsOf, lastRead, onNeedle, sheetsFor, wantedOf } from "./atmill";
import { Gone } from "./clash";
import { TakePhoto } from "./photos";
import { clashWords, saying } from "./saying";
import { SceneView } from "./sceneview";
import { HandOn } from "./handon";
import { nextAfter, stepsOf } from "./setups";
import { Timed, tickDone } from "./timed";
import { mark, useKinds } from "./use";

interface Of {
  repo: Repository;
  setup: Rec;
  to: (view: "steps" | "readings" | "sits") => string;
}

/** The step that is next, how it sits, and the keys for both: one screenful. */
export function OneStep({ repo, setup, to }: Of) {
  const known = usePages();
  const list = stepsOf(repo, setup.id);
  const state = text(setup, "state") || "planned";
  const next = nextIn(repo, setup);
  const at = next ? list.indexOf(next) : list.length;
  const runs = state === "running" && !setup.gone;
  const name = next && runs ? nameOf(next) : standing(setup, state, list, next);
  const marks = [...(setup.clashes.length > 0 ? [setup] : []), ...list.filter((s) => s.clashes.length > 0)];
  return (
    <div class="page at-mill">
      <Gone repo={repo} rec={setup} />
      {list.length > 0 && <Dots list={list} now={at} />}
      <SceneView repo={repo} setup={setup} step={next} />
      <section class="step-now">
        <p class="step-at" data-name>
          {dots(
            setup.demo && B.mill.invented,
            !runs && M.state[state as keyof typeof M.state],
            runs && next ? M.step(at + 1, list.length) : list.length > 0 && M.steps(list.length),
          )}
        </p>
        <h2 class={name.length > 26 ? "step-name long" : "step-name"}>{name}</h2>
        <p class="step-facts" data-name>
          <About repo={repo} setup={setup} step={next} />
        </p>
        {marks.map((r) => (
          <a key={r.id} class="running-clash way" href={r === setup ? to("sits") : book("record", r.id)}>
            <Sign level="caution" size={20} /> {clashWords(r)}
          </a>
        ))}
      </section>
      <div class="hand-keys">
        {runs ? (
          <Running {...{ repo, setup, to, next, list, known }} />
        ) : (
          !setup.gone && <Standing {...{ repo, setup, state }} />
        )}
      </div>
    </div>
  );
}

/** What is said in place of the step's name while none is worked on. */
function standing(setup: Rec, state: string, list: readonly Rec[], next: Rec | undefined): string {
  if (setup.gone || state !== "running") return next && state === "planned" ? nameOf(next) : nameOf(setup);
  return list.length > 0 ? M.allDone : M.noSteps;
}

/** The steps as dots on a line: done, now, to come. */
function Dots({ list, now }: { list: readonly Rec[]; now: number }) {
  const done = list.filter((s) => yes(s, "done")).length;
  return (
    <ol class="step-dots" aria-label={M.dots(done, list.length)}>
      {list.map((s, i) => (
        <li key={s.id} class={yes(s, "done") ? "done" : i === now ? "now" : ""} />
      ))}
    </ol>
  );
}

/** What is wanted and what was before; of a cut what it is cut with. */
function About({ repo, setup, step }: { repo: Repository; setup: Rec; step: Rec | undefined }) {
  const { kinds } = useKinds(repo);
  const said = (rec: Rec | undefined, ...keys: string[]) => {
    const fields = kinds.find((k) => k.key === rec?.kind)?.fields ?? [];
    return keys.map((key) =>
      saying(
        fields.find((f) => f.key === key),
        rec?.values[key],
        rec?.units[key],
        repo,
      ),
    );
  };
  const feature = repo.get(text(step, "feature"));
  const wanted = wantedOf(setup);
  const last = onNeedle(step) ? endsOf(lastRead(repo, setup, step)) : "";
  const bits = onNeedle(step)
    ? [wanted && M.within(wanted), last && M.before(last)]
    : [feature && dots(nameOf(feature), ...said(feature, "nominal")), ...said(step, "tool", "spin", "feed")];
  const [took] = said(step, "took");
  return <>{dots(...bits.filter(Boolean).slice(0, 3), took && M.pass.last(took), text(step, "notes"))}</>;
}

/** The keys of a running setup: the one for the step large, photo and note one touch each. */
function Running({
  repo,
  setup,
  to,
  next,
  list,
  known,
}: Of & { next: Rec | undefined; list: readonly Rec[]; known: Known | undefined }) {
  const { say } = useApp();
  const after = nextAfter(repo, setup);
  const fits = sheetsFor(known, next);
  const own = text(next, "worksheet");
  const needle = onNeedle(next, fits[0]);
  const read = (main: boolean) => (
    <Button
      go={main}
      class={main ? "hand main" : next ? "hand" : "hand wide"}
      label={B.mill.read}
      href={book("readings", setup.id, next ? { step: next.id } : {})}
    />
  );
  const entry = known && own && !needle ? entryOf(known, own) : undefined;
  const sheet = entry && next && (
    <Button
      go
      class="hand main"
      label={entry.title}
      href={href({ page: "sheet", sheet: own, from: next.id })}
    />
  );
  const open = list.filter((s) => !yes(s, "done")).length;
  const done = next && (
    <Button
      go={!needle && !sheet}
      class={!needle && !sheet ? "hand main" : "hand"}
      label={open > 1 ? M.done : M.doneLast}
      act={() => tickDone(repo, next, say)}
    />
  );
  const onward = after ? (
    <HandOn repo={repo} setup={setup} next={after} class="hand main" />
  ) : list.length === 0 ? (
    <Button go class="hand main" label={M.addFirst} href={to("steps")} />
  ) : (
    <Button go class="hand main" label={M.finish} act={() => void mark(repo, setup, "done", say)} />
  );
  const [main, second] = !next
    ? [onward, read(false)]
    : needle
      ? [read(true), done]
      : sheet
        ? [sheet, done]
        : [done, read(false)];
  return (
    <>
      {main}
      <TakePhoto repo={repo} about={setup.id} big />
      <Button class="hand" label={B.mill.note} href={book("note", setup.id)} />
      {next && <Timed key={next.id} repo={repo} step={next} />}
      {second}
      {known && (
        <Fitting
          known={known}
          sheets={
            needle ? [...new Set([...fits.slice(0, 2), "tapin"])] : fits.filter((s) => s !== own || !sheet)
          }
          from={(next ?? setup).id}
          setup={setup.id}
          read={!!sheet}
        />
      )}
    </>
  );
}

/** Worksheets that fit the step, by their pictures. */
function Fitting(p: { known: Known; sheets: readonly string[]; from: string; setup: string; read: boolean }) {
  const key = (to: string, title: ComponentChildren, icon: string, stage: string) => (
    <a key={to} class="small-key" href={to}>
      <Pictogram name={icon} or={stage} size={24} />
      <span>{title}</span>
    </a>
  );
  return (
    <div class="mill-sheets">
      {p.read && key(book("readings", p.setup, { step: p.from }), B.mill.read, "reading", "line")}
      {p.sheets.slice(0, p.read ? 2 : 3).flatMap((sheet) => {
        const e = entryOf(p.known, sheet);
        if (!e) return [];
        if (sheet === "tapin") return key(book("tap", p.setup), M.into, e.icon, e.stage);
        return key(href({ page: "sheet", sheet, from: p.from }), e.title, e.icon, e.stage);
      })}
    </div>
  );
}

/** The keys of a setup that is planned or done. */
function Standing({ repo, setup, state }: { repo: Repository; setup: Rec; state: string }) {
  const { say } = useApp();
  return (
    <>
      <Button
        go={state !== "done"}
        class="hand main"
        label={M.run}
        act={() => void mark(repo, setup, "running", say)}
      />
      <TakePhoto repo={repo} about={setup.id} big />
      <Button class="hand" label={B.mill.note} href={book("note", setup.id)} />
      <Button class="hand" label={M.paper} href={book("print", `setup/${setup.id}`)} />
      <Button class="hand" label={M.repeat} href={book("repeat", setup.id)} />
    </>
  );
}
