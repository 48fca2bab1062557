import type { Fault, Reply } from "./contract.gen";

/** Whether a worksheet refused what was typed. */
export const isFault = (reply: Reply): reply is Fault => "error" in reply;
