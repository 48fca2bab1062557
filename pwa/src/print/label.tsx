// A label of 4 x 2 in to stick on: the shop number large, what is asked for most, the code.
import { facePlan, keyOf, machinePlan, type Faces, type Room } from "../drawing/face";
import { short, wide } from "../drawing/pad";
import { Drawn } from "../jobbook/drawn";
import { nameOf, rows, text, type Row } from "../records/fields";
import { P } from "../text/paper";
import { commas } from "../text/words";
import { Code, link, say, type SheetProps } from "./bits";
import { askedMost, lifters, partsOf } from "./model";

/** Letters as large as a width allows, between two sizes. */
const sized = (s: string, room: number, most: number, least: number): number =>
  Math.max(least, Math.min(most, Math.floor((room * 13) / (wide(s, "d-small") || 1))));

/** The room beside the code, in pixels of paper. */
const ROOM = 240;

export function Label(p: SheetProps) {
  const { rec } = p;
  const tag = text(rec, "tag") || text(rec, "drawing");
  const name = nameOf(rec);
  const big = tag || name;
  const em = sized(big, tag.length > 4 ? ROOM : 100, 56, 18);
  const beside = big === tag && wide(tag, "d-small") * (em / 13) < 110;
  const at = beside ? ROOM - 112 : ROOM;
  const line = sized(name, 2 * at - 20, 16, 11);
  const by = [say(p, rec, "long"), say(p, rec, "wide"), say(p, rec, "high")].filter(Boolean);
  const sizes = commas(by.join(" × ").replace(/ in(?= ×)/g, ""), say(p, rec, "weight"));
  const { picture, facts } =
    rec.kind === "fixture" ? ofFixture(p) : rec.kind === "machine" ? ofMachine(p) : ofJob(p);
  const local = /\/\/(localhost|127\.|\[::1)/.test(p.at);
  return (
    <div class="sticker">
      <div class={beside ? "sticker-head" : ""}>
        <b class="sticker-tag" style={{ fontSize: `${em}px` }}>
          {short(big, "d-small", (ROOM * 13) / em)}
        </b>
        <p>
          {big !== name && (
            <b style={{ fontSize: `${line}px` }}>{short(name, "d-small", (2 * at * 13) / line)}</b>
          )}
          {sizes && <span>{sizes}</span>}
        </p>
      </div>
      <div class="sticker-face">
        {picture && <Drawn picture={picture} />}
        <ul>
          {facts.map((f, i) => (
            <li key={i}>{f}</li>
          ))}
        </ul>
      </div>
      <div class="sticker-code">
        <Code {...p} />
        <p>{rec.demo ? P.inventedShort : local ? P.onlyHere : p.at && P.scan}</p>
      </div>
    </div>
  );
}

const cell = (r: Row, key: string): string => (typeof r[key] === "string" ? r[key] : "");

interface Said {
  picture?: ReturnType<typeof machinePlan>;
  facts: string[];
}

/** The face with the two holes that were used most, three facts and how many lift it. */
function ofFixture(p: SheetProps): Said {
  const { rec } = p;
  const shape = p.extra.shapes.get(rec.id) as Faces | undefined;
  const most = askedMost(p.repo, rec);
  const pair = most && ([`holes.${most[0].row}`, `holes.${most[1].row}`] satisfies [string, string]);
  const face = shape?.faces.find((f) => !pair || f.places.some((q) => keyOf(q) === pair[0]));
  const slot = rows(rec, "slots").find((s) => cell(s, "wide"));
  const square = say(p, rec, "square");
  const checked = say(p, rec, "checked");
  const weight = lifters(say(p, rec, "weight"));
  const facts = [
    most && commas(cell(most[0], "name"), cell(most[1], "name"), cell(most[0], "thread")),
    slot && P.slotOf(cell(slot, "wide")),
    square && P.squareOf(square),
    most ? "" : link(p, rec, "material"),
  ].flatMap((s) => s || []);
  const last = [P.lift[weight], checked && P.checkedOn(checked)].filter(Boolean);
  const drawn =
    face && face.places.length > 0 && facePlan(face, { pair, sizes: false, wide: 124, high: 104 });
  return { facts: [...facts.slice(0, 3), ...last], ...(drawn && { picture: drawn }) };
}

function ofMachine(p: SheetProps): Said {
  const shape = p.extra.shapes.get(p.rec.id) as Room | undefined;
  const travels = (shape?.axes ?? [])
    .filter((a) => a.says && /^[xyz]$/.test(a.axis ?? ""))
    .map((a) => `${a.axis!.toUpperCase()} ${a.says}`);
  const taper = say(p, p.rec, "taper");
  const checked = say(p, p.rec, "checked");
  const table = [say(p, p.rec, "tablelong"), say(p, p.rec, "tablewide")].filter(Boolean).join(" × ");
  return {
    facts: [travels.join(" · "), table && P.tableOf(table), taper, checked && P.checkedOn(checked)].filter(
      Boolean,
    ),
  };
}

function ofJob(p: SheetProps): Said {
  const part = partsOf(p.repo, p.rec)[0];
  const weight = say(p, part, "weight");
  return {
    facts: [
      part ? commas(nameOf(part), text(part, "casting")) : "",
      say(p, p.rec, "customer"),
      say(p, p.rec, "due") && P.dueOn(say(p, p.rec, "due")),
      weight && commas(weight, P.lift[lifters(weight)]),
    ].filter(Boolean),
  };
}
