import type { Input, UnitSystem } from "../engine/contract.gen";

/** What a field of a worksheet is given. */
export interface FieldProps {
  sheet: string;
  input: Input;
  unit: UnitSystem;
  value: string;
  fault: string;
  /** Whether the explanations are shown. */
  explain: boolean;
  set: (text: string) => void;
}
