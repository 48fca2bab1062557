/** Every late drawing by its name: an answer's numbers in, a picture out. */
import { holding } from "./holding";
import { lift } from "./lift";
import { line } from "./line";
import { machine } from "./machine";
import { make } from "./make";
import type { Picture } from "./pad";
import type { Reader } from "./read";
import { size } from "./size";
import { doubt } from "./sure";
import { where } from "./where";

export type Plan = (r: Reader) => Picture | undefined;

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
