// A picture for each stage, page, kind of record and state, in two strokes on a field of 40 px: ink
// is the thing, dye is what is done to it or read from it. Miter corners, and no curve that a compass
// would not draw. "ink|dye"; what stands behind a second bar is filled with dye.
const dot = (x: number, y: number) => `M${x - 1.5} ${y}a1.5 1.5 0 1 0 3 0 1.5 1.5 0 1 0-3 0z`;
const ring = (x: number, y: number, r: number) =>
  `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0 ${r} ${r} 0 1 0-${2 * r} 0z`;
const tray = "M4 20v17h32V20";

const paths: Record<string, string> = {
  // Stages.
  holes: "M2 5h11v20l7 7 7-7V5h11v32H2z|M27 7l6 3-6 3 6 3-6 3 6 3-6 3",
  line: "M2 37h36M2 31h36M12 31v-7h16v7|M5 20a15 15 0 0 1 30 0M20 22l7-13",
  where: `M2 10h16v28|M27 9v26M18 22h20${ring(27, 22, 9)}`,
  reach: `M2 6h36v28H2zM16 14h8M16 26h8|${ring(9, 20, 7)}${ring(31, 20, 7)}M16 20h3M21 20h3`,
  hold: "M6 3h9v34H6zM15 10h14v20H15z|M0 20h40M29 14h6v12h-6z",
  cut: "M10 2v8h9V2M6 10h17v13H6zM2 26v11h36V17|M2 26h25v-9h11M29 11a4 4 0 1 1 5 2",
  lift: `M3 26h34v11H3zM20 2v4a4 4 0 1 1-4 4|M7 26l13-12 13 12M20 19v4M20 26v4M20 33v4`,
  fits: "M2 13h9v23H2zM29 13h9v23h-9z|M14 2h12v23H14z",
  bench: "M2 32h36v5H2zM22 32V17h13v15M22 22h13M22 27h13|M2 26L34 5l2 4L4 30z",
  // Kinds of record.
  machine: "M25 36V5h10v31M25 8H10v9h6V8M13 17v5M14 37h24M17 37v-6|M2 26h23v5H2z",
  fixture: "M5 3h8v26h24v8H5z|M13 12l17 17M2 10h14M2 19h14",
  cutter: "M14 2h12v12H14zM12 14h16v18l-4 5h-8l-4-5z|M12 24l16-8M12 32l16-9M16 37l12-7",
  gauge: "M9 6H4v12a13 13 0 0 0 22 9v-8h-5a7 7 0 0 1-12-3zM26 7h12v10H26z|M9 12h4M18 12h8M30 7v10M34 7v10",
  material: "M4 12l8-8h24v22l-8 9H4zM4 12h24v23M28 12l8-8|M5 22l10-10M5 33l20-20M15 35l13-13",
  part: `M2 37v-7h36v7zM9 30V17a11 11 0 0 1 22 0v13|M7 27v13M33 27v13${ring(20, 17, 5)}`,
  job: "M6 2h28v36H6zM12 9h14v11H12z|M18 28h16M18 28v10M18 33h16",
  setup: "M2 30h36v7H2zM12 14h16v16H12z|M6 30V19h9M34 30V19h-9M6 14v5M34 14v5",
  reading: `${ring(20, 20, 17)}M20 3v5M37 20h-5M3 20h5M8 8l3 3M32 8l-3 3|M29 12l-9 9${dot(20, 21)}`,
  photo: `M3 11h9l3-6h10l3 6h9v24H3z|${ring(20, 22, 7)}`,
  note: "M5 3h30v24L25 37H5zM35 27H25v10|M11 12h18M11 19h18M11 26h9",
  // Kinds of machine and fixture. The other mill is the machine's, the angle plate the fixture's.
  turret: "M20 37V12h9v25M8 6h27v6H8zM10 12h7v9h-7zM13.5 21v4M12 37h24M16 37v-5|M2 27h18v5H2z",
  borer: "M27 37V3h9v34zM24 9h14v9H24zM3 6v31M7 6v31M1 37h38M11 37v-6h8v6|M7 13.5h17M9 26h14v5H9z",
  vbm: "M4 37V4h6v33M30 37V4h6v33M10 8h20v6H10zM17 14h6v8h-6zM2 37h36|M11 27h18v5H11zM16 32v5M24 32v5",
  drill: "M5 37V3h6v34M11 9h26v6H11zM24 15h8v7h-8zM2 37h36|M28 22v10M24 28l4 5 4-5",
  lathe: "M2 11h11v19H2zM13 14h5v12h-5zM30 16h8v14h-8zM2 30h36v6H2z|M18 20h12",
  grinder: `${ring(17, 13, 9)}M33 37V5h-5v8h-2M2 37h36|M3 25h27v5H3zM12 30v7M21 30v7`,
  vise: "M3 28h34v8H3zM5 14h8v14H5zM20 14h8v14h-8z|M28 21h9M37 15v12M13 18h7",
  table: "M2 20h8v4H8v6h9v-6h-2v-4h10v4h-2v6h9v-6h-2v-4h8v16H2z|M12.5 27V8M9 8h7M27.5 27V8M24 8h7",
  parallel: `M3 10h34v8H3zM3 26h34v8H3z|${[10, 20, 30].map((x) => dot(x, 14) + dot(x, 30)).join("")}`,
  pair: `M2 21h16v15H2zM23 12h13v24H23z|${ring(10, 28.5, 3)}${ring(29.5, 19, 3)}${ring(29.5, 29, 3)}`,
  vblock: `M4 37V18h6l10 13 10-13h6v19z|${ring(20, 15, 10)}`,
  rotary: "M4 28h32v9H4zM8 20h24v8H8z|M20 20V9M9 14a11 6 0 1 1 22 0M31 14l4-5M31 14l-6-1",
  chuck: `${ring(20, 20, 17)}${ring(20, 20, 5)}|M20 3v12M5 29l11-6M35 29l-11-6`,
  others: "M4 4h13v13H4zM23 4h13v13H23z|M4 23h13v13H4zM23 23h13v13H23z",
  // States: six shapes, so that colour is never alone. `noted` is a note's square.
  good: `${ring(20, 20, 17)}|M11 20l7 8 12-15`,
  careful: "M20 4l18 33H2z|M20 14v12M20 29v4",
  stop: "M13 3h14l10 10v14L27 37H13L3 27V13z|M10 20h20",
  noted: "M4 4h32v32H4z|M20 11v4M20 18v12",
  waiting: `${tray}|M13 5h14v14H13z`,
  going: `${tray}|M13 11h14v14H13z|M13 18h14v7H13z`,
  office: `${tray}||M12 16h16v16H12z`,
  unreachable: "M4 20v6M4 31v6h7M16 37h8M29 37h7v-6M36 26v-6|M13 5h14v14H13z",
  two: `${tray}|M23 9h10v10H23z|M6 8h12v12H6z`,
  trouble: `${tray}|M11 4l18 18M29 4L11 22`,
  // Pages, by the name of their first worksheet; the others have their stage's.
  hole: "M2 4h9v21l9 10 9-10V4h9|M11 9l18 4M11 15l18 4M11 21l18 4",
  engage: "M2 16h8v16l10 5 10-5V16h8|M13 2v27h14V2M13 9l14 3M13 16l14 3M13 23l14 3",
  clear: `${ring(20, 20, 17)}|M20 9l9.5 5.5v11L20 31l-9.5-5.5v-11z`,
  room: "M4 2v34h34|M23 4l9.5 5.5v11L23 26l-9.5-5.5v-11zM6 31h3M12 31h3M23 28v3M23 34v3",
  bolts: `${dot(20, 5)}${dot(35, 20)}${dot(20, 35)}${dot(5, 20)}|${ring(20, 20, 15)}`,
  shim: "M2 7h36M2 34h36|M5 30h30V12z",
  sweep: `M2 37h36M20 24v13${ring(20, 18, 6)}|M10 28a14 14 0 1 1 20 0M30 21v8h-8`,
  square: "M5 2v33h33|M12 29l7-26",
  bar: "M8 2h24v9H8zM14 11v27h12V11|M19 6l8 32M34 20v12M34 20l-3 5M34 20l3 5",
  lever: `${ring(12, 12, 9)}M19 19l14 14|M19 19h19M30 30a16 16 0 0 0 5-11`,
  chain: "M2 30h36v7H2zM7 19h22v11H7zM13 19V6|M13 6h14v13",
  edge: "M14 2v36M14 6L4 16M14 16L4 26M14 26L4 36|M16 7a13 13 0 0 1 0 26M23 20h15",
  skew: "M13 4l23 7-7 21-22-7z|M2 2v35h36",
  cleanup: "M4 8l7-5 6 3 8-4 11 6-3 9 5 7-5 10-9 2-8-2-9 3-5-9 3-10z|M11 12h17v16H11z",
  heights: "M22 2h14v36H22zM2 38h20|M10 4v30M4 10l6-7 6 7M4 28l6 7 6-7",
  foul: "M2 13h25v25M38 27H13V2|M15.5 15.5l9 9M24.5 15.5l-9 9",
  match: `M3 5h34v30H3z${ring(12, 14, 3.5)}${ring(27, 14, 3.5)}|${ring(14, 25, 3.5)}${ring(29, 25, 3.5)}M17 25h9`,
  power: "M7 2v9h8V2M3 11h16v22H3zM3 21l16-7M3 31l16-7|M22 22h14M30 15l7 7-7 7",
  facing: "M2 19h36M2 28h36M2 37h36|M2 9a6 6 0 0 0 12 0 6 6 0 0 1 12 0 6 6 0 0 0 12 0",
  weigh: `M3 5h34v30H3z|${ring(20, 20, 8)}M20 8v24M8 20h24`,
  fit: "M2 20h36M7 5h10v15H7z|M23 20h10v13H23z",
  dowel: "M14 11H2v18h12M26 11h12v18H26M2 20h12M26 20h12|M14 4h12v32H14z",
  blocks: "M2 37h36M9 28h22v9H9zM9 18h22v10H9z|M9 5h22v13H9z",
  triangle: "M4 34h33L26 5z|M16 34a12 12 0 0 0-4.5-9.5",
  arc: "M3 27a18 18 0 0 1 34 0|M3 27h34M20 15v12",
  taper: "M3 5l34 8v14L3 35z|M0 20h9M13 20h4M21 20h9M34 20h6",
  divide: `${[5, 35].map((y) => dot(20, y)).join("")}${[7, 33].map((x) => dot(x, 12.5) + dot(x, 27.5)).join("")}|${ring(20, 20, 3)}M20 17V8M23 21.5l7 4`,
  heat: "M2 13h24v14H2z|M26 13h12v14H26",
  accept: "M7 3v34M33 3v34M2 20h5M33 20h5|M22 10v20M15 20h14",
  sure: "M3 29A23 23 0 0 0 15 9a5 5 0 0 1 10 0 23 23 0 0 0 12 20|M10 36h20M10 32v8M30 32v8M20 12v18",
};

/** Whose stage or kind tells. */
const same: Record<string, string> = { tram: "line", speed: "cut", sling: "lift", mill: "machine" };

/**
 * The picture of a stage, page, kind or state. Where there is none of that name, that of `or` stands
 * for it. It says nothing by itself: the word stands beside it.
 */
export function Pictogram({ name, or, size = 40 }: { name: string; or?: string; size?: number }) {
  const [ink, dye, filled] = (paths[name] ?? paths[same[name] ?? or ?? ""] ?? "").split("|");
  return (
    <svg class={`pict pict-${name}`} viewBox="0 0 40 40" width={size} height={size} aria-hidden="true">
      <path class="p-ink" d={ink} />
      {dye && <path class="p-dye" d={dye} />}
      {filled && <path class="p-fill" d={filled} />}
    </svg>
  );
}

/** The names there is a picture for. */
export const pictured = Object.keys(paths);
