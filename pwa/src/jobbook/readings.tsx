import { useEffect, useRef, useState } from "preact/hooks";
import type { Option } from "../engine/contract.gen";
import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { Door } from "../screen/door";
import { Button, Form, TextField } from "../ui/controls";
import { Segments } from "../ui/parts";
import { prefs, setPrefs, usePrefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { M } from "../text/mill";
import { dots, W } from "../text/words";
import { Headline } from "../page/headline";
import type { Work } from "../page/use-work";
import { levelOf } from "../worksheet/answer";
import { along, farther, needleOf, readingsOf } from "./atmill";
import { Edge } from "./edge";
import { useLine } from "./fit";
import { useLight } from "./light";
import { Boxes, usePadKeys, useReading, useTold } from "./reading-field";
import {
  endsRead,
  isSize,
  isWhole,
  kindNext,
  lastOfEach,
  nextPlace,
  places,
  roundOf,
  signed,
  wholeMeant,
  type Place,
} from "./readlogic";
import { canSpeak, speak } from "./speak";
import { takenNow } from "./taken";
import { metOr, ofRecord, storeFault, takeBack, useDraft, useKinds } from "./use";

const R = B.read;

interface Asked {
  id: string;
  more: Record<string, string>;
}

/** Readings along an edge of one setup: a number and a touch each, the next place comes by itself. */
export const Readings = ofRecord<Asked>(Taking, ["reading", "part", "feature"], { none: R.noSetup });

function Taking({ repo, rec: setup, more }: { repo: Repository; rec: Rec; more: Asked["more"] }) {
  const { say } = useApp();
  const { unit, bare, glove } = usePrefs();
  const { kinds } = useKinds(repo);
  const step = more["step"] ?? "";
  const whens = kinds.find((k) => k.key === "reading")?.fields.find((f) => f.key === "kind")?.options ?? [];
  const kindName = (key: string) => whens.find((w) => w.key === key)?.label ?? key;
  const mine = readingsOf(repo, setup);
  const typing = useReading(`readings ${setup.id}`);
  const { was, remember, setFault, field } = typing;
  const [kind, setKind] = useState(was["kind"] || kindNext(mine, step));
  const known = places(setup, mine, kind);
  const [place, setPlace] = useState<Place>(() => nextOf(setup, mine, kind, was["place"]));
  const [busy, setBusy] = useState(false);
  const [slip, setSlip] = useState<Slip>();
  /** What is read again once a size that slipped in between is kept. */
  const [after, setAfter] = useState(was["after"] ?? "");
  const [adding, setAdding] = useState(false);
  const [of, setOf] = useState(more["feature"] || was["of"] || "");
  // A size is a whole length, not so many thousandths off zero.
  const size = isWhole(kind);
  const means = size && bare === "thou" ? unit : bare;
  const bareUnit = means !== "thou" ? means : unit === "mm" ? "um" : "thou";
  const parts = repo.all("part").filter((p) => text(p, "job") === text(setup, "job"));
  const features = repo.all("feature").filter((f) => parts.some((p) => p.id === text(f, "part")));
  const at = known.some((p) => p.name === place.name) ? known : [...known, place];
  const line = lastOfEach(mine, kind, at);
  const worked = useLine(repo, setup, mine, kind);
  const last = mine
    .filter((r) => text(r, "kind") === kind)
    .sort(byMade)
    .at(-1);

  const pickKind = (k: string) => {
    setKind(k);
    setAfter("");
    remember({ kind: k, after: "" });
  };
  const go = (to: Place) => {
    setPlace(to);
    remember({ place: to.name });
    field.current?.focus();
  };
  const take = async (given?: string, sure = false) => {
    const value = busy ? "" : typing.number(given);
    if (!value) return;
    const whole = sure || size ? undefined : wholeMeant(value, means, unit);
    setSlip(whole ? { typed: value, whole } : undefined);
    // The keys of gloves would lie over the question.
    if (whole && glove) field.current?.blur();
    if (whole) return;
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
      const go = after ? nextOf(setup, now, after) : at.find((p) => p.name === next);
      setPlace(go ?? { name: next, x: "", expected: "" });
      typing.taken({ place: go?.name ?? next, kind: after || kind });
      if (after) {
        pickKind(after);
        say(R.sized(read), () => takeBack(say, repo.remove(rec)));
      }
      if (prefs().speak) speak(`${place.name}: ${read}`);
    } catch (err) {
      setFault(storeFault(err));
    } finally {
      setBusy(false);
    }
  };
  typing.takes((given) => take(given));
  const asMeant = (value: string | undefined) =>
    void take(value, true).then(() => field.current?.focus({ preventScroll: true }));
  /** What was likely meant: of a needle so far off, or a size, which has places of its own. */
  const meant = ({ whole }: Slip) => {
    setSlip(undefined);
    if (!isSize(whole)) return asMeant(whole);
    setKind("size");
    setAfter(kind);
    const to = nextOf(setup, mine, "size");
    setPlace(to);
    typing.put(whole);
    remember({ kind: "size", after: kind, place: to.name }, whole);
    field.current?.focus();
  };
  const same = () => {
    if (!last) return setFault(R.nothingYet);
    typing.submit(text(last, "value"));
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

  usePadKeys(typing, { same, back: () => last && remove(last), place: () => setAdding(true) });
  useLight();
  // The field has the focus at first; later only a touch opens the keypad again.
  useEffect(() => field.current?.focus({ preventScroll: true }), [field]);
  const { sheet } = worked;
  // New readings beside those of before the tap would give an order that is right for neither.
  const round = roundOf(known, mine, kind);
  const answer = endsRead(line, round) ? worked.answer : undefined;
  const bareValue = (r: Rec | undefined) =>
    text(r, "value").replace(means === "thou" ? / (thou|um)$/ : "", "");
  const readAt = (name: string) => line.find((r) => text(r, "station") === name);
  // From left to right, where every place says how far along it is.
  const row = at.every((p) => along(p) !== undefined) ? [...at].sort((a, b) => along(a)! - along(b)!) : at;
  const label = dots(R.at(place.name), place.expected && R.expected(place.expected));
  const count = M.readCount(round.size, at.length);
  // After the last place the next reading begins another round; till then all of them count.
  const whole = round.size >= at.length;
  const facts = [count, kindName(kind), place.expected && M.last(place.expected)];
  const work: Work = {
    headline: answer?.headline || M.read(place.name),
    facts: [...(answer?.facts?.slice(0, 1) ?? []), ...facts].filter((f): f is string => !!f).slice(0, 3),
    wanted: "",
    broken: "",
    stale: false,
    ...(typing.fault && { fault: { field: "reading", message: typing.fault }, facts: [] }),
  };
  useTold(typing.fault, "");
  const page = book("readings", setup.id, { ...more, view: "" });
  const door = book("readings", setup.id, { ...more, view: "more" });
  const within = more["view"] === "more";
  const part = repo.get(text(setup, "part"));

  return (
    <Form class={within ? "page take within" : "page take"} act={() => typing.submit()}>
      <Headline
        work={work}
        level={answer && sheet ? levelOf(answer) : "none"}
        slip={
          slip && slip.typed === typing.typed
            ? {
                level: "caution",
                text: "",
                asks: R.asks(slip.typed, bareUnit, slip.whole),
                means: slip.whole,
              }
            : undefined
        }
        take={() => slip && meant(slip)}
        leave={() => asMeant(slip?.typed)}
      />
      <div class="mill-board">
        <Edge
          marks={row.map((p) => ({
            key: p.name,
            along: along(p),
            text: p.x.replace(/ in$/, ""),
            read: needleOf(readAt(p.name)),
            fresh: whole || round.has(p.name),
          }))}
          now={place.name}
          part={of ? nameOf(repo.get(of) ?? setup) : part ? nameOf(part) : ""}
          away={farther(setup)}
          whole={size}
        />
        <Boxes
          of={typing}
          spots={row.map((p) => ({ key: p.name, name: p.name, value: bareValue(readAt(p.name)) }))}
          now={place.name}
          pick={(name) => go(at.find((p) => p.name === name) ?? place)}
          label={label}
          means={means}
          again={bareValue(last)}
          more={() => setAdding(true)}
        />
      </div>
      {adding && (
        <OtherPlace
          draft={`place ${setup.id}`}
          at={at}
          go={go}
          deep={kind === "rough"}
          close={() => setAdding(false)}
        />
      )}
      {within ? (
        <section class="card mill-more">
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
          <p class="foot-links">
            <Button label={M.list} href={book("setup", setup.id, { view: "readings" })} />
            {worked.text && (
              <Button label={M.line} href={href({ page: "sheet", sheet: "tram", from: setup.id })} />
            )}
            <Button label={M.into} href={book("tap", setup.id)} />
            <Button label={B.setup.how} href={book("setup", setup.id, { view: "sits" })} />
          </p>
        </section>
      ) : (
        <div class="choices">
          <Pick id="when" label={R.when} options={whens} value={kind} set={pickKind} />
          {features.length > 0 && (
            <Pick
              id="reading-of"
              label={R.of}
              options={[
                { key: "", label: M.noFeature },
                ...features.map((f) => ({ key: f.id, label: `${nameOf(f)} ${text(f, "nominal")}` })),
              ]}
              value={of}
              set={(to) => {
                setOf(to);
                remember({ of: to });
                const named = features.find((f) => f.id === to);
                if (named) setPlace({ name: nameOf(named), x: "", expected: "" });
              }}
            />
          )}
          <button type="button" class="chip" aria-expanded={adding} onClick={() => setAdding(!adding)}>
            {M.addPlace}
          </button>
        </div>
      )}
      <nav class="page-foot" aria-label={W.page.foot}>
        <Door label={M.more} to={door} page={page} here={within} within={within} />
        <button type="button" class="foot-less" disabled={!last || busy} onClick={same}>
          <FootKey name={M.same} value={bareValue(last)} />
        </button>
        <button type="button" disabled={!last || busy} onClick={() => last && remove(last)}>
          <FootKey name={M.undo} value={bareValue(last)} />
        </button>
        <button type="submit" class="go" disabled={busy}>
          {M.take}
        </button>
      </nav>
    </Form>
  );
}

/** A number that cannot be so many thousandths, and the whole length it was likely meant for. */
interface Slip {
  typed: string;
  whole: string;
}

/** The place that is read next of a kind, or the one that was chosen. */
function nextOf(setup: Rec, mine: readonly Rec[], kind: string, chosen = ""): Place {
  const known = places(setup, mine, kind);
  const before = mine.filter((r) => text(r, "kind") === kind).sort(byMade);
  const name = chosen || nextPlace(known, mine, kind, text(before.at(-1), "station"));
  return known.find((p) => p.name === name) ?? { name: name || "1", x: "", expected: "" };
}

/** A key of the foot over what it would take or undo. */
const FootKey = ({ name, value }: { name: string; value: string }) => (
  <span class="foot-key">
    {name}
    {value && <small class="num">{value}</small>}
  </span>
);

/** A choice as a chip. */
function Pick(p: {
  id: string;
  label: string;
  options: Option[];
  value: string;
  set: (key: string) => void;
}) {
  return (
    <label class="chip pick">
      <span>{p.options.find((o) => o.key === p.value)?.label ?? p.value}</span>
      <select id={p.id} aria-label={p.label} value={p.value} onChange={(e) => p.set(e.currentTarget.value)}>
        {p.options.map((o) => (
          <option key={o.key} value={o.key}>
            {o.label}
          </option>
        ))}
      </select>
    </label>
  );
}

/** A place that is not in the row yet. */
function OtherPlace({
  draft,
  at,
  go,
  deep,
  close,
}: {
  draft: string;
  at: readonly Place[];
  go: (to: Place) => void;
  /** A touch on a rough has a place in three directions; the reading is the one left empty. */
  deep: boolean;
  close: () => void;
}) {
  const [{ name = "", ...x }, put, clear] = useDraft(draft, { name: "" });
  const first = useRef<HTMLInputElement>(null);
  useEffect(() => first.current?.focus(), []);
  return (
    <div class="card fields place-form">
      <TextField
        id="place-name"
        field={first}
        looks="long-name"
        label={R.station}
        maxLength={80}
        value={name}
        placeholder={R.stationLike}
        set={(t) => put({ name: t })}
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
          set={(t) => put({ [key]: t })}
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
          clear();
          close();
          go({ x: "", expected: "", ...there, ...given, name: name.trim() });
        }}
      />
      {deep && <p class="help wide">{R.deepHelp}</p>}
    </div>
  );
}

/** Shown only where the phone has a voice of its own. */
function Speaking() {
  const { speak: on } = usePrefs();
  const [can, setCan] = useState(false);
  useEffect(() => {
    let live = true;
    void canSpeak().then((yes) => live && setCan(yes));
    return () => {
      live = false;
    };
  }, []);
  if (!can) return null;
  return (
    <label class="tick-line">
      <input type="checkbox" checked={on} onChange={(e) => setPrefs({ speak: e.currentTarget.checked })} />
      <span>{R.speak}</span>
    </label>
  );
}
