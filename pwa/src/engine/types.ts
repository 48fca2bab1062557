// The worksheet contract as the phone sees it: the build's list of worksheets, and what calc.wasm's run() returns as JSON.
// Names of worksheets and of their keys are in types.gen.ts, made from the worksheets themselves.

export type UnitSystem = "in" | "mm";

/** What an input or result is. A quantity is written with its own unit; the rest say how the text is read. */
export type Kind =
  | "length"
  | "angle"
  | "count"
  | "number"
  | "percent"
  | "choice"
  | "choices"
  | "thread"
  | "drill"
  | "text"
  | "flag"
  | "list"
  | "table"
  | "lines"
  | "force"
  | "torque"
  | "mass"
  | "speed"
  | "feed"
  | "power"
  | "stress"
  | "temperature"
  | "area"
  | "volume"
  | "density"
  | "spin"
  | "time"
  | "slope"
  | "removal"
  | "expansion";

export interface Describe {
  groups: Group[];
  worksheets: Sheet[];
}

export interface Group {
  key: string;
  title: string;
}

export interface Source {
  key: string;
  title: string;
  /** Paragraph, table or page; in an answer only. */
  where?: string;
}

export interface Option {
  key: string;
  label: string;
}

export interface Column {
  key: string;
  label: string;
  kind: Kind;
  units?: Units;
}

/** What a bare number means in each unit system; "" where it has no unit. */
export interface Units {
  in: string;
  mm: string;
}

export interface Input {
  key: string;
  label: string;
  kind: Kind;
  help: string;
  example: string;
  default: string;
  required?: boolean;
  /** Heading in the form; "" is the main part, any other is shown folded. */
  section: string;
  units?: Units;
  min?: string;
  max?: string;
  options?: Option[];
  /** Words taken instead of a number, shown as chips beside the field. */
  words?: Option[];
  columns?: Column[];
}

export interface Result {
  key: string;
  label: string;
  kind: Kind;
  main?: boolean;
  help: string;
  columns?: Column[];
}

export interface Sheet {
  name: string;
  title: string;
  question: string;
  group: string;
  about: string[];
  /** Name of its drawing in src/drawing; "" when it has none. */
  drawing: string;
  inputs: Input[];
  results: Result[];
  sources: Source[];
}

export type Cell = string | number | boolean | null;
export type Value = Cell | Cell[] | Cell[][];

export interface Given {
  text: string;
  value?: Value;
  unit: string;
}

export interface Found extends Given {
  /** The same size in the other unit system. */
  also?: string;
  /** Unit of each column of a table. */
  units?: string[];
}

/** One worked line: the formula in its source's letters, the numbers put in, the result. */
export interface Line {
  what: string;
  formula: string;
  numbers: string;
  result: string;
  source: string;
}

export interface Caution {
  level: "refuse" | "caution" | "note";
  text: string;
}

export interface Answer {
  worksheet: string;
  inputs: Record<string, Given>;
  results: Record<string, Found>;
  lines: Line[];
  cautions: Caution[];
  sources: Source[];
}

export interface Fault {
  error: {
    /** Key of the input at fault; "" when it is the sheet as a whole. */
    field: string;
    message: string;
  };
}

/** A published value, and what the calculations of this version make of it. */
export interface Check {
  /** Name of the worksheet it belongs to. */
  sheet: string;
  what: string;
  /** As printed, as worked out by this version, and how far apart they may be. */
  expected: string;
  got: string;
  tolerance: string;
  unit: string;
  source: string;
  /** How the printed value was come by: read, computed, from memory. */
  provenance: string;
  pass: boolean;
}

export type Reply = Answer | Fault;

export function isFault(reply: Reply): reply is Fault {
  return "error" in reply;
}
