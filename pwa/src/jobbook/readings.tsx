import { useEffect, useRef, useState } from "preact/hooks";
import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Shelf } from "../records/repository";
import { loadDraft, saveDraft } from "../form/drafts";
import { askToKeep } from "../storage/persist";
import { book, href } from "../screen/route";
import { tellKeypad } from "../form/keypad/status";
import { useApp, useTitle, useUnsaved, when } from "../screen/context";
import { Blank, FaultLine, Figure, Fold, Segments } from "../ui/parts";
import { prefs, setPrefs, usePrefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { W } from "../text/words";
import { Fit, useLine } from "./fit";
import {
  aloud,
  isReading,
  isWhole,
  kindNext,
  lastOfEach,
  nextPlace,
  places,
  signed,
  type Place,
} from "./readlogic";
import { canSpeak, speak } from "./speak";
import { Gate, storeFault, useKinds, useLit, useShelf } from "./use";
import { useWedge } from "./wedge";

const R = B.read;

/** Readings of one setup: two touches and a number each. */
export function Readings({ id, more }: { id: string; more: Record<string, string> }) {
  const { shelf, ready, fault } = useShelf("setup", "reading", "part", "feature");
  const setup = shelf?.get(id);
  useTitle(setup ? nameOf(setup) : "");
  return (
    <Gate ready={ready} fault={fault}>
      {shelf && setup ? (
        <Taking shelf={shelf} setup={setup} step={more["step"] ?? ""} feature={more["feature"] ?? ""} />
      ) : (
        <Blank kind="empty" title={R.noSetup} help={B.goneHelp} />
      )}
    </Gate>
  );
}

function Taking({
  shelf,
  setup,
  step,
  feature,
}: {
  shelf: Shelf;
  setup: Rec;
  step: string;
  feature: string;
}) {
  const { describe, say } = useApp();
  const { unit, bare } = usePrefs();
  const { kinds } = useKinds(shelf);
  const whens = kinds.find((k) => k.key === "reading")?.fields.find((f) => f.key === "kind")?.options ?? [];
  const mine = shelf.all("reading").filter((r) => text(r, "setup") === setup.id && !text(r, "round"));
  const draft = `readings ${setup.id}`;
  const kept = useRef(loadDraft(draft)?.more ?? {});
  const [kind, setKind] = useState(kept.current["kind"] || kindNext(mine, step));
  const known = places(setup, mine, kind);
  const [place, setPlace] = useState<Place>(() => {
    const done = lastOfEach(mine, kind, known);
    const now = done.length > 0 ? text(done.at(-1), "station") : "";
    const next = nextPlace(known, done, now);
    // Where all of them were read, the next round begins at the first.
    const name = kept.current["place"] || (next === now && known[0]?.name) || next;
    return known.find((p) => p.name === name) ?? { name: name || "1", x: "", expected: "" };
  });
  const [typed, setTyped] = useState(loadDraft(draft)?.inputs["value"] ?? "");
  const [fault, setFault] = useState("");
  const [stored, setStored] = useState(true);
  const [busy, setBusy] = useState(false);
  const [of, setOf] = useState(feature || kept.current["of"] || "");
  // A size is a whole length, not so many thousandths off zero.
  const size = isWhole(kind);
  const means = size && bare === "thou" ? unit : bare;
  const parts = shelf.all("part").filter((p) => text(p, "job") === text(setup, "job"));
  const features = shelf.all("feature").filter((f) => parts.some((p) => p.id === text(f, "part")));
  const field = useRef<HTMLInputElement>(null);
  const at = known.some((p) => p.name === place.name) ? known : [...known, place];
  const line = lastOfEach(mine, kind, at);
  const worked = useLine(shelf, setup, mine, kind);
  const last = [...mine].sort(byMade).at(-1);
  useLit(true);
  useWedge(field);
  useUnsaved(draft, !stored && typed !== "");

  const remember = (value: string, more: Record<string, string> = {}) => {
    kept.current = { ...kept.current, ...more };
    setStored(saveDraft(draft, { inputs: value ? { value } : {}, more: kept.current }));
  };
  const put = (value: string) => {
    setTyped(value);
    setFault("");
    remember(value);
  };
  const go = (to: Place) => {
    setPlace(to);
    remember(typed, { place: to.name });
    field.current?.focus();
  };

  const take = async (value: string) => {
    if (busy) return;
    if (!value.trim()) return setFault(R.needs);
    if (!isReading(value)) return setFault(R.number);
    const read = size ? signed(value, means, unit).replace(/^\+/, "") : signed(value, means, unit);
    setBusy(true);
    try {
      const rec = await shelf.make("reading", {
        setup: setup.id,
        step: step || undefined,
        feature: of || undefined,
        station: place.name,
        x: place.x || undefined,
        y: place.y || undefined,
        z: place.z || undefined,
        value: read,
        kind,
        when: new Date().toISOString(),
        who: prefs().who.trim() || undefined,
        gauge: text(setup, "indicator") || undefined,
      });
      const now = [...mine.filter((r) => r.id !== rec.id), rec];
      const next = of ? place.name : nextPlace(at, lastOfEach(now, kind, at), place.name);
      setPlace(at.find((p) => p.name === next) ?? { name: next, x: "", expected: "" });
      empty(field.current);
      remember("", { place: next, kind });
      navigator.vibrate?.(15);
      if (prefs().speak) speak(aloud(read, place.name));
      void askToKeep();
    } catch (err) {
      setFault(storeFault(err));
    } finally {
      setBusy(false);
    }
  };
  const same = () => {
    if (!last) return setFault(R.nothingYet);
    void take(text(last, "value"));
  };
  const remove = (r: Rec) => {
    const what = `${text(r, "station")} ${text(r, "value")}`;
    shelf.remove(r.id).then(
      () => {
        const p = places(setup, mine).find((x) => x.name === text(r, "station"));
        if (p) {
          setPlace(p);
          remember(typed, { place: p.name });
        }
        say(R.undone(what), () => void shelf.restore(r.id));
      },
      (err: unknown) => setFault(storeFault(err)),
    );
  };

  useEffect(() => {
    const el = field.current;
    const again = () => same();
    el?.addEventListener("same-again", again);
    return () => el?.removeEventListener("same-again", again);
  });
  // Ready to type at once; later only a touch brings the keypad back.
  useEffect(() => field.current?.focus({ preventScroll: true }), []);
  const told = last
    ? `${text(last, "station")} ${text(last, "value")}${worked.line ? ` · ${worked.line}` : ""}`
    : "";
  useEffect(() => {
    tellKeypad({ fault, answer: told, level: worked.level });
    return () => tellKeypad({ fault: "", answer: "", level: "none" });
  }, [fault, told, worked.level]);

  return (
    <div class="readings">
      <form
        class="card take"
        autocomplete="off"
        onSubmit={(e) => {
          e.preventDefault();
          void take(field.current?.value ?? typed);
        }}
      >
        <div class={fault ? "field-wrap wrong" : "field-wrap"}>
          <div class="field">
            <label for="reading">
              {R.at(place.name)}
              {place.expected && ` · ${R.expected(place.expected)}`}
            </label>
            <input
              ref={field}
              id="reading"
              class="num"
              type="text"
              value={typed}
              autocomplete="off"
              autocapitalize="off"
              spellcheck={false}
              maxLength={40}
              enterkeyhint="send"
              data-pad="reading"
              data-take={R.take}
              data-label={`${R.at(place.name)}${place.expected ? ` · ${R.expected(place.expected)}` : ""}`}
              data-units={unit === "mm" ? "um,mm" : "thou,mm"}
              aria-invalid={fault ? "true" : undefined}
              aria-describedby={fault ? "reading-fault" : undefined}
              onInput={(e) => put(e.currentTarget.value)}
            />
            <span class="field-unit" aria-hidden="true">
              {means === "thou" ? (unit === "mm" ? "um" : "thou") : means}
            </span>
          </div>
          <FaultLine id="reading-fault" text={fault || undefined} />
        </div>
        <div class="form-foot">
          <button type="submit" class="button go" disabled={busy}>
            {R.take}
          </button>
          <button type="button" class="button" disabled={!last || busy} onClick={same}>
            {R.same}
            {last && <small class="num"> {text(last, "value")}</small>}
          </button>
          <button type="button" class="button" disabled={!last || busy} onClick={() => last && remove(last)}>
            {R.undo}
          </button>
        </div>
        <Places at={at} now={place} done={line} go={go} deep={kind === "rough"} />
        <Fold title={`${R.when}: ${(whens.find((w) => w.key === kind)?.label ?? kind).toLowerCase()}`}>
          <Segments
            name="when"
            legend={R.when}
            options={whens}
            value={kind}
            pick={(k) => {
              setKind(k);
              remember(typed, { kind: k });
            }}
          />
          {features.length > 0 && (
            <div class="field-wrap">
              <div class="field">
                <label for="reading-of">{R.of}</label>
                <select
                  id="reading-of"
                  value={of}
                  onChange={(e) => {
                    const to = e.currentTarget.value;
                    setOf(to);
                    remember(typed, { of: to });
                    const named = features.find((f) => f.id === to);
                    if (named) setPlace({ name: nameOf(named), x: "", expected: "" });
                  }}
                >
                  <option value="">{W.pick.none}</option>
                  {features.map((f) => (
                    <option key={f.id} value={f.id}>
                      {nameOf(f)} {text(f, "nominal")}
                    </option>
                  ))}
                </select>
              </div>
            </div>
          )}
          <Segments
            name="bare"
            legend={R.bare}
            options={[
              { key: "thou", label: unit === "mm" ? R.um : R.thou },
              { key: "in", label: R.inch },
              { key: "mm", label: R.mm },
            ]}
            value={means}
            pick={(b) => setPrefs({ bare: b === "in" || b === "mm" ? b : "thou" })}
          />
          <Speaking />
        </Fold>
      </form>
      <Fit setup={setup} worked={worked} sheet={describe?.worksheets.find((s) => s.name === "tram")} />
      <Listed setup={setup} all={mine} at={places(setup, mine)} kinds={whens} remove={remove} />
      <p class="foot-links">
        <a class="button" href={book("setup", setup.id)}>
          {B.mill.open}
        </a>
        {worked.text && (
          <a class="button" href={href({ page: "sheet", sheet: "tram", from: setup.id })}>
            {R.fitOpen}
          </a>
        )}
      </p>
    </div>
  );
}

/** Clears the field as a key would, so that the keypad sees it too and its Undo brings the number back. */
function empty(el: HTMLInputElement | null): void {
  if (!el) return;
  el.value = "";
  el.dispatchEvent(new Event("input", { bubbles: true }));
}

function Places({
  at,
  now,
  done,
  go,
  deep,
}: {
  at: readonly Place[];
  now: Place;
  done: readonly Rec[];
  go: (to: Place) => void;
  /** A touch on a rough has a place in three directions; the reading is the one left empty. */
  deep: boolean;
}) {
  const [open, setOpen] = useState(false);
  const [name, setName] = useState("");
  const [x, setX] = useState<{ x?: string; y?: string; z?: string }>({});
  return (
    <>
      <div class="chips places" role="group" aria-label={R.stations}>
        {at.map((p) => {
          const read = done.find((r) => text(r, "station") === p.name);
          return (
            <button
              key={p.name}
              type="button"
              class="chip name"
              aria-pressed={p.name === now.name}
              onClick={() => go(p)}
            >
              {p.name}
              {p.x && <small class="num"> {p.x}</small>}
              {read && <b class="num"> {text(read, "value")}</b>}
            </button>
          );
        })}
        <button
          type="button"
          class="chip"
          aria-expanded={open}
          onClick={() => {
            setOpen(!open);
            setName("");
          }}
        >
          {R.newStation}
        </button>
      </div>
      {open && (
        <div class="fields place-form">
          <div class="field-wrap">
            <div class="field">
              <label for="place-name">{R.station}</label>
              <input
                id="place-name"
                type="text"
                maxLength={80}
                value={name}
                placeholder={R.stationLike}
                onInput={(e) => setName(e.currentTarget.value)}
              />
            </div>
          </div>
          {(deep ? (["x", "y", "z"] as const) : (["x"] as const)).map((key) => (
            <div class="field-wrap" key={key}>
              <div class="field long-name">
                <label for={`place-${key}`}>{R[key]}</label>
                <input
                  id={`place-${key}`}
                  class="num"
                  type="text"
                  maxLength={40}
                  value={x[key] ?? ""}
                  data-pad="length"
                  data-label={R[key]}
                  data-units="in,mm"
                  onInput={(e) => setX({ ...x, [key]: e.currentTarget.value })}
                />
              </div>
            </div>
          ))}
          <button
            type="button"
            class="button wide"
            disabled={!name.trim()}
            onClick={() => {
              const there = at.find((p) => p.name === name.trim());
              const given = Object.fromEntries(
                Object.entries(x).flatMap(([key, t]) => (t.trim() ? [[key, t.trim()]] : [])),
              );
              go({ x: "", expected: "", ...there, ...given, name: name.trim() });
              setOpen(false);
              setX({});
            }}
          >
            {R.setStation}
          </button>
          <p class="help wide">{deep ? R.deepHelp : R.xHelp}</p>
        </div>
      )}
    </>
  );
}

/** Every reading, the last of each place in front; those it replaced stand under it. */
function Listed({
  setup,
  all,
  at,
  kinds,
  remove,
}: {
  setup: Rec;
  all: readonly Rec[];
  at: readonly Place[];
  kinds: readonly { key: string; label: string }[];
  remove: (r: Rec) => void;
}) {
  const held = useHeld(setup, all);
  const groups = [...new Set([...all].sort(byMade).map((r) => text(r, "kind")))].reverse();
  return (
    <section class="card" aria-label={R.list}>
      <h2>{R.list}</h2>
      {all.length === 0 && <p class="quiet">{R.none}</p>}
      {groups.map((kind) => {
        const last = lastOfEach(all, kind, at);
        const earlier = all.filter((r) => text(r, "kind") === kind && !last.includes(r)).sort(byMade);
        return (
          <div key={kind} class="read-group">
            <h3>{kinds.find((k) => k.key === kind)?.label ?? kind}</h3>
            <ul class="read-list">
              {[...last, ...earlier].map((r) => (
                <li key={r.id} class={earlier.includes(r) ? "earlier" : ""}>
                  <OneReading
                    r={r}
                    place={at.find((p) => p.name === text(r, "station"))}
                    held={last.includes(r) ? held(text(r, "station"), kind) : undefined}
                  />
                  <button
                    type="button"
                    class="square"
                    aria-label={R.remove(`${text(r, "station")} ${text(r, "value")}`)}
                    onClick={() => remove(r)}
                  >
                    ✕
                  </button>
                </li>
              ))}
            </ul>
          </div>
        );
      })}
      {all.length > 0 && text(setup, "wanted") && <p class="quiet">{`± ${text(setup, "wanted")}`}</p>}
    </section>
  );
}

export function OneReading({
  r,
  place,
  held,
}: {
  r: Rec;
  place?: Place | undefined;
  held?: Held | undefined;
}) {
  const off = held?.difference;
  return (
    <a class="read-line" href={book("record", r.id)}>
      <span>
        <b>{text(r, "station")}</b>
        {text(r, "x") && <small class="num"> {text(r, "x")}</small>}
        <small class="quiet">
          {" "}
          {when(text(r, "when") || r.made)} {text(r, "who")}
        </small>
        {place?.expected && (
          <small class="quiet">
            {R.expected(place.expected)}
            {off && `, ${R.off(off)}`}
            {held?.beyond && <b class="beyond">{R.beyond}</b>}
          </small>
        )}
      </span>
      <Figure text={text(r, "value")} />
    </a>
  );
}

interface Held {
  station: string;
  kind?: string;
  expected?: string;
  found?: string;
  difference?: string;
  beyond?: boolean;
}

/** The readings held against those of the last time, by the rules. */
function useHeld(setup: Rec, all: readonly Rec[]): (station: string, kind: string) => Held | undefined {
  const { shelf } = useShelf();
  const { unit } = usePrefs();
  const [list, set] = useState<Held[]>([]);
  const some = setup.values["expected"] !== undefined;
  const key = all.map((r) => r.id).join();
  useEffect(() => {
    if (!shelf || !some) return;
    let live = true;
    const wanted = text(setup, "wanted");
    Promise.all([shelf.doc(setup.id), shelf.docs(all.map((r) => r.id))])
      .then(([doc, docs]) =>
        shelf.ask<{ rows: Held[] }>("readings", { setup: doc, docs, unit, ...(wanted && { limit: wanted }) }),
      )
      .then(
        ({ rows }) => live && set(rows),
        () => live && set([]), // it is only a comparison: the readings stand without it
      );
    return () => {
      live = false;
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- key stands for all, changed for setup
  }, [shelf, some, key, unit, setup.changed]);
  return (station, kind) => list.find((h) => h.station === station && (!h.kind || h.kind === kind));
}

function Speaking() {
  const { speak: on } = usePrefs();
  const [can, setCan] = useState(true);
  return (
    <>
      <label class="tick-line">
        <input
          type="checkbox"
          checked={on}
          onChange={(e) => {
            const want = e.currentTarget.checked;
            setPrefs({ speak: want });
            if (want) {
              void canSpeak().then((yes) => {
                setCan(yes);
                if (!yes) setPrefs({ speak: false });
              });
            }
          }}
        />
        <span>{R.speak}</span>
      </label>
      {!can && <p class="help">{R.speakNo}</p>}
    </>
  );
}
