const one = (n: number, single: string, many: string): string => (n === 1 ? single : `${n} ${many}`);

/** What the exchange with the office says, in the head and on the page about it. */
export const E = {
  phone: "on this phone only",
  waiting: (n: number) => `${n} waiting`,
  office: (when: string) => `at the office ${when}`,
  behind: "not up to date",
  missing: (n: number) => `${n} not here`,
  short: {
    phone: "here only",
    waiting: (n: number) => `${n} to send`,
    only: (n: number) => `${n} here only`,
    going: (n: number, all: number) => `${n} of ${all}`,
    differs: (n: number) => (n === 1 ? "1 differs" : `${n} differ`),
    behind: "behind",
    starting: "looking …",
    trouble: "stuck",
  },
  silent: (when: string) =>
    `Nothing has come from the office since ${when}, though it takes what this device sends. ` +
    "This device goes on trying.",
  refused: (reason: string) =>
    `The office did not take this record: ${reason}. It is safe on this device; ` +
    "show it to whoever looks after the office machine.",
  damaged: (reason: string) =>
    `The office has this record, but could not give it to this device: ${reason}. Everything else goes on, ` +
    "and it is tried again every hour; show it to whoever looks after the office machine.",
  unstorable: (reason: string) =>
    `The office has this record, but this device could not store it: ${reason}. Everything else goes on, ` +
    "and it is tried again every hour.",
  more: (n: number) => `${one(n, "One more record", "more records")} could not be had from the office.`,
  large: (n: number) =>
    `${one(n, "One record is", "records are")} larger than phones take: ` +
    `the office machine shows ${n === 1 ? "it" : "them"}.`,
  ahead: (by: string) =>
    `This device's clock is ${by} ahead of the office's. Put right the one that is wrong.`,
  behindBy: (by: string) =>
    `This device's clock is ${by} behind the office's. Put right the one that is wrong.`,
  minutes: (n: number) => one(n, "one minute", "minutes"),
  hours: (n: number) => one(n, "one hour", "hours"),
  days: (n: number) => one(n, "one day", "days"),
};
