import type { Field, Option, UnitSystem } from "../engine/contract.gen";
import type { Typed } from "./typed";

/** What there is to choose from, under a heading. */
export interface Offer {
  title: string;
  options: Option[];
}

export interface FieldProps {
  /** Stands before the key in the field's id: the worksheet's name, or the table's id. */
  prefix: string;
  f: Field;
  unit: UnitSystem;
  value: Typed;
  fault?: string;
  /** Whether the explanations are shown. */
  explain?: boolean;
  set: (v: Typed) => void;
  /** The records that a link field of a record may name. */
  offers?: ((f: Field) => Offer[]) | undefined;
  /** Name of the row that it is a cell of. */
  row?: string;
  /** Names that the other rows of its table have there: one touch puts one in. */
  known?: readonly string[];
}

/** A field that is no table: what is typed is a text. */
export type One = FieldProps & { id: string; value: string };
