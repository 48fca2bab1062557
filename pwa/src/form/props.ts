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
  /** What a field of a record that names something else may name. */
  offers?: ((f: Field) => Offer[]) | undefined;
  /** What the row is called that it is a cell of. */
  row?: string;
}

/** A field that is no table: what is typed is a text. */
export type One = FieldProps & { id: string; value: string };
