import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { isRound, isSet, keyOf, machinePlan, written, type Face, type Place } from "../drawing/face";
import { byMade, nameOf, rows, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { useApp, when } from "../screen/context";
import { Door } from "../screen/door";
import { goOver, goUp, useHere } from "../screen/here";
import { prefs, usePrefs } from "../screen/prefs";
import { book, href, recordHref } from "../screen/route";
import { Button } from "../ui/controls";
import { DataTable } from "../ui/table";
import { LinkList } from "../ui/parts";
import { N } from "../text/begin";
import { F } from "../text/faces";
import { B } from "../text/jobbook";
import { dots } from "../text/words";
import { Clashes, Gone } from "./clash";
import { Drawn, FaceDrawing } from "./drawn";
import { SetupDoor } from "./job";
import { Photos, TakePhoto } from "./photos";
import { rough } from "./scene";
import { useShape } from "./shape";
import { sameName, useRepository, useWho } from "./use";

type More = Record<string, string>;

/** The other ways to look at a drawn record, behind the keys of its foot. */
const VIEWS = ["list", "setups", "history", "card"] as const;

const at = (rec: Rec, more: More): string => {
  const query = new URLSearchParams(Object.entries(more).filter(([, v]) => v)).toString();
  return recordHref(rec.id) + (query && `?${query}`);
};

/** The foot of a drawn record: a key to each of its views, and one to add a place. */
function Foot({ rec, more, add }: { rec: Rec; more: More; add: string }) {
  const now = more["view"] ?? "";
  const keys = VIEWS.filter((v) => v !== "history" && (v !== "list" || rec.kind !== "machine"));
  return (
    <nav class="page-foot" aria-label={nameOf(rec)}>
      {keys.map((v) => (
        <Door
          key={v}
          label={F.views[v]}
          to={at(rec, { ...more, view: v })}
          page={at(rec, { ...more, view: "" })}
          here={now === v}
          within={now !== ""}
        />
      ))}
      {add && !rec.newer && !rec.gone && (
        <a class="go" href={add}>
          {F.add}
        </a>
      )}
    </nav>
  );
}

/** A fixture or a part, drawn: its faces with the places on them; the rest behind the keys of the foot. */
export function FacesPage({
  repo,
  rec,
  more,
  card,
}: {
  repo: Repository;
  rec: Rec;
  more: More;
  /** The record as fields. */
  card: ComponentChildren;
}) {
  const features = rec.kind === "part" ? repo.all("feature").filter((f) => text(f, "part") === rec.id) : [];
  const mark = features.map((f) => `${f.id} ${f.changed}`).join();
  const shape = useShape(repo, rec.kind === "part" ? "part" : "fixture", rec, mark);
  const faces = shape?.faces ?? [];
  const lit = more["place"] ?? "";
  const onIt = faces.findIndex((f) => f.places.some((p) => keyOf(p) === lit));
  const [n, pick] = useHere<number>("face", 0);
  const face = faces[onIt >= 0 ? onIt : Math.min(n, faces.length - 1)];
  const place = face?.places.find((p) => keyOf(p) === lit);
  const choose = (key: string) => goOver(at(rec, { ...more, place: key }));
  useArrows(face, lit, choose);
  const add = book("place", rec.id, { face: face?.name ?? "", ...(more["back"] && { back: more["back"] }) });
  const view = more["view"];
  return (
    <div class={rec.kind === "fixture" ? "faces-page railed" : "faces-page"}>
      {rec.kind === "fixture" && <Rail repo={repo} rec={rec} />}
      <Gone repo={repo} rec={rec} />
      <Clashes repo={repo} rec={rec} />
      {view === "card" ? (
        card
      ) : view === "setups" ? (
        <UsedBy repo={repo} rec={rec} place={place} />
      ) : (
        <div class={place ? "faces-desk touched" : "faces-desk"}>
          <div class="faces-drawing">
            {faces.length > 1 && (
              <div class="seg" role="group" aria-label={F.faces}>
                {faces.map((f, i) => (
                  <button
                    key={i}
                    type="button"
                    class="chip"
                    aria-pressed={f === face}
                    onClick={() => {
                      pick(i);
                      choose("");
                    }}
                  >
                    {f.name || f.look || F.face(i + 1)}
                  </button>
                ))}
              </div>
            )}
            {face && view !== "list" && <FaceDrawing face={face} lit={lit} touched={choose} high={256} />}
            {face && <PlaceTable face={face} lit={lit} choose={choose} only={view === "list"} />}
            {!shape && <div class="drawing-wait" />}
            {shape && !face && (
              <p class="quiet">
                {[shape.long, shape.wide, shape.high].flatMap((l) => (l ? [written(l)] : [])).join(" × ")}
              </p>
            )}
          </div>
          {place ? (
            <PlaceCard repo={repo} rec={rec} place={place} back={more["back"]} />
          ) : (
            <section class="place-card">
              <p class="quiet">
                {[shape?.long, shape?.wide, shape?.high, shape?.thick]
                  .flatMap((l) => (l ? [written(l)] : []))
                  .join(" × ")}
              </p>
              <h2>{face ? F.places(face.places.filter(isSet).length) : nameOf(rec)}</h2>
              {rec.kind === "fixture" && (
                <div class="place-keys">
                  <Button
                    label={F.fits}
                    href={href({ page: "sheet", sheet: "match", from: rec.id })}
                    class="button"
                  />
                  <TakePhoto repo={repo} about={rec.id} big />
                </div>
              )}
            </section>
          )}
          {more["back"] && (
            <p class="foot-links">
              <Button go label={N.back} act={() => goUp(more["back"]!)} />
            </p>
          )}
        </div>
      )}
      <Foot rec={rec} more={more} add={add} />
    </div>
  );
}

/** Arrow keys walk the places of a face, in the order of the list. */
function useArrows(face: Face | undefined, lit: string, choose: (key: string) => void): void {
  useEffect(() => {
    const walk = (e: KeyboardEvent) => {
      const way =
        e.key === "ArrowDown" || e.key === "ArrowRight"
          ? 1
          : e.key === "ArrowUp" || e.key === "ArrowLeft"
            ? -1
            : 0;
      const typing = e.target instanceof HTMLElement && e.target.closest("input, textarea, select, dialog");
      if (!face || way === 0 || typing || e.altKey || e.ctrlKey || e.metaKey) return;
      const keys = face.places.map(keyOf);
      const next = keys[(keys.indexOf(lit) + way + keys.length) % keys.length];
      if (next === undefined) return;
      e.preventDefault();
      choose(next);
    };
    addEventListener("keydown", walk);
    return () => removeEventListener("keydown", walk);
  });
}

const COLUMNS = [
  { key: "name", label: F.place },
  { key: "size", label: F.sizes },
  { key: "x", label: "X", num: true },
  { key: "y", label: "Y", num: true },
  { key: "why", label: F.why },
];

/** On a desk all fixtures stand at the left, to one scale, so that their size is seen. */
function Rail({ repo, rec }: { repo: Repository; rec: Rec }) {
  const all = repo.all("fixture").sort((a, b) => byName(a, b));
  const sizes = all.map(
    (f) => [rough(text(f, "long")) ?? rough(text(f, "wide")) ?? 0, rough(text(f, "high")) ?? 0] as const,
  );
  const scale = 84 / Math.max(1, ...sizes.flat());
  return (
    <nav class="desk rail" aria-label={F.fixtures}>
      {all.map((f, i) => {
        const [w, h] = sizes[i]!;
        return (
          <a key={f.id} href={recordHref(f.id)} aria-current={f.id === rec.id ? "page" : undefined}>
            <svg viewBox="0 0 88 88" width="88" height="88" aria-hidden="true">
              {w > 0 && h > 0 ? (
                <path
                  class="d-metal rail-face"
                  d={`M${44 - (w * scale) / 2} ${86 - h * scale}h${w * scale}v${h * scale}h${-w * scale}z`}
                />
              ) : (
                <path class="d-ghost" d="M20 60h48v26h-48z" />
              )}
            </svg>
            <span>
              <b>{dots(text(f, "tag"), nameOf(f))}</b>
              <small>
                {F.places(rows(f, "holes").length + rows(f, "slots").length + rows(f, "marks").length)}
              </small>
            </span>
          </a>
        );
      })}
      <Button label={B.shop.add(F.fixture)} href={book("new", "fixture")} />
    </nav>
  );
}

const byName = (a: Rec, b: Rec): number =>
  `${text(a, "tag")} ${nameOf(a)}`.localeCompare(`${text(b, "tag")} ${nameOf(b)}`, undefined, {
    numeric: true,
  });

/** Sizes without the unit that the shop reckons in. */
const bare = (says: string | undefined): string =>
  (says ?? "").replaceAll(new RegExp(` ${prefs().unit}(?![a-z])`, "g"), "");

/** The places as a list: the other way to each of them, and on a desk the table under the drawing. */
function PlaceTable({
  face,
  lit,
  choose,
  only,
}: {
  face: Face;
  lit: string;
  choose: (key: string) => void;
  only: boolean;
}) {
  const { say } = useApp();
  const seen = new Set<string>();
  const list = face.places.filter((p) => !seen.has(keyOf(p)) && seen.add(keyOf(p)));
  const title = (p: Place) => p.name || F.what[p.what] || p.what;
  return (
    <>
      <ul class={only ? "place-list only" : "place-list"}>
        {list.map((p) => (
          <li key={keyOf(p)}>
            <button type="button" aria-pressed={keyOf(p) === lit} onClick={() => choose(keyOf(p))}>
              <b>{title(p)}</b>
              <span class="num">{bare(p.says)}</span>
              <span class="num">{bare(p.at) || F.nowhere}</span>
              <span class="place-why">{p.why}</span>
            </button>
          </li>
        ))}
      </ul>
      <div class="desk">
        <DataTable
          name={F.views.list}
          columns={COLUMNS}
          say={say}
          lit={lit}
          choose={choose}
          rows={list.map((p) => ({
            key: keyOf(p),
            cells: {
              name: title(p),
              size: bare(p.says),
              x: bare(p.at?.split(", ")[0]),
              y: bare(p.at?.split(", ")[1]),
              why: p.why,
            },
            at: { x: p.x, y: p.y },
          }))}
        />
      </div>
    </>
  );
}

/** What is not round and still has a middle that is picked up. */
const MIDDLE = ["slot", "tee", "groove"];

/** One place: why it is there, by whom and when, its photos, the setups that used it. */
function PlaceCard({
  repo,
  rec,
  place,
  back,
}: {
  repo: Repository;
  rec: Rec;
  place: Place;
  back?: string | undefined;
}) {
  const { describe } = useApp();
  const who = useWho();
  const key = keyOf(place);
  useRepository("setup", "job", "photo");
  const used = usedBy(repo, rec, place);
  const last = used[0];
  const job = place.job ? repo.get(place.job) : undefined;
  const feature = place.id ? repo.get(place.id) : undefined;
  const name = place.name || F.what[place.what] || "";
  const sheet = isRound(place) ? "centre" : "middle";
  const why = place.why || (feature && nameOf(feature));
  return (
    <section class="place-card" aria-live="polite">
      <p class="quiet">
        {dots(
          name,
          bare(place.says),
          place.when || place.written ? when(place.when || place.written!) : "",
          who(place.by ?? ""),
        )}
      </p>
      <h2 class={why ? "" : "quiet"}>{why ?? F.noWhy}</h2>
      <p class="num">{bare(place.at) || F.nowhere}</p>
      {(used.length > 0 || job) && (
        <p>
          {job && (
            <a class="way" href={recordHref(job.id)}>
              {nameOf(job)}
            </a>
          )}
          {used.length > 0 && (
            <a class="way" href={at(rec, { place: key, view: "setups" })}>
              {F.used(used.length, last ? when(text(last, "when") || last.made) : "")}
            </a>
          )}
        </p>
      )}
      <Photos about={rec.id} place={key} title={false} take={false} />
      <div class="place-keys">
        <TakePhoto repo={repo} about={rec.id} place={key} big />
        {describe && (isRound(place) || MIDDLE.includes(place.what)) && (
          <Button label={F.middle} href={href({ page: "sheet", sheet, from: feature?.id ?? rec.id })} />
        )}
        {!rec.newer &&
          (feature ? (
            <Button label={F.change} href={recordHref(feature.id)} />
          ) : (
            <Button label={F.change} href={book("place", rec.id, { at: key, ...(back && { back }) })} />
          ))}
      </div>
    </section>
  );
}

/** The setups that used a fixture, or one of its holes, a machine or a part: the latest first. */
export function usedBy(repo: Repository, rec: Rec, place?: Place): Rec[] {
  const own = (s: Rec) =>
    !place || (place.table === "holes" && rows(s, "bolts").some((b) => sameName(b["hole"], place.name)));
  return repo
    .all("setup")
    .filter((s) => text(s, rec.kind === "gauge" ? "indicator" : rec.kind) === rec.id && own(s))
    .sort((a, b) => byMade(b, a));
}

function UsedBy({ repo, rec, place }: { repo: Repository; rec: Rec; place?: Place | undefined }) {
  useRepository("setup", "step", "reading", "job", "machine", "fixture");
  const list = usedBy(repo, rec, place);
  return (
    <section class="card">
      <h2>{dots(F.views.setups, place?.name)}</h2>
      {list.length === 0 && <p class="quiet">{B.shop.usedNone}</p>}
      <LinkList>
        {list.slice(0, 50).map((s) => (
          <SetupDoor key={s.id} repo={repo} setup={s} job={repo.get(text(s, "job"))} />
        ))}
      </LinkList>
    </section>
  );
}

/** A machine: its table from above with the travels, what is known of its errors. */
export function MachinePage({
  repo,
  rec,
  more,
  card,
}: {
  repo: Repository;
  rec: Rec;
  more: More;
  card: ComponentChildren;
}) {
  const room = useShape(repo, "machine", rec);
  const [picture, draw] = useState<ReturnType<typeof machinePlan>>();
  useEffect(() => draw(room && machinePlan(room)), [room]);
  usePrefs();
  const errors = text(rec, "errors");
  return (
    <div class="faces-page">
      <Gone repo={repo} rec={rec} />
      <Clashes repo={repo} rec={rec} />
      {more["view"] === "card" ? (
        card
      ) : more["view"] === "setups" ? (
        <UsedBy repo={repo} rec={rec} />
      ) : (
        <>
          <div class="picture">{picture && <Drawn picture={picture} />}</div>
          <section class="place-card">
            {errors && <h2>{errors}</h2>}
            <ul class="axis-errors">
              {(room?.axes ?? []).flatMap((a) =>
                a.error
                  ? [
                      <li key={a.row}>
                        <b>{(a.axis ?? "").toUpperCase()}</b> <span>{a.error}</span>
                      </li>,
                    ]
                  : [],
              )}
            </ul>
            <Photos about={rec.id} title={false} />
            {more["back"] && <Button go label={N.back} act={() => goUp(more["back"]!)} />}
          </section>
        </>
      )}
      <Foot rec={rec} more={more} add="" />
    </div>
  );
}
