/** Every lazily imported drawing by its name: an answer's numbers in, a picture on the pad. */
import { cleanup } from "./casting";
import { chains } from "./chain";
import { cutting } from "./cut";
import { holding } from "./holding";
import { hole } from "./hole";
import { lift } from "./lift";
import { line } from "./line";
import { machine } from "./machine";
import { make } from "./make";
import { match } from "./matching";
import type { Pad } from "./pad";
import type { Reader } from "./read";
import { pattern } from "./pattern";
import { size } from "./size";
import { upright } from "./square";
import { stud } from "./stud";
import { doubt } from "./sure";
import { tapers } from "./taper";
import { where } from "./where";

/** Draws what the answer gives; false where that makes no drawing. */
type Plan = (p: Pad, r: Reader) => false | void;

export const plans: Record<string, Plan> = {
  ...machine,
  cleanup,
  ...cutting,
  ...holding,
  hole,
  ...lift,
  ...line,
  ...chains,
  ...upright,
  ...make,
  match,
  ...pattern,
  ...size,
  ...stud,
  ...doubt,
  ...tapers,
  ...where,
};
