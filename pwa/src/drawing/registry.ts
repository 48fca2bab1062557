import type { ComponentType } from "preact";
import type { Answer } from "../calc/types";
import { HoleDrawing } from "./hole";

/** The drawings by the name a worksheet's description gives. A worksheet with a drawing adds a file and a line here. */
export const drawings: Record<string, ComponentType<{ answer: Answer }>> = {
  hole: HoleDrawing,
};
