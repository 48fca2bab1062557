import type { Refused, Reply } from "./contract.gen";

/** Whether a worksheet refused what was typed. */
export const isRefused = (reply: Reply): reply is Refused => "error" in reply;
