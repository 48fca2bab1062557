import { useEffect, useState } from "preact/hooks";
import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp, useLoaded, when } from "../screen/context";
import { Button, Form, TextField } from "../ui/controls";
import { Figure, Fold, Segments } from "../ui/parts";
import { prefs, setPrefs, usePrefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { dots, W } from "../text/words";
import { headline } from "../worksheet/answer";
import { Fit, useLine } from "./fit";
import { Card, Choice } from "./parts";
import { ReadingField, useReading, useTold } from "./reading-field";
import {
  aloud,
  endsRead,
  isWhole,
  kindNext,
  lastOfEach,
  nextPlace,
  places,
  roundOf,
  signed,
  type Place,
} from "./readlogic";
import { canSpeak, speak } from "./speak";
import { takenNow } from "./taken";
import { metOr, ofRecord, storeFault, takeBack, useKinds, useRepository } from "./use";

const R = B.read;

interface Asked {
  id: string;
  more: Record<string, string>;
}

/** Readings of one setup: two touches and a number each. */
export const Readings = ofRecord<Asked>(Taking, ["reading", "part", "feature"], { none: R.noSetup });

function Taking({ repo, rec: setup, more }: { repo: Repository; rec: Rec; more: Asked["more"] }) {
  const { say } = useApp();
  const { unit, bare } = usePrefs();
  const { kinds } = useKinds(repo);
  const step = more["step"] ?? "";
  const whens = kinds.find((k) => k.key === "reading")?.fields.find((f) => f.key === "kind")?.options ?? [];
  const mine = repo.all("reading").filter((r) => text(r, "setup") === setup.id && !text(r, "round"));
  const typing = useReading(`readings ${setup.id}`);
  const { was, remember, setFault, field } = typing;
  const [kind, setKind] = useState(was["kind"] || kindNext(mine, step));
  const known = places(setup, mine, kind);
  const [place, setPlace] = useState<Place>(() => {
    const before = mine.filter((r) => text(r, "kind") === kind).sort(byMade);
    const name = was["place"] || nextPlace(known, mine, kind, text(before.at(-1), "station"));
    return known.find((p) => p.name === name) ?? { name: name || "1", x: "", expected: "" };
  });
  const [busy, setBusy] = useState(false);
  const [of, setOf] = useState(more["feature"] || was["of"] || "");
  // A size is a whole length, not so many thousandths off zero.
  const size = isWhole(kind);
  const means = size && bare === "thou" ? unit : bare;
  const parts = repo.all("part").filter((p) => text(p, "job") === text(setup, "job"));
  const features = repo.all("feature").filter((f) => parts.some((p) => p.id === text(f, "part")));
  const at = known.some((p) => p.name === place.name) ? known : [...known, place];
  const line = lastOfEach(mine, kind, at);
  const worked = useLine(repo, setup, mine, kind);
  const last = [...mine].sort(byMade).at(-1);

  const go = (to: Place) => {
    setPlace(to);
    remember({ place: to.name });
    field.current?.focus();
  };
  const take = async (given?: string) => {
    const value = busy ? "" : typing.number(given);
    if (!value) return;
    const read = size ? signed(value, means, unit).replace(/^\+/, "") : signed(value, means, unit);
    setBusy(true);
    try {
      const rec = await repo.make("reading", {
        setup: setup.id,
        step: step || undefined,
        feature: of || undefined,
        station: place.name,
        x: place.x || undefined,
        y: place.y || undefined,
        z: place.z || undefined,
        value: read,
        kind,
        ...takenNow(setup),
      });
      const now = [...mine.filter((r) => r.id !== rec.id), rec];
      const next = of ? place.name : nextPlace(at, now, kind, place.name);
      setPlace(at.find((p) => p.name === next) ?? { name: next, x: "", expected: "" });
      typing.taken({ place: next, kind });
      if (prefs().speak) speak(aloud(read, place.name));
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
    repo.remove(r).then(
      (gone) => {
        const p = places(setup, mine).find((x) => x.name === text(r, "station"));
        if (p) {
          setPlace(p);
          remember({ place: p.name });
        }
        say(metOr(gone, R.undone(nameOf(r))), () => takeBack(say, repo.restore(gone)));
      },
      (err: unknown) => setFault(storeFault(err)),
    );
  };

  useEffect(() => {
    const el = field.current;
    const again = (e: Event) => {
      e.preventDefault();
      same();
    };
    el?.addEventListener("same-again", again);
    return () => el?.removeEventListener("same-again", again);
  });
  // The field has the focus at first; later only a touch opens the keypad again.
  useEffect(() => field.current?.focus({ preventScroll: true }), [field]);
  const { sheet } = worked;
  // New readings beside those of before the tap would give an order that is right for neither.
  const answer = endsRead(line, roundOf(known, mine, kind)) ? worked.answer : undefined;
  const said = answer && sheet ? headline(sheet, answer).text : "";
  useTold(typing.fault, last ? dots(nameOf(last), said) : "");

  return (
    <div class="readings">
      <Form class="card take" act={() => void take()}>
        <ReadingField
          of={typing}
          label={dots(R.at(place.name), place.expected && R.expected(place.expected))}
          means={means}
        />
        <div class="form-foot">
          <Button submit go label={R.take} disabled={busy} />
          <Button
            label={
              <>
                {R.same}
                {last && <small class="num"> {text(last, "value")}</small>}
              </>
            }
            disabled={!last || busy}
            act={same}
          />
          <Button label={R.undo} disabled={!last || busy} act={() => last && remove(last)} />
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
              remember({ kind: k });
            }}
          />
          {features.length > 0 && (
            <Choice
              id="reading-of"
              label={R.of}
              none={W.pick.none}
              options={features.map((f) => ({ key: f.id, label: `${nameOf(f)} ${text(f, "nominal")}` }))}
              value={of}
              set={(to) => {
                setOf(to);
                remember({ of: to });
                const named = features.find((f) => f.id === to);
                if (named) setPlace({ name: nameOf(named), x: "", expected: "" });
              }}
            />
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
      </Form>
      <Fit kind="fit" title={R.fit} sheet={sheet} answer={answer}>
        <p class="quiet">{worked.fault || R.fitWants}</p>
      </Fit>
      <Listed setup={setup} all={mine} at={places(setup, mine)} kinds={whens} remove={remove} />
      <p class="foot-links">
        <Button label={B.mill.open} href={book("setup", setup.id)} />
        {worked.text && (
          <Button label={R.fitOpen} href={href({ page: "sheet", sheet: "tram", from: setup.id })} />
        )}
      </p>
    </div>
  );
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
          <TextField
            id="place-name"
            label={R.station}
            maxLength={80}
            value={name}
            placeholder={R.stationLike}
            set={setName}
          />
          {(deep ? (["x", "y", "z"] as const) : (["x"] as const)).map((key) => (
            <TextField
              key={key}
              id={`place-${key}`}
              label={R[key]}
              looks="long-name"
              class="num"
              maxLength={40}
              value={x[key] ?? ""}
              data-pad="length"
              data-label={R[key]}
              data-units="in,mm"
              set={(t) => setX({ ...x, [key]: t })}
            />
          ))}
          <Button
            class="button wide"
            label={R.setStation}
            disabled={!name.trim()}
            act={() => {
              const there = at.find((p) => p.name === name.trim());
              const given = Object.fromEntries(
                Object.entries(x).flatMap(([key, t]) => (t.trim() ? [[key, t.trim()]] : [])),
              );
              go({ x: "", expected: "", ...there, ...given, name: name.trim() });
              setOpen(false);
              setX({});
            }}
          />
          <p class="help wide">{deep ? R.deepHelp : R.xHelp}</p>
        </div>
      )}
    </>
  );
}

/** Every reading, the latest of each place first; those it replaced stand under it. */
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
    <Card title={R.list}>
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
                    aria-label={R.remove(nameOf(r))}
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
    </Card>
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
  difference?: string;
  beyond?: boolean;
}

/** The readings compared with those of the last time, by the rules. */
function useHeld(setup: Rec, all: readonly Rec[]): (station: string, kind: string) => Held | undefined {
  const { repo } = useRepository();
  const { unit } = usePrefs();
  const some = setup.values["expected"] !== undefined;
  // Only a comparison: where it fails, the readings stand without it.
  const list = useLoaded(async () => {
    if (!repo || !some) return undefined;
    const limit = text(setup, "wanted");
    const [doc, docs] = await Promise.all([repo.doc(setup.id), repo.docs(all.map((r) => r.id))]);
    return repo.ask<{ rows: Held[] }>("readings", { setup: doc, docs, unit, ...(limit && { limit }) });
  }, [repo, some, all.map((r) => r.id).join(), unit, setup.changed]);
  return (station, kind) =>
    list.value?.rows.find((h) => h.station === station && (!h.kind || h.kind === kind));
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
