// Machines, fixtures and metals that stand ready to be added and then adjusted: by kind and size,
// of no make. Sizes, travels and thicknesses are those usual for the kind: common practice, no
// published source, and each record says so. What would do harm where it is not so is left out: the
// ratio of a rotary table, weights, loads. Strengths of grey iron are the least of its class by ASTM
// A48, those of ductile iron by ASTM A536, both from memory.
import { N } from "../text/begin";
import { blankOf, type Rec } from "../records/fields";

export type StockKind = "machine" | "fixture" | "material";

/** One size: what its name says behind the group's, and what its record says. */
export interface Size {
  name: string;
  set: Record<string, unknown>;
}

/** A kind of thing with its picture, in a few sizes. */
export interface Group {
  key: keyof typeof N.stock;
  picture: string;
  sizes: readonly Size[];
}

const inch = (x: number): string => `${x} in`;

/** An axis: its travel, and one turn of its dial of thousandths where that is alike on all. */
type Axis = [axis: string, travel: number, turn?: string];

const machine = (
  kind: string,
  name: string,
  table: readonly [long: number, wide: number] | undefined,
  axes: readonly Axis[],
  more: Record<string, unknown> = {},
): Size => ({
  name,
  set: {
    kind,
    ...(table && { tablelong: inch(table[0]), tablewide: inch(table[1]) }),
    axes: axes.map(([axis, travel, turn]) => ({
      axis,
      travel: inch(travel),
      ...(turn && { turn: `${turn} in`, division: ".001 in" }),
    })),
    ...more,
  },
});

/** T-slots, evenly spaced about the middle of the table. */
const slots = (wide: string, ...at: number[]) => ({
  slots: at.map((x) => ({ at: inch(x), wide: `${wide} in` })),
});

/** An upright face with its zero in the middle of its foot, its holes counted from there. */
const angle = (long: number, high: number, deep: number, thick: string): Size => ({
  name: `${long} x ${high} x ${deep}`,
  set: {
    kind: "angle",
    long: inch(long),
    wide: inch(deep),
    high: inch(high),
    thick: `${thick} in`,
    faces: [{ face: "front", wide: inch(long), high: inch(high), left: inch(-long / 2), bottom: "0 in" }],
  },
});

const block = (
  kind: string,
  name: string,
  long: number,
  wide: number,
  high: number,
  more: Record<string, unknown> = {},
): Size => ({ name, set: { kind, long: inch(long), wide: inch(wide), high: inch(high), ...more } });

const plate = (long: number, wide: number, thick: number): Size =>
  block("table", `${long} x ${wide} x ${thick}`, long, wide, thick, {
    thick: inch(thick),
    faces: [
      { face: "top", wide: inch(long), high: inch(wide), left: inch(-long / 2), bottom: inch(-wide / 2) },
    ],
  });

const metal = (key: string, name: string, grade: string, ksi?: number): Size => ({
  name,
  set: { metal: key, grade, ...(ksi && { tensile: `${ksi} ksi` }) },
});

const knee = (x: number, y: number, z: number): Axis[] => [
  ["x", x, ".2"],
  ["y", y, ".2"],
  ["z", z, ".1"],
];

export const stock: Record<StockKind, readonly Group[]> = {
  machine: [
    {
      key: "turret",
      picture: "turret",
      sizes: [
        machine("turret", "9 x 42", [42, 9], [...knee(24, 12, 16), ["w", 5]], slots("5/8", 2, 4.5, 7)),
        machine("turret", "10 x 50", [50, 10], [...knee(32, 15, 16), ["w", 5]], slots("5/8", 2.5, 5, 7.5)),
      ],
    },
    {
      key: "mill",
      picture: "mill",
      sizes: [
        machine("mill", "10 x 44", [44, 10], knee(26, 11, 16), slots("5/8", 2.5, 5, 7.5)),
        machine("mill", "13 x 60", [60, 13], knee(38, 14, 18), slots("11/16", 3, 6.5, 10)),
      ],
    },
    {
      key: "borer",
      picture: "borer",
      sizes: [
        machine(
          "borer",
          "3 in bar",
          [60, 30],
          [
            ["x", 48],
            ["y", 36],
            ["z", 36],
            ["w", 24],
          ],
        ),
        machine(
          "borer",
          "4 in bar",
          [84, 42],
          [
            ["x", 72],
            ["y", 48],
            ["z", 48],
            ["w", 36],
          ],
        ),
        machine(
          "borer",
          "5 in bar",
          [108, 54],
          [
            ["x", 96],
            ["y", 60],
            ["z", 60],
            ["w", 36],
          ],
        ),
      ],
    },
    {
      key: "vbm",
      picture: "vbm",
      sizes: [
        machine(
          "vbm",
          "36 in table",
          [36, 36],
          [
            ["x", 20],
            ["z", 24],
          ],
        ),
        machine(
          "vbm",
          "54 in table",
          [54, 54],
          [
            ["x", 30],
            ["z", 30],
          ],
        ),
      ],
    },
    {
      key: "drill",
      picture: "drill",
      sizes: [
        machine("drill", "3 ft arm", undefined, [
          ["x", 24],
          ["z", 24],
          ["w", 10],
        ]),
        machine("drill", "5 ft arm", undefined, [
          ["x", 48],
          ["z", 36],
          ["w", 14],
        ]),
      ],
    },
    {
      key: "grinder",
      picture: "grinder",
      sizes: [
        machine(
          "grinder",
          "6 x 18",
          [18, 6],
          [
            ["x", 19],
            ["y", 6.5],
            ["z", 12],
          ],
        ),
        machine(
          "grinder",
          "12 x 24",
          [24, 12],
          [
            ["x", 26],
            ["y", 12],
            ["z", 14],
          ],
        ),
      ],
    },
  ],
  fixture: [
    {
      key: "angle",
      picture: "fixture",
      sizes: [
        angle(8, 6, 5, "5/8"),
        angle(12, 9, 8, "7/8"),
        angle(16, 12, 10, "1-1/4"),
        angle(18, 14, 12, "1-1/2"),
      ],
    },
    {
      key: "vise",
      picture: "vise",
      sizes: [block("vise", "4", 11, 4, 3.5), block("vise", "6", 16, 6, 4.75), block("vise", "8", 20, 8, 6)],
    },
    { key: "subplate", picture: "table", sizes: [plate(18, 12, 1.25), plate(24, 18, 1.5), plate(36, 24, 2)] },
    {
      key: "parallel",
      picture: "parallel",
      sizes: [
        block("parallel", "6 long, 1 high", 6, 0.5, 1),
        block("parallel", "9 long, 1-1/2 high", 9, 0.75, 1.5),
        block("parallel", "12 long, 2 high", 12, 1, 2),
      ],
    },
    { key: "pair", picture: "pair", sizes: [block("parallel", N.pair, 3, 2, 1)] },
    {
      key: "vblock",
      picture: "vblock",
      sizes: [block("vblock", "3", 3, 2.5, 2), block("vblock", "5", 5, 3.5, 3)],
    },
    {
      key: "rotary",
      picture: "rotary",
      sizes: [block("rotary", "8", 8, 8, 4), block("rotary", "12", 12, 12, 5)],
    },
  ],
  material: [
    {
      key: "iron",
      picture: "material",
      sizes: [20, 25, 30, 35, 40].map((n) => metal("iron", `class ${n}`, `class ${n}`, n)),
    },
    {
      key: "ductile",
      picture: "material",
      sizes: [
        metal("ductile", "60-40-18", "60-40-18", 60),
        metal("ductile", "65-45-12", "65-45-12", 65),
        metal("ductile", "80-55-06", "80-55-06", 80),
      ],
    },
    {
      key: "steel",
      picture: "material",
      sizes: [
        metal("steel", "mild", "mild"),
        metal("steel", "1018", "1018"),
        metal("steel", "4140", "4140"),
        metal("steel", "cast", "cast"),
      ],
    },
    {
      key: "aluminium",
      picture: "material",
      sizes: [metal("aluminium", "6061", "6061"), metal("aluminium", "356 cast", "356")],
    },
    { key: "bronze", picture: "material", sizes: [metal("bronze", "bearing", "bearing bronze")] },
  ],
};

/** What stands for a size of stock while no record of it is made: "stock angle 16 x 12 x 10". */
export const stockId = (group: Group, size: Size): string => `stock ${group.key} ${size.name}`;

/** Name and fields of a new record of that size. */
export const ofStock = (group: Group, size: Size): Record<string, unknown> => ({
  name: `${N.stock[group.key]} ${size.name}`,
  ...size.set,
  notes: N.typical,
});

/** The fields that a stockId stands for; undefined where it is none. */
export function fromStock(kind: StockKind, id: string): Record<string, unknown> | undefined {
  for (const group of stock[kind])
    for (const size of group.sizes) if (stockId(group, size) === id) return ofStock(group, size);
  return undefined;
}

/** A record that is not made yet, to be drawn and named. */
export const unmade = (kind: string, values: Record<string, unknown>, id = ""): Rec => ({
  ...blankOf(id, kind),
  made: "",
  values: Object.fromEntries(
    Object.entries(values).map(([key, v]) => [
      key,
      Array.isArray(v) ? v.map((row: object, i) => ({ ...row, row: String(i + 1) })) : v,
    ]),
  ),
});

/** The record that would be made of a size of stock. */
export function likeStock(kind: StockKind, id: string): Rec | undefined {
  const set = fromStock(kind, id);
  return set && unmade(kind, set, id);
}

/** The picture of a machine or fixture by what its record says. */
export const pictureOf = (rec: Rec): string => {
  const kind = typeof rec.values["kind"] === "string" ? rec.values["kind"] : "";
  return rec.kind === "fixture" && kind === "angle" ? "fixture" : kind;
};
