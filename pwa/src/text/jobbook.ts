import { here } from "./words";

/** Sentences and labels of the job book's screens, imported with those screens. */
const count = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

export const B = here({
  loading: "Looking through the records…",
  failed: "The records on this phone could not be read:",
  gone: "This is not on this phone.",
  goneHelp: "It may have been taken out, or not have reached this phone yet.",
  deleted: "This was deleted.",
  bringBack: "Bring it back",
  broughtBack: "Brought back.",
  newer: "This came from a newer Datumbook. It is kept whole; update this phone to change it.",
  saveFailed: "It could not be stored on this phone:",
  notes: "Notes",
  photos: "Photos",
  change: "Change",
  history: "History",
  remove: "Delete",
  removed: (what: string) => `${what} deleted. It can be brought back for 30 days.`,
  made: (when: string, by: string) => `made ${when}${by ? ` by ${by}` : ""}`,
  unnamed: "no name yet",
  /** Said once, by the names that the phones' makers give the setting. */
  dark: {
    apple: "The screen may go dark while a setup runs. Settings, Display & Brightness, Auto-Lock says when.",
    android: "The screen may go dark while a setup runs. Settings, Display, Screen timeout says when.",
    other: "The screen may go dark while a setup runs. The machine's own screen settings say when.",
  },

  // eslint-disable-next-line @typescript-eslint/no-unnecessary-type-assertion -- looked up by any text
  papers: {
    holes: "Hole table",
    inspection: "Inspection sheet",
    job: "Whole history",
    label: "Label with a code",
    card: "Card",
    file: "As a file",
  } as Record<string, string>,

  mill: {
    firstHelp: "A job holds the customer's words, the part, and every setup with its readings and photos.",
    newJob: "New job",
    nothing: "All steps are ticked.",
    noSteps: "No steps yet.",
    ticked: (name: string) => `${name}: ticked.`,
    read: "Take a reading",
    photo: "Photo",
    note: "Note",
    demo: "Load an invented job to look round",
    demoWorking: (done: number, all: number) => `Loading the invented job: ${done} of ${all}…`,
    demoOn: "An invented job is on this phone, marked so wherever it shows.",
    demoOff: "Take the invented job out",
    demoOut: (n: number) => `${count(n, "invented record", "invented records")} taken out.`,
    demoOwn: (n: number) =>
      `${count(n, "thing you added under it stays", "things you added under it stay")} on this phone: Find shows what it is.`,
    demoChanged: (n: number) =>
      `${count(n, "invented record you changed goes", "invented records you changed go")} to Deleted things, with what you typed, and can be brought back for 30 days.`,
    demoAgain: "Touch once more to take it out.",
    invented: "Invented",
    inventedShort: "invented",
  },

  job: {
    said: "In the customer's own words",
    setups: "Setups",
    countSetups: (n: number) => count(n, "setup", "setups"),
    addSetup: "New setup",
    open: "Open the setup",
    readingsName: "Readings",
    views: { part: "Part", worked: "Worked out", card: "Card" },
    next: (name: string) => `Next: ${name}`,
    where: "Where",
    read: "Read",
    kind: "When read",
    noSetups: "No setups yet. A setup is one way the part sits on a machine.",
    parts: "Part and features",
    addPart: "Add the part",
    addFeature: "Add a face, hole or bore",
    kept: "Kept results",
    keptNone: "Nothing worked out for this job yet. Open a worksheet and keep its answer under this job.",
    steps: (done: number, all: number) => (all === 0 ? "no steps" : `${done} of ${all} ticked`),
    readings: (n: number) => (n === 0 ? "" : count(n, "reading", "readings")),
    names: "Kept under a name only",
    namesHelp: "Answers kept under a name that has no job record yet.",
    makeRecord: "Make it a job",
  },

  setup: {
    steps: "Steps",
    addStep: "Add a step",
    addStepHelp: "like: face the base",
    noSteps: "No steps yet. Write down what is done here, in order.",
    tick: (name: string) => `Tick ${name}`,
    untick: (name: string) => `Take the tick off ${name}`,
    how: "How it sits",
    kept: "Worked out for this setup",
    repeat: "Repeat in another job",
    state: "State",
    print: "On paper",
    of: (name: string) => `in ${name}`,
    ofGone: (name: string) => `in ${name}, which was deleted`,
    running: (name: string) => `${name} is now the running one.`,
    stopped: (name: string, state: string) => `${name} runs no longer: ${state}.`,
    handOn: (name: string) => `Done here: on to ${name}`,
    datumFrom: (name: string, datum: string) => `From ${name}${datum && `: ${datum}`}`,
    datumNoted: "Its datum says where it comes from.",
    compare: "Planned and found",
  },

  read: {
    at: (station: string) => `Reading at ${station}`,
    take: "Take it",
    undo: "Undo last",
    undone: (what: string) => `${what} taken back.`,
    station: "Name of the place",
    stationLike: "like top left",
    x: "Its distance along X",
    y: "Along Y",
    z: "Along Z",
    deepHelp:
      "Of the three fill in two; the reading is the third, in the coordinates of the part as laid out.",
    setStation: "Use this place",
    when: "When read",
    of: "Of which face, hole or bore",
    bare: "A bare number is",
    thou: "thousandths",
    um: "micrometres",
    inch: "inches",
    mm: "millimetres",
    list: "Readings so far",
    none: "None yet.",
    expected: (text: string) => `last time ${text}`,
    off: (text: string) => `${text} from then`,
    beyond: " – more than wanted",
    remove: (what: string) => `Take out ${what}`,
    speak: "Say it aloud",
    needs: "Type the reading first.",
    nothingYet: "There is no reading yet to repeat.",
    noSetup: "This setup is not on this phone.",
    number: "That is not a number. Type it like +1.5 or -2.",
    sized: (size: string) => `Size ${size} kept.`,
    asks: (typed: string, bare: string, whole: string) => `${typed} ${bare}? Or ${whole}?`,
    scanned: (text: string) => `“${text}” is no reading and was not taken.`,
    finer: (text: string) =>
      `“${text}” is finer than thousandths are read. Say under More what a bare number is.`,
  },

  photo: {
    take: "Take a photo",
    choose: "Choose a photo",
    shrinking: "Making it smaller…",
    done: "Photo kept on this phone.",
    notPicture: "That file is no picture this phone can open. Choose a JPEG, PNG or WebP.",
    huge: (mb: number) =>
      `That picture is ${mb} MB, more than this phone can open. Take it at a smaller size.`,
    tooMany: (mp: number) =>
      `That picture has ${mp} million dots, more than this phone can open. Take it smaller.`,
    away: "The picture has not reached this phone yet.",
    open: (name: string) => `Open the photo ${name}`,
    name: "What it shows",
    unnamed: "photo",
    none: "No photos yet.",
    close: "Close the photo",
    again: "Try to keep this photo again",
  },

  shared: {
    which: "Which setup?",
    noSetup: "It waits here for a setup.",
    none: "No shared photo waits here.",
    done: (n: number) => (n === 1 ? "Photo kept on this phone." : `${n} photos kept on this phone.`),
    drop: "Not wanted",
    dropped: "Taken out.",
    /** Why nothing came. */
    // eslint-disable-next-line @typescript-eslint/no-unnecessary-type-assertion -- looked up by any text
    as: {
      away: "The photo was not kept: Datumbook was not ready on this phone. Share it again now.",
      full: "The photo was not kept: this phone may be full. It is still where you shared it from. Free some room, then share it again.",
      none: "What was shared is no photo. Share a picture.",
    } as Record<string, string>,
  },

  note: {
    add: "Add a note",
    save: "Keep the note",
    done: "Note kept.",
    doneGone: "Note kept, but what it is about was deleted: bring that back, or write it elsewhere too.",
    none: "No notes yet.",
    like: "what to watch, what went wrong, what to remember",
  },

  form: {
    save: "Keep it",
    saving: "Keeping…",
    saved: (what: string) => `${what} kept.`,
    drop: "Leave it as it was",
    cancel: "Cancel",
    more: "More",
    wrong: (n: number) => (n === 1 ? "One thing has to be put right:" : `${n} things have to be put right:`),
    choose: "Choose",
    addRow: "Add one",
    unknown: (kind: string) => `This Datumbook knows no kind of record called “${kind}”.`,
  },

  shop: {
    none: (plural: string) => `No ${plural.toLowerCase()} written down yet.`,
    add: (label: string) => `Add: ${label.toLowerCase()}`,
    used: "Setups it was used in",
    usedNone: "Not in any setup yet.",
    usedLast: (when: string) => `last used ${when}`,
    find: "Find",
    deleted: "Deleted things",
    settings: "Settings",
  },

  find: {
    building: (done: number) => `Reading through the records: ${done} so far. Finds what it has read.`,
    none: (text: string) => `Nothing is like “${text}”.`,
    noneHelp: "Try other words, a size with its unit, or part of a name.",
    start: "Ask it as you would ask the man next to you.",
    only: "Only",
    /** What is found, by the kinds of record in it. */
    groups: {
      all: "All",
      places: "Places",
      setups: "Setups",
      notes: "Notes",
      jobs: "Jobs",
      tools: "Tools",
      sheets: "Worksheets",
    },
  },

  clash: {
    choose: "Choose",
    or: " or ",
    /** 'Two depths' of one word, else the field and whose it is. */
    two: (label: string) =>
      /^[A-Z][a-z]+[a-rtv-xz]$/.test(label) ? `Two ${label.toLowerCase()}s` : `${label}: two hands`,
    apart: (label: string, by: string) =>
      /^[A-Z][a-z]+[a-rtv-xz]$/.test(label)
        ? `Two ${label.toLowerCase()}s, ${by} apart`
        : `${label}: ${by} apart`,
    columns: (name: string, n: number) => `${name}: ${n} differ`,
    row: (label: string, name: string) => `${label} ${name}`.trim(),
    stays: "the other stays in History",
    at: (i: number, n: number) => `${i} of ${n}`,
    keepOf: (value: string) => `Keep ${value}`,
    this: "this",
    standsNow: (value: string) => `${value} stands`,
    settled: "Nothing differs here any more",
    also: (names: string) => `${names} too`,
    tried: "found so",
    readWith: (gauge: string) => `read with ${gauge}`,
    read: "measured so",
    photos: (n: number) => count(n, "photo", "photos"),
    note: (text: string) => `“${text}”`,
    through: (by: string) => `through by ${by}`,
    point: (by: string) => `point through by ${by}`,
    past: (by: string) => `thread ${by} past the hole`,
    plate: "plate",
    measure: "Measure it",
    later: "Later",
    next: "Next",
    done: "Done",
    count: (n: number) => count(n, "field says two things", "fields say two things"),
    against: "deleted on one device, changed on another",
    cleared: "nothing",
    met: "Another entry came meanwhile. Both are kept: choose on the record's page which one stands.",
    deleted: "Deleted",
    changed: "Changed",
    goneOrNot: "Deleted, or changed?",
    back: "Brought back",
    keep: "Keep it",
    drop: "Delete it",
    kept: "It stays",
    dropped: "Deleted",
    /** Beside what was chosen, and beside a deletion. */
    back30: "it can be brought back for 30 days",
  },

  past: {
    intro: "Every change to this, the newest first. Nothing here is ever lost.",
    now: "stands now",
    cleared: "cleared",
    bring: "Make it stand again",
    brought: "It stands again.",
  },

  trash: {
    intro: "What was deleted stays here and comes back whole.",
    none: "Nothing is deleted.",
    left: (days: number) => (days > 0 ? `${count(days, "day", "days")} left` : "over 30 days"),
    empty: (n: number) => `Take out ${count(n, "thing", "things")} deleted over 30 days ago`,
    emptied: (n: number) => `${count(n, "thing", "things")} taken out for good.`,
    sure: "That cannot be undone.",
    by: (by: string, when: string) => `deleted ${when} by ${by}`,
  },

  look: {
    show: "See what it is",
    door: (n: number) =>
      count(
        n,
        "record here cannot be read in full and needs a look",
        "records here cannot be read in full and need a look",
      ),
    intro:
      "Something in these records cannot be read. They are kept as they are. Save one to a file before you delete it.",
    choose: (n: number) =>
      count(
        n,
        "record here says two things: choose which stands",
        "records here say two things: choose which stand",
      ),
    chooseIntro: "Two devices wrote different things in these. Open each, and choose what stands.",
    stranded: (n: number) =>
      count(
        n,
        "record was added to what another device deleted",
        "records were added to what another device deleted",
      ),
    strandedIntro:
      "These were added to something that was deleted on another device meanwhile. Bring that back, or delete these too.",
    none: "Every record on this phone can be read.",
    odd: "Part of this record cannot be read. It is kept as it is.",
    apart: (why: string) =>
      `Two copies of this record could not be joined, and both are kept: ${why} It is tried again by itself.`,
    open: "Open it",
    save: "Save it to a file",
    saved: (name: string) => `Saved as ${name}.`,
    again: "The file is ready. Touch once more.",
    erase: "Delete it for good",
    sure: "Touch once more: it cannot be brought back",
    erased: "Deleted for good.",
  },

  repeat: {
    intro:
      "Copies how it sits, its steps, and its readings as what to expect. Pick everything up afresh: what was true last time is a check, not a setting.",
    into: "Into which job",
    newJob: "A new job",
    name: "Name of the new job",
    needName: "Give the new job a name first.",
    go: "Repeat it",
    working: "Copying…",
    done: "Copied. The readings stand as expected ones.",
    steps: (n: number) => count(n, "step", "steps"),
    readings: (n: number) => `${count(n, "reading", "readings")} as expected ones`,
  },

  /** The worksheets that use the whole job at once. */
  hooks: {
    title: "Before the cut",
    match: (face: string) => `Which fixture takes it${face ? ` by the ${face}` : ""}?`,
    chain: "Will it come out square?",
    cleanup: "Does the rough clean up?",
    noFace: "A fixture whose faces have no size yet is looked at as it is, and not for new holes.",
    found: "The fixtures found",
    drill: "Drilled: write the holes into the fixture",
    drilled: (n: number, name: string) => `${count(n, "hole", "holes")} written into ${name}.`,
    drillHelp: (name: string) =>
      `When they are drilled and tapped: they stand in ${name} from then on, with why, when and for which job.`,
    standing: (n: number, name: string) =>
      n === 1 ? `The hole stands in ${name}.` : `The ${n} holes stand in ${name}.`,
    zero: (at: string) => `Part's zero on the rough as touched off: ${at}`,
    noFixture: (name: string) => `No fixture on this phone is called “${name}”.`,
    why: (text: string, setup: string) => (setup ? `${text}; ${setup}` : text),
    intoPlate: (name: string) => `Put the hole into ${name}`,
    otherPlate: (planned: string, name: string, thick: string) =>
      `Planned in ${planned}; ${name} is ${thick} thick.`,
    whyThere: (name: string) => `Why it is in ${name}`,
    set: "Keep in the setup what to set",
    setHelp: (name: string) => `Shims and steps go into ${name}.`,
    setDone: (name: string) => `Shims and steps are in ${name}.`,
  },

  /** What Keep wrote beside the answer. */
  keeping: {
    readings: (n: number) => count(n, "reading", "readings"),
    shims: "shims",
    zero: "zero",
    speed: "speed and feed",
    weight: "weight and balance",
    square: "out of square",
    error: "its error",
    /** Places of a line from the left, where nobody named them. */
    stations: (n: number): string[] =>
      n === 2
        ? ["left end", "right end"]
        : n === 3
          ? ["left end", "middle", "right end"]
          : Array.from({ length: n }, (_, i) => String(i + 1)),
  },

  tap: {
    title: "Tapping in",
    set: "How it is done",
    wants: (what: string) => `First: ${what.toLowerCase()}. It is asked once.`,
    // eslint-disable-next-line @typescript-eslint/no-unnecessary-type-assertion -- looked up by any text
    places: { a: "end A", b: "end B", right: "right", back: "back", left: "left", front: "front" } as Record<
      string,
      string
    >,
    round: (n: number) => `Round ${n}`,
    asTold: (text: string) => `Moved as told: ${text}`,
    otherwise: "I moved something else",
    nothing: "I moved nothing",
    end: "Which end",
    by: "How far, + towards the indicator",
    turnx: "Turns right-left, + top to the right",
    turny: "Turns nod, + top to the back",
    made: "The move before this round",
    keep: "Keep the sequence with the setup",
    kept: "Kept with the setup.",
    anew: "Begin anew",
    anewHelp: "The rounds so far stay with the setup; the next is round 1.",
    list: "Rounds so far",
  },

  /** A kept result. */
  kept: {
    empty: "Nothing is kept under this job.",
    measured: "Measured",
    noMeasure: "not measured yet",
    deeper: "over",
    shallower: "under",
    addMeasure: "Add what was measured",
    changeMeasure: "Change what was measured",
    saveMeasure: "Keep the measurement",
    cancel: "Leave it",
    removed: (title: string) => `${title.length > 40 ? `${title.slice(0, 38)}…` : title} deleted.`,
    kept: (when: string) => `kept ${when}`,
    conflict: "Two phones changed this. Both are kept; the other one says:",
    newer: "This came from a newer Datumbook. It is kept whole, but only part of it shows here.",
    again: "New plan for this job",
  },

  compare: {
    planned: "Planned",
    found: "Found",
    add: "What was found",
    wrong: "That is not a size this worksheet understands. A fraction needs its unit: 3/4 in.",
    off: (text: string) => `${text} off`,
    same: "as planned",
    save: "Keep what was found",
    saved: "Kept.",
    open: "Open with its numbers",
    typed: "As typed",
    againNow: "Worked out again now, it gives something else: the method has changed since.",
  },
});
