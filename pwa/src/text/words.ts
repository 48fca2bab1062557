/** A name short enough for one line of the foot. */
const short = (name: string): string => (name.length > 40 ? `${name.slice(0, 38)}…` : name);

/** The parts that are not empty, on one line. */
export const dots = (...parts: unknown[]): string => parts.filter(Boolean).join(" · ");
export const commas = (...parts: unknown[]): string => parts.filter(Boolean).join(", ");

/** Phones write under a mark of their own where nobody gave a name. */
const mark = /^[0-9a-hjkmnp-tv-z]{10}$/;

/** Who wrote something, for a person: a name as it was given, else this phone, its mark being known, or another. */
export function writer(by: string, own?: string): string {
  const found = by.trim();
  if (found === own) return W.thisPhone;
  return mark.test(found) ? W.otherPhone(found.slice(0, 4)) : found;
}

/** "2026-03-09" as a person writes it; with the time where there is one. */
export function dateWords(text: string): string {
  const day = /^(\d{4})-(\d\d)-(\d\d)$/.exec(text);
  const d = day ? new Date(Number(day[1]), Number(day[2]) - 1, Number(day[3])) : new Date(text);
  if (Number.isNaN(d.getTime())) return text;
  return d.toLocaleString(undefined, {
    day: "numeric",
    month: "short",
    year: "numeric",
    ...(day ? {} : { hour: "2-digit", minute: "2-digit" }),
  });
}

const swap = (said: unknown): unknown =>
  typeof said === "string"
    ? said.replace(/this phone/g, "this machine")
    : typeof said === "function"
      ? (...given: unknown[]) => swap((said as (...given: unknown[]) => unknown)(...given))
      : said && typeof said === "object"
        ? Object.fromEntries(Object.entries(said).map(([key, one]) => [key, swap(one)]))
        : said;

/**
 * On the office machine itself, in a wide window, the words say "this machine" for "this phone".
 */
export const here = <T>(said: T): T =>
  typeof location !== "undefined" && /^(localhost|127\.|\[::1)/.test(location.hostname) && innerWidth >= 900
    ? (swap(said) as T)
    : said;

/**
 * The app's sentences and labels. Those of the job book, the office and paper are in the files
 * beside this one, those of a worksheet come with its description.
 */
export const W = here({
  thisPhone: "this phone",
  otherPhone: (mark: string) => `another phone (${mark})`,

  name: "Datumbook",
  invented: "Invented",
  skip: "Go to the page",

  nav: {
    home: "Start",
    jobs: "Jobs",
    settings: "Settings",
    find: "Find",
    shop: "Shop",
    back: "Back",
    checked: "What this was checked against",
    reference: "Formulas and inputs",
    main: "Main",
  },

  sync: {
    starting: "looking …",
    closed: "nothing is kept here",
    /** The same in the head, where there is room for two words. */
    closedShort: "not kept",
    /** Under the head: what is wrong beside the worst, and the keys that cure. */
    more: (n: number) => `${n} more`,
    full: "Phone full: the last entry is not kept.",
    differs: "Two hands wrote different things: choose.",
    cure: {
      again: "Try again",
      room: "Free room",
      record: "Show the record",
      pair: "Pair this device",
      update: "Look for the newer app",
      updated: "Asked for the newer app. If there is one, it is offered at the top of the screen.",
      file: "Save to a file",
      load: "Load again",
    },
    stuck:
      "The browser's store on this device does not answer: another window of Datumbook may hold it. Close the other windows, then load this page again. What was kept is still there, and it goes on by itself once the store answers.",
    mayGo: "The browser may clear what waits here: see what to do.",
  },

  office: {
    where: "Where the records are",
    pair: "Pair this device",
    open: "Let this browser in",
    office: "The office",
  },

  /** In the head, on a first visit: how much of the app is on this device, then that all of it is. */
  stored: {
    bar: "On this phone",
    mb: (stored: number, all: number) => `${(stored / 1e6).toFixed(1)} of ${(all / 1e6).toFixed(1)} MB`,
    all: "Works with no signal from now on",
  },

  update: {
    /** Keys over the head. */
    take: "Use new version",
    later: "Later",
    wait: "It waits until what you are typing is kept.",
  },

  install: {
    hint: "Put Datumbook on the home screen: it then opens with no signal, like any tool in the box.",
    take: "Put it there",
    key: "On the home screen",
    ios: "In the browser's share menu choose “Add to Home Screen”: it then opens with no signal.",
    /** On an iPhone the tab and the home screen's app have a store each. */
    stays: "What was kept in this tab does not go there by itself.",
    pair: "Pair it there, and all that the office has comes by itself.",
    file: "Save everything to a file here, then bring that file in there.",
    save: "Save everything",
    bring: "Bring a file in",
    close: "Not now",
  },

  home: {
    read: "Take a reading",
    done: "Done",
    next: "Next setup",
    open: "Open the setup",
    last: (text: string) => `last: ${text}`,
    none: "No setup is running.",
    first: "No job on this phone yet",
    numbers: "How do you write sizes?",
    newSetup: "New setup",
    start: (name: string) => `Start: ${name}`,
    shared: (n: number) => (n === 1 ? "Shared photo: which setup?" : `${n} shared photos: which setup?`),
    mill: "At the mill",
    search: "Find",
    searchLike: "shim, 1/2 tap, a plate",
    all: "More in Find",
    nothing: "Nothing found",
    worksheet: "worksheet",
    reading: "reading the records …",
    stages: "What do you need to know?",
    noStage: "There is no such stage here.",
    records: (n: number) => (n === 1 ? "1 kept" : `${n} kept`),
    loading: "Getting the arithmetic ready…",
    failed: "The arithmetic could not be started on this phone.",
    again: "Try again",
    draft: "half done",
  },

  sheet: {
    missing: (name: string) => `There is no worksheet called “${name}” here.`,
    missingHelp: "It may belong to a newer Datumbook. Go back to the start and choose one from the list.",
    numbers: "What you know",
    answer: "Answer",
    waiting: "The answer shows here as you type.",
    needs: (labels: string) => `Still needed: ${labels}.`,
    stopped: "No answer until this is put right:",
    busy: "Working it out…",
    broken: "The arithmetic stopped. What you typed is safe.",
    drawing: "Drawn to scale",
    all: "All results",
    working: "How it was worked out",
    sources: "Sources",
    about: "What this assumes",
    optional: "if wanted",
    required: "needed",
    neededLike: (example: string) => `needed: ${example}`,
    like: (example: string) => `like ${example}`,
    unset: (text: string) => `usual ${text}`,
    clear: "Clear all",
    cleared: "Cleared.",
    taken: "Changed to what was likely meant.",
    undo: "Undo",
    yes: "Yes",
    no: "No",
    keep: "Keep",
    unitSwitch: (unit: string) => `Bare numbers are ${unit === "mm" ? "mm" : "inches"}`,
    fromJob: "Taking what the job knows…",
    jobFailed: "The job could not be asked, so type it by hand:",
    explain: "Explain",
  },

  page: {
    asTyped: "As typed",
    takeIt: "Take it so",
    from: (where: string) => `From the job: ${where}`,
    habit: "As the last time",
    notYet: "not to scale yet",
    add: (name: string) => `Add ${name}`,
    middle: "middle",
    before: (name: string, was: string) => `${name}, was ${was}`,
    unit: (unit: string) => (unit === "mm" ? "mm, change to inches" : "in, change to millimetres"),
    stopped: "The arithmetic stopped",
    foot: "This page",
    steps: "Steps",
    why: "Why",
    more: "More",
  },

  verdict: {
    refuse: "Stop",
    caution: "Careful",
    note: "Note",
    ask: "Meant so?",
    /** Key that puts in what was likely meant; a whole table is too long for a key. */
    meant: (text: string) => (text.length > 18 ? "Take it so" : `Take ${text}`),
    notes: (n: number) => (n === 1 ? "Note" : "Notes"),
    answer: "Answer",
  },

  list: {
    add: "Add a row",
    addValue: "Add a reading",
    row: (n: number) => `Row ${n}`,
    rows: (label: string, n: number) => `${label}: ${n === 1 ? "1 row" : `${n} rows`}`,
    all: (n: number) => `Show all ${n} rows`,
    remove: (label: string, n: number) => `Take out ${label}, row ${n}`,
    edit: (label: string, n: number) => `Change ${label}, row ${n}`,
    done: "Row is right",
  },

  pick: {
    none: "None",
    nothing: (kinds: string) => `No ${kinds} on this phone yet.`,
    make: (kind: string) => `New ${kind.toLowerCase()}`,
    gone: "not on this phone",
  },

  keypad: {
    label: "Number keypad",
    close: "Close the keypad",
    closeShort: "close",
    same: "same",
    nextSpoken: "Next field",
    next: (name: string) => `Next: ${name}`,
    answer: "answer",
    nextPlace: "Next place",
    back: "Rub out",
    sign: "Plus or minus",
    half: "and a half",
    // eslint-disable-next-line @typescript-eslint/no-unnecessary-type-assertion -- looked up by any text
    keys: {
      ".": "point",
      "/": "over",
      "-": "dash",
      "+": "plus",
      "#": "number drill",
      ",": "comma",
      " ": "space",
      x: "by",
      ":": "to",
      "°": "degrees",
      "'": "minutes",
      '"': "seconds",
    } as Record<string, string>,
  },

  keep: {
    newJob: "New job",
    pick: "Jobs on this phone",
    note: "Note",
    noteHelp: "Which hole, which face, what to watch.",
    needJob: "Give the job a name first.",
    longJob: "That name is over 80 letters: shorten it.",
    /** With what was written into records beside the answer. */
    done: (job: string, what = "") =>
      [job ? `Kept under ${short(job)}` : "Kept", what && `${what} too`].filter(Boolean).join(", ") + ".",
    which: "Which job?",
    kept: "Kept",
    name: (title: string, what: string, date: string) => [`${title}${what && ` ${what}`}`, date].join(", "),
    undone: "Taken out again.",
    failed: "It could not be kept on this phone:",
    failedHelp: "What you typed is still here.",
  },

  jobs: {
    unreadable: "This record cannot be shown here; it is kept as it is.",
    loading: "Looking through the records…",
    empty: "No jobs on this phone yet.",
    failed: "The records on this phone could not be read:",
    find: "Find a job",
    none: (text: string) => `No job has “${text}” in its name.`,
    archived: "This page lists only what is on this phone; what is at the office comes when it is in reach.",
  },

  book: {
    notLoaded: "This page could not be fetched. It comes once the office machine is in reach.",
    job: "Job",
    titles: {
      begin: "New setup",
      stock: "New card",
      setup: "Setup",
      readings: "Readings",
      tap: "Tapping in",
      record: "Record",
      place: "A place on it",
      edit: "Change",
      new: "New",
      shop: "Shop",
      find: "Find",
      deleted: "Deleted",
      look: "Needs a look",
      clash: "Two hands",
      history: "History",
      repeat: "Repeat a setup",
      compare: "Planned and found",
      note: "Note",
      print: "On paper",
      files: "In and out by file",
      shared: "Shared photo",
    },
  },

  table: {
    copy: "Copy the table",
    copied: (n: number) => `${n} rows copied: paste them into a spreadsheet.`,
    notCopied: "This browser does not let it be copied. Print it, or take it out as a file.",
  },

  reference: {
    inputs: "What it asks",
    results: "What it gives",
    limits: (min: string, max: string) =>
      min && max ? `from ${min} to ${max}` : min ? `at least ${min}` : max ? `at most ${max}` : "",
    or: "or",
    bare: (unit: string) => `a bare number is ${unit}`,
    use: "Use it",
    script: "From a command line",
  },

  checked: {
    intro:
      "Each row is a value printed in a standard, a handbook or another public document, beside what the calculations of this version make of it. They are the ones that answer on this device.",
    loading: "Fetching the published values…",
    none: "No published values came with this Datumbook.",
    failed: "The published values could not be read:",
    tally: (pass: number, all: number) =>
      pass === all
        ? `All ${all} agree.`
        : `${pass} of ${all} agree; ${all - pass} do not. Do not use those until it is put right.`,
    pass: "agrees",
    fail: "does not agree",
    printed: "Printed",
    here: "Here",
    within: "within",
    filter: "Find a row",
  },

  settings: {
    unit: "A bare number is",
    unitHelp: "You can always type the other: 19.05mm or .750in.",
    comma: "Decimals are typed",
    commaHelp: "Numbers are shown with a point.",
    inch: "inches",
    mm: "millimetres",
    glove: "Gloves",
    gloveHelp: (upright: number, lying: number) =>
      [
        "Every key and button at least 19 mm wide and high",
        upright < 19 && `the keypad's keys ${upright} on this screen`,
        lying < 19 && `${lying} with it on its side`,
      ]
        .filter(Boolean)
        .join("; ") + ".",
    off: "Off",
    on: "On",
    hand: "Hand you type with",
    handHelp: "Puts Next and Rub out under that thumb.",
    right: "Right",
    left: "Left",
    look: "Light in the shop",
    lookAuto: "As the phone",
    lookBright: "Bright",
    lookDim: "Dim",
    keypad: "Keypad",
    keypadHelp: "Datumbook's own keypad, or the phone's.",
    keypadTouch: "On touch",
    keypadAlways: "Always",
    keypadNever: "Phone's own",
    double: "Double hits in gloves",
    doubleHelp:
      "In gloves a second hit on the same key sooner than this is taken for a slip. With bare hands all count.",
    doubleOff: "Let through",
    ms: (n: number) => `${n / 1000} s`,
    who: "Your name or initials",
    whoHelp: "Stands beside what is written on this phone. Blank: only that it was this phone.",
    drills: "Drills in your shop",
    drillsHelp: "A plan chooses from these. None chosen means the usual sets.",
    drillFraction: "Fractions",
    drillNumber: "Numbers",
    drillLetter: "Letters",
    drillMetric: "Metric",
    store: "Room on this phone",
    persist: "Ask the phone to keep them",
    persistNo: "The phone said no. Put Datumbook on the home screen and ask again, and export now and then.",
    noStore: "This window keeps nothing: it is private, or its storage is off. Use an ordinary window.",
    used: (used: string, all: string) => `${used} used of ${all}`,
    file: "Files and tables",
    fileHelp:
      "Everything in one file for a memory stick or another phone, one job, or tables for a spreadsheet.",
    version: (v: string) => `Datumbook, build ${v}`,
  },

  drawing: {
    describe: (parts: string[]) => `Section through the hole, drawn to scale. ${parts.join(". ")}.`,
    full: "full thread",
    reach: "tap end",
    shoulder: "shoulder",
    tip: "drill point",
    back: "back face",
    floor: "floor",
    drill: "drill",
    through: "breaks through",
    cannot: "These numbers do not make a drawing to scale.",
    missing: "The drawing could not be fetched. It comes once the office machine is in reach.",
  },

  fault: {
    title: "Something in the app broke.",
    help: "What you kept and what you typed are still on this phone. Go back to the start and try again.",
    start: "Go to the start",
  },
});
