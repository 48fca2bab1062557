import type { ComponentType } from "preact";
import type { Answer } from "../engine/contract.gen";
import { HoleDrawing } from "./hole";
import { lazyDrawing } from "./lazy";

/** Names of the drawings that are imported lazily; `plans.ts` holds what each does. */
export const lazyNames =
  "reach daylight foul hold strap weigh sling eyebolt tram shim lever sweep dish square bar tapin engage clear bore room fit dowel holes dials edge middle centre skew match blocks shims sine triangle arc taper divide heat accept repeat sure chain cleanup".split(
    " ",
  );

/**
 * The drawings by the name a worksheet's description gives. A worksheet with a drawing adds a plan
 * and its name here.
 */
export const drawings: Record<string, ComponentType<{ answer: Answer }>> = {
  hole: HoleDrawing,
  ...Object.fromEntries(lazyNames.map((name) => [name, lazyDrawing(name)])),
};
