/** Every lazily imported drawing by its name: an answer's numbers in, a picture on the pad. */
import { holding } from "./holding";
import { lift } from "./lift";
import { line } from "./line";
import { machine } from "./machine";
import { make } from "./make";
import type { Pad } from "./pad";
import type { Reader } from "./read";
import { size } from "./size";
import { doubt } from "./sure";
import { where } from "./where";

/** Draws what the answer gives; false where that makes no drawing. */
type Plan = (p: Pad, r: Reader) => false | void;

export const plans: Record<string, Plan> = {
  ...machine,
  ...holding,
  ...lift,
  ...line,
  ...make,
  ...size,
  ...doubt,
  ...where,
};
