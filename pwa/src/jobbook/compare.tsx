import type { ComponentChildren } from "preact";
import { useRef, useState } from "preact/hooks";
import { nameOf, rows, text, type Rec } from "../records/fields";
import type { Kept } from "../records/kept";
import type { Repository } from "../records/repository";
import type { Found, Result, Sheet } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { book, href, recordHref } from "../screen/route";
import { useApp, useLoaded, useTitle, useUnsaved, when } from "../screen/context";
import { Button, Form, TextField } from "../ui/controls";
import { Blank, Cautions, Figure, Sign } from "../ui/parts";
import { B } from "../text/jobbook";
import { W } from "../text/words";
import { asRead, headline, levelOf, mains } from "../worksheet/answer";
import { pinTyped } from "../form/pin";
import { Clashes, Gone } from "./clash";
import { Notes } from "./notes";
import { Card } from "./parts";
import { thou } from "./readlogic";
import { metOr, Remove, storeFault, useRepository } from "./use";

/** A kept result: planned values beside measured ones. */
export function Compare({ id }: { id: string }) {
  const { book: records, bookFault, describe } = useApp();
  const { repo, fault } = useRepository("kept", "setup", "job", "step");
  const rec = repo?.get(id);
  const kept = useLoaded(() => records?.get(id), [records, id, rec?.changed, rec?.gone]);
  const sheet = describe?.worksheets.find((s) => s.name === kept.value?.worksheet);
  useTitle(
    kept.value ? `${kept.value.inputs["thread"] ?? ""} ${sheet?.title ?? kept.value.worksheet}`.trim() : "",
  );
  const trouble = bookFault || fault || kept.fault;
  if (trouble) return <Blank kind="broken" title={B.failed} help={trouble} />;
  // While it is read again after a change, what is open stays open with what is typed in it.
  const read = kept.value?._id === id ? kept.value : undefined;
  if (!repo || (kept.loading && !read)) return <Blank kind="loading" title={B.loading} />;
  if (rec?.gone) {
    return (
      <div class="narrow">
        <Gone repo={repo} rec={rec} />
      </div>
    );
  }
  if (!read) return <Blank kind="empty" title={B.gone} help={B.goneHelp} />;
  if (!read.answer.results) return <Blank kind="empty" title={W.jobs.unreadable} />;
  return <Open key={id} repo={repo} kept={read} sheet={sheet} />;
}

function Open({ repo, kept, sheet }: { repo: Repository; kept: Kept; sheet: Sheet | undefined }) {
  const { say, bridge } = useApp();
  const rec = repo.get(kept._id);
  const { answer } = kept;
  const owner = kept.links?.step || kept.links?.setup || kept.links?.job;
  const main = sheet ? mains(sheet, answer) : [];
  const given = sheet?.inputs.filter((i) => kept.inputs[i.key]) ?? [];
  // The same inputs worked out again: a method that has changed since is reported, not hidden.
  const again = useLoaded(
    async () => (sheet ? bridge.run(sheet.name, kept.unit, kept.inputs, `again ${kept._id}`) : undefined),
    [bridge, sheet, kept._id],
  );
  const changed =
    again.value &&
    !isRefused(again.value) &&
    ((kept.answer.mark && kept.answer.mark !== again.value.mark) ||
      main.some((m) => {
        const now = again.value;
        const found = now && !isRefused(now) ? now.results[m.result.key] : undefined;
        return !found || asRead(found).text !== m.found.text;
      }));
  const held = useLoaded(async () => {
    const doc = await repo.doc(kept._id);
    return doc?.f
      ? repo.ask<{ rows: { what: string; difference?: string; unit?: string }[] }>("found", { doc })
      : undefined;
  }, [repo, kept._rev]);
  const off = (key: string): string => {
    const h = held.value?.rows.find((r) => r.what === key);
    if (!h?.difference) return "";
    return /^[-+]?0*\.?0*$/.test(h.difference)
      ? B.compare.same
      : B.compare.off(`${h.difference} ${h.unit ?? ""}`);
  };
  const found = (key: string) => rows(rec, "found").find((r) => r["what"] === key);
  const keep = async (shown: Rec, key: string, value: string) => {
    const before = rows(shown, "found");
    const others = before.filter((r) => r["what"] !== key).map(({ row }) => ({ row }));
    const mine = before.find((r) => r["what"] === key);
    const now = await repo.change(
      shown,
      { found: value ? [...others, { ...(mine && { row: mine.row }), what: key, value }] : others },
      kept.unit,
    );
    say(metOr(now, B.compare.saved));
  };
  return (
    <div class="narrow">
      {rec && <Gone repo={repo} rec={rec} />}
      {rec && <Clashes repo={repo} rec={rec} />}
      <article class="card record">
        <header>
          <Sign level={levelOf(answer)} />
          <h2>{sheet?.title ?? kept.worksheet}</h2>
        </header>
        {!sheet && <p class="quiet">{B.kept.newer}</p>}
        {sheet && <p>{headline(sheet, answer).text}</p>}
        {kept.note && <p class="note">{kept.note}</p>}
        {changed && <p class="warn warn-caution">{B.compare.againNow}</p>}
        <Cautions list={answer.cautions.filter((c) => c.level !== "note")} />
        <p class="quiet">
          {B.kept.kept(when(kept.created))}{" "}
          {owner ? (
            <a class="way" href={recordHref(owner)}>
              {repo.get(owner) ? B.setup.of(nameOf(repo.get(owner)!)) : kept.job}
            </a>
          ) : (
            kept.job && (
              <a class="way" href={href({ page: "job", job: kept.job })}>
                {B.setup.of(kept.job)}
              </a>
            )
          )}
        </p>
      </article>
      <Card title={B.setup.compare}>
        {main.map(({ result, found: planned }) => (
          <Line
            key={result.key}
            result={result}
            planned={planned}
            found={text({ values: found(result.key) ?? {} } as never, "value")}
            unit={kept.unit}
            off={off(result.key)}
            rec={rec ?? kept.rec}
            keep={(shown, v) => keep(shown, result.key, v)}
          />
        ))}
        {kept.measured && (
          <p>
            {B.kept.measured} <Figure text={kept.measured} />
          </p>
        )}
      </Card>
      <section class="card">
        <h2>{B.compare.typed}</h2>
        <dl class="results">
          {given.map((i) => (
            <div key={i.key} class={(kept.inputs[i.key] ?? "").length > 30 ? "result block" : "result"}>
              <dt>{i.label}</dt>
              <dd class="num">
                {i.options?.find((o) => o.key === kept.inputs[i.key])?.label ?? kept.inputs[i.key]}
              </dd>
            </div>
          ))}
        </dl>
        <p class="foot-links">
          {sheet && (
            <Button
              go
              label={B.compare.open}
              href={href({ page: "sheet", sheet: kept.worksheet, record: kept._id })}
            />
          )}
          <Button label={B.history} href={book("history", kept._id)} />
          <Remove repo={repo} rec={kept.rec} name={sheet?.title ?? kept.worksheet} />
        </p>
      </section>
      <Notes about={kept._id} />
    </div>
  );
}

/** One result as planned and as found, and how far apart they are. */
function Line({
  result,
  planned,
  found,
  unit,
  off,
  rec,
  keep,
}: {
  result: Result;
  planned: Found;
  found: string;
  unit: "in" | "mm";
  /** The difference between them, as the rules work it out. */
  off: string;
  rec: Rec;
  keep: (shown: Rec, value: string) => Promise<void>;
}) {
  const [open, setOpen] = useState(false);
  const [typed, setTyped] = useState(found);
  const shown = useRef(rec); // when the field was opened
  const [fault, setFault] = useState("");
  const id = `found-${result.key}`;
  useUnsaved(id, open && typed !== found);
  const length = result.kind === "length";
  const save = () => {
    const value = typed.trim();
    if (value && length && thou(pinTyped(value, unit)) === undefined) return setFault(B.compare.wrong);
    keep(shown.current, value ? (length ? pinTyped(value, unit) : value) : "").then(
      () => setOpen(false),
      (err: unknown) => setFault(storeFault(err)),
    );
  };
  return (
    <div class="measured">
      <PlannedAndFound
        planned={B.compare.planned}
        what={result.label}
        size={planned.text}
        found={B.compare.found}
      >
        {found && <Figure text={found} />}
        {!open && (
          <Button
            class={found ? "chip" : "button"}
            label={found ? B.change : B.compare.add}
            act={() => {
              shown.current = rec;
              setTyped(found);
              setOpen(true);
            }}
          />
        )}
        {off && <span class="off num">{off}</span>}
      </PlannedAndFound>
      {open && (
        <Form act={save}>
          <TextField
            id={id}
            label={B.compare.found}
            class="num"
            value={typed}
            maxLength={60}
            autocomplete="off"
            spellcheck={false}
            {...(length ? { "data-pad": "length", "data-label": result.label } : {})}
            unit={length && unit}
            fault={fault}
            set={(t) => {
              setTyped(t);
              setFault("");
            }}
          />
          <div class="form-foot">
            <Button submit go label={B.compare.save} />
            <Button label={B.kept.cancel} act={() => setOpen(false)} />
          </div>
        </Form>
      )}
    </div>
  );
}

/** A size as it was planned, beside what was found of it. */
export function PlannedAndFound(p: {
  planned: string;
  what: string;
  size: string;
  found: string;
  children: ComponentChildren;
}) {
  return (
    <dl class="compare">
      <div>
        <dt>
          {p.planned} <small>{p.what}</small>
        </dt>
        <dd>
          <Figure text={p.size} />
        </dd>
      </div>
      <div>
        <dt>{p.found}</dt>
        <dd>{p.children}</dd>
      </div>
    </dl>
  );
}
