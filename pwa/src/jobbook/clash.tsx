import { Fragment, type ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { bars, apartBy, splitHole, type Half, type Shown } from "../drawing/clash";
import { Sheet } from "../drawing/parts";
import { px } from "../drawing/scale";
import type { Field, RecordKind } from "../engine/contract.gen";
import { nameOf, text, yes, type Rec } from "../records/fields";
import type { Clash, Side } from "../records/rules";
import type { Repository } from "../records/repository";
import { useApp, useTitle, when } from "../screen/context";
import { goBack } from "../screen/here";
import { book, recordHref } from "../screen/route";
import { Button } from "../ui/controls";
import { Blank, Sign } from "../ui/parts";
import { B } from "../text/jobbook";
import { W } from "../text/words";
import { groundOf, grounds, type Ground } from "./grounds";
import { saying } from "./saying";
import { NeedsLook } from "./look";
import { ofRecord, storeFault, takeBack, tell, useKinds, useWho } from "./use";

/** The clashes of a record, as they change; undefined until they are known. */
function useClashes(repo: Repository, rec: Rec): Clash[] | undefined {
  const { say } = useApp();
  const [list, set] = useState<Clash[]>();
  const many = rec.clashes.map((key) => `${key} ${String(rec.heads[key])}`).join();
  useEffect(() => {
    if (!many) return set([]);
    let live = true;
    repo.clashes(rec.id).then(
      (c) => live && set(c),
      (err: unknown) => live && say(storeFault(err)),
    );
    return () => {
      live = false;
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the shell makes say anew each time
  }, [repo, rec.id, many, rec.changed]);
  return list;
}

type Row = Record<string, unknown>;
const rowOf = (v: unknown): Row => (v && typeof v === "object" && !Array.isArray(v) ? (v as Row) : {});

/** A clash in the words of its record's kind. */
function worded(repo: Repository, kind: RecordKind | undefined, c: Clash) {
  const [key = "", row] = c.field.split("#");
  const field = kind?.fields.find((f) => f.key === key);
  const columns = row ? (field?.columns ?? []) : [];
  const spoken = (f: Field | undefined, v: unknown, unit: string | undefined): string => {
    // The unit is said where it is not the same for all.
    const bare = f?.units && c.values.every((s) => s.unit === c.values[0]!.unit);
    return bare && typeof v === "string" ? v : saying(f, v, unit, repo);
  };
  const unlike = (f: Field): boolean =>
    new Set(c.values.map((s) => `${JSON.stringify(rowOf(s.v)[f.key] ?? null)} ${f.units ? s.unit : ""}`))
      .size > 1;
  const differs = columns.filter(unlike);
  /** The one field or column that is chosen of, where it is one. */
  const single = row ? (differs.length === 1 && c.values.every((s) => s.v) ? differs[0] : undefined) : field;
  const name = columns[0] && (c.values.map((s) => rowOf(s.v)[columns[0]!.key]).find(Boolean) as string);
  const lines = (s: Side): string[] => {
    if (c.field === "gone")
      return [s.v === true ? B.clash.deleted : c.seen.includes(s.id) ? B.clash.back : B.clash.changed];
    if (s.v === null) return [B.clash.cleared];
    if (!row) return [spoken(field, s.v, s.unit)];
    const of = (f: Field): string => spoken(f, rowOf(s.v)[f.key], s.unit) || B.clash.cleared;
    if (single) return [of(single)];
    return (differs.length > 0 ? differs : columns.filter((f) => rowOf(s.v)[f.key] !== undefined)).map(
      (f) => `${f.label} ${of(f)}`,
    );
  };
  const label = single?.label ?? c.label;
  return {
    ...{ key, row, field, columns, differs, single, lines, label },
    /** A row's own name, "Hole A2". */
    title: row && columns[0] ? B.clash.row(columns[0].label, name || "") : "",
  };
}
type Worded = ReturnType<typeof worded>;

const inShort = (text: string): string => (text.length > 30 ? `${text.slice(0, 28).trimEnd()} …` : text);

/** Where two hands wrote different things, on the record's page: what they wrote, and the way to choose. */
export function Clashes({ repo, rec }: { repo: Repository; rec: Rec }) {
  const { kinds } = useKinds(repo);
  const list = useClashes(repo, rec) ?? [];
  if (list.length === 0) return null;
  const kind = kinds.find((k) => k.key === rec.kind);
  return (
    <section class="clashes warn warn-caution gone" aria-label={B.clash.count(list.length)}>
      <Sign level="caution" />
      <div>
        {list.map((c) => {
          const w = worded(repo, kind, c);
          return (
            <p class="clash-line" key={c.field}>
              {c.field !== "gone" && `${[w.title, w.label].filter(Boolean).join(", ")}: `}
              {c.values.map((s, i) => (
                <Fragment key={s.id}>
                  {i > 0 && B.clash.or}
                  <b>{inShort(w.lines(s).join(", "))}</b>
                </Fragment>
              ))}
            </p>
          );
        })}
      </div>
      <Button label={B.clash.choose} href={book("clash", rec.id)} />
    </section>
  );
}

/** One clash at a time, drawn, with a key for each value; nothing is chosen by itself. */
export const Choose = ofRecord(Choosing, [...grounds, "part", "fixture", "machine", "gauge", "job", "setup"]);

function Choosing({ repo, rec }: { repo: Repository; rec: Rec }) {
  const { say } = useApp();
  const { kinds } = useKinds(repo);
  const who = useWho();
  const list = useClashes(repo, rec);
  const [chosen, setChosen] = useState<{
    stands: string;
    fact: string;
    field: string;
    back: () => Promise<void>;
  }>();
  const kind = kinds.find((k) => k.key === rec.kind);
  const c = list?.find((one) => one.field !== chosen?.field);
  const w = c && worded(repo, kind, c);
  useTitle(chosen ? "" : (w?.title ?? ""));
  if (!list || !kind) return <Blank kind="loading" title={B.loading} />;
  const away = recordHref(rec.id);
  if (chosen) {
    return (
      <Frame level="good" headline={chosen.stands} facts={chosen.fact ? [chosen.fact] : []}>
        <nav class="page-foot">
          <button
            type="button"
            onClick={() => {
              setChosen(undefined);
              takeBack(say, chosen.back());
            }}
          >
            {W.sheet.undo}
          </button>
          <a href={book("history", rec.id)}>{B.history}</a>
          {c ? (
            <button type="button" class="go" onClick={() => setChosen(undefined)}>
              {B.clash.next}
            </button>
          ) : (
            <Away class="go" to={away} label={B.clash.done} />
          )}
        </nav>
      </Frame>
    );
  }
  if (!c || !w) {
    return (
      <Blank kind="empty" title={B.clash.settled}>
        <Button go label={nameOf(rec) || B.unnamed} href={away} />
      </Blank>
    );
  }
  const sides = c.values
    .map((side) => ({ side, ground: groundOf(repo, rec, side, who) }))
    .sort((a, b) => Number(b.ground.tried) - Number(a.ground.tried) || (a.side.at < b.side.at ? -1 : 1));
  // One alone was tried: it stands first, and dyed.
  const tried = sides.filter((s) => s.ground.tried).length === 1;
  const shown = drawnOf(
    rec,
    c,
    w,
    sides.map((s) => s.side),
    who,
  );
  const choose = (side: Side) => {
    const gone = c.field === "gone";
    const drop = gone && side.v === true;
    const stands = drop ? B.clash.dropped : gone ? B.clash.kept : B.clash.standsNow(brief(w, side));
    repo.choose(rec, c, side).then(
      ({ met }) => {
        setChosen({
          stands,
          fact: drop ? B.clash.back30 : gone ? "" : B.clash.stays,
          field: c.field,
          back: () => repo.unchoose(rec, c, side),
        });
        if (met.length > 0) say(B.clash.met);
      },
      (err: unknown) => say(storeFault(err)),
    );
  };
  const why = w.row && !w.differs.some((f) => f.key === "why") ? rowOf(sides[0]!.side.v)["why"] : undefined;
  const facts = [
    list.length > 1 && B.clash.at(list.indexOf(c) + 1, list.length),
    typeof why === "string" && why,
    B.clash.stays,
  ].filter((x): x is string => !!x);
  return (
    <Frame level="caution" headline={headlineOf(c, w)} facts={facts}>
      <NeedsLook repo={repo} rec={rec} />
      {shown && <Drawn shown={shown} />}
      <div class="sides">
        {sides.map(({ side, ground }, i) => (
          <SideCard
            key={side.id}
            {...{ w, side, ground, who }}
            dyed={tried && i === 0}
            wrong={shown?.wrong[i] ?? ""}
            label={keyOf(c, w, side)}
            choose={() => choose(side)}
          />
        ))}
      </div>
      <nav class="page-foot">
        {c.field !== "gone" && !rec.newer && <a href={measureHref(rec)}>{B.clash.measure}</a>}
        <a href={book("history", rec.id)}>{B.history}</a>
        <Away to={away} label={B.clash.later} />
      </nav>
    </Frame>
  );
}

function Frame(p: {
  level: "good" | "caution";
  headline: string;
  facts: string[];
  children: ComponentChildren;
}) {
  return (
    <div class="page clashing">
      <section class={`first is-${p.level}`}>
        <p class={`headline${p.headline.length > 26 ? " long" : ""}`}>
          <Sign level={p.level} size={26} />
          <span>{p.headline}</span>
        </p>
        <p class="facts">
          {p.facts.map((f) => (
            <span key={f}>{f}</span>
          ))}
        </p>
      </section>
      {p.children}
    </div>
  );
}

/** Leads back to where one was. */
function Away({ to, label, class: looks }: { to: string; label: string; class?: string }) {
  return (
    <a
      href={to}
      class={looks}
      onClick={(e) => {
        e.preventDefault();
        goBack(to);
      }}
    >
      {label}
    </a>
  );
}

/** A size or a count, told large. */
const NUMBER = /^[-+\d./ ]{1,9}$/;

function SideCard(p: {
  w: Worded;
  side: Side;
  ground: Ground;
  who: (by: string) => string;
  dyed: boolean;
  wrong: string;
  label: string;
  choose: () => void;
}) {
  const { side } = p;
  const [first = "", ...rest] = p.w.lines(side);
  const name = p.who(side.by);
  const here = p.who((side.wrote ?? side.id).split("-")[0] ?? "") === W.thisPhone && name !== W.thisPhone;
  return (
    <section class="side">
      <p class={rest.length === 0 && NUMBER.test(first) ? "side-value" : "side-words"}>{first}</p>
      {rest.map((line) => (
        <p key={line} class="side-words">
          {line}
        </p>
      ))}
      {p.wrong && <p class="side-wrong">{p.wrong}</p>}
      <b>{here ? `${name}, ${W.thisPhone}` : name}</b>
      <small class="quiet">{[when(side.at), ...p.ground.words].join(" · ")}</small>
      <Button go={p.dyed} label={p.label} act={p.choose} />
    </section>
  );
}

function Drawn({ shown: { picture } }: { shown: Shown }) {
  return (
    <div class="picture">
      <Sheet width={picture.w} height={picture.h} says={picture.says} marks={picture.marks}>
        {picture.words.map((word, i) => (
          <text key={i} class={`d-tag d-over ${word.k}`} x={px(word.x)} y={px(word.y)} text-anchor={word.a}>
            {word.s}
          </text>
        ))}
      </Sheet>
    </div>
  );
}

/** A value short enough for a key; "" where it is longer. */
const brief = (w: Worded, side: Side): string => {
  const lines = w.lines(side);
  return lines.length === 1 && lines[0]!.length <= 12 ? lines[0]! : B.clash.this;
};

function keyOf(c: Clash, w: Worded, side: Side): string {
  if (c.field === "gone") return side.v === true ? B.clash.drop : B.clash.keep;
  return B.clash.keepOf(brief(w, side));
}

const sizesOf = (c: Clash, side: Side): Record<string, number> =>
  Object.fromEntries(Object.entries({ ...c.of, ...side.in }).map(([key, n]) => [key, Number(n)]));

function headlineOf(c: Clash, w: Worded): string {
  if (c.field === "gone") return B.clash.goneOrNot;
  if (w.row && !w.single) return B.clash.columns(w.title, w.differs.length);
  const [a, b] = c.values.map((s) => Number(s.in?.[w.single?.key ?? ""] ?? NaN));
  if (w.single?.kind === "length" && c.values.length === 2 && Number.isFinite(a! - b!))
    return B.clash.apart(
      w.label,
      apartBy(
        a!,
        b!,
        c.values.every((s) => s.unit === "mm"),
      ),
    );
  return B.clash.two(w.label);
}

/** A hole's section, bars of lengths, or nothing. */
function drawnOf(
  rec: Rec,
  c: Clash,
  w: Worded,
  sides: Side[],
  who: (by: string) => string,
): Shown | undefined {
  const mm = sides.every((s) => s.unit === "mm");
  const keys = w.row ? w.differs.map((f) => f.key) : [w.key];
  const holes = w.row ? w.key === "holes" : ["hole", "tapped", "bore"].includes(text(rec, "kind"));
  const aHole =
    holes && keys.some((k) => ["thread", "dia", "nominal", "depth", "full", "through"].includes(k));
  if (aHole && sides.length === 2 && sides.every((s) => s.v)) {
    const half = (side: Side): Half => {
      const cell = (key: string): unknown =>
        w.row ? rowOf(side.v)[key] : key === w.key ? side.v : rec.values[key];
      const texts = keys.flatMap((key) => (typeof cell(key) === "string" ? [[key, cell(key)] as const] : []));
      return {
        name: who(side.by),
        sizes: sizesOf(w.row ? { ...c, of: {} } : c, side),
        texts: Object.fromEntries(texts) as Record<string, string>,
        through: w.row ? cell("through") === true : yes(rec, "through"),
      };
    };
    const thick = w.row ? Number(c.of["thick"] ?? NaN) : NaN;
    return splitHole(half(sides[0]!), half(sides[1]!), Number.isFinite(thick) ? thick : undefined, mm);
  }
  const key = w.single?.kind === "length" ? w.single.key : "";
  const list = sides.flatMap((s) =>
    s.in?.[key] === undefined
      ? []
      : [{ name: who(s.by), size: Number(s.in[key]), text: w.lines(s)[0] ?? "" }],
  );
  return list.length === sides.length ? bars(list) : undefined;
}

/** Where a third value is measured: a setup's readings, else the record's own form. */
function measureHref(rec: Rec): string {
  if (rec.kind === "reading" && text(rec, "setup")) return book("readings", text(rec, "setup"));
  return book("edit", rec.id);
}

/** Says that a record is deleted, and restores it; or that it needs a look. */
export function Gone({ repo, rec }: { repo: Repository; rec: Rec }) {
  return (
    <>
      <NeedsLook repo={repo} rec={rec} />
      <GoneOrNewer repo={repo} rec={rec} />
    </>
  );
}

function GoneOrNewer({ repo, rec }: { repo: Repository; rec: Rec }) {
  const { say } = useApp();
  if (rec.newer) {
    return (
      <p class="warn warn-note">
        <Sign level="note" />
        <span>{B.newer}</span>
      </p>
    );
  }
  if (!rec.gone) return null;
  return (
    <div class="warn warn-caution gone">
      <Sign level="caution" />
      <p>{B.deleted}</p>
      <Button label={B.bringBack} act={() => tell(say, repo.restore(rec), B.broughtBack)} />
    </div>
  );
}
