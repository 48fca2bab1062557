const roles = {
  owner: "an owner: reads and writes, lets devices in and shuts them out",
  hand: "a hand: reads and writes records",
  reader: "a reader: sees records, changes nothing",
};

/** What the screens about this device and the office say. */
export const O = {
  where: {
    answers: "The office machine answers.",
    silent: "The office machine does not answer just now. This device tries again by itself.",
    never: "The office machine has never had these records. They are on this device alone.",
    last: (when: string) => `The office last had everything ${when}.`,
    waiting: (n: number) =>
      n === 0
        ? "Nothing waits."
        : n === 1
          ? "1 record or change waits here."
          : `${n} records and changes wait here.`,
    moving: "Records are on their way.",
    try: "Try now",
    pair: "Pair this device",
    evict:
      "What waits is in storage that the browser may clear. Bring it to the office soon, put the app on the home screen, or save everything to a file below.",
    away: "If the office stays away",
    causes: (app: string) => [
      "Is this device in the shop's network, and is the office machine on with Datumbook running?",
      app
        ? `The office was last at ${app}. If its address has changed, this page cannot follow: save everything to a file below, open the new address that the office screen shows, pair there, and bring the file in. Nothing is doubled.`
        : "If the office's address has changed, this page cannot follow: save everything to a file below, open the new address that the office screen shows, pair there, and bring the file in. Nothing is doubled.",
      "Does the browser no longer trust the office's certificate? It then refuses without saying so. Open the office's address in a new window: if it warns, install the shop's certificate again from the start page, after comparing its fingerprint with the office screen.",
    ],
    expired: (when: string) =>
      `The office's certificate ran out on ${when}, so browsers refuse it. The owner has to renew it; then install it on this device from the start page. What is here stays, and can be saved to a file.`,
    wrongClock: "If that day is not past, put this device's clock right.",
  },
  me: {
    title: "This device at the office",
    none: "Not paired. On the office machine open the link that 'datumbook open' prints; elsewhere pair with a code.",
    as: (name: string, role: keyof typeof roles) => `Paired as “${name}”, ${roles[role]}.`,
    again: "Pair again",
    rename: "Rename",
    renameKeep: "Keep the name",
    renamed: (name: string) => `It is now called “${name}”.`,
    forget: "Forget the pairing",
    forgetSure: "Forget it: records stay here, but go nowhere until this device is paired again",
    forgotten: "The pairing is forgotten. Every record is still here.",
    office: "The office",
  },
  pair: {
    lead: "The owner shows a code on the office screen. It has eight digits and is good once, for ten minutes.",
    code: "Code",
    codeLike: "like 4821-9037",
    codeBad: "A code has eight digits. Look again, or ask for a new one.",
    name: "Name for this device",
    kind: "What it is",
    kinds: ["Phone", "Tablet", "Desk machine"] as const,
    nameHelp: "Whose it is or where it lives, so that the owner knows it in the list.",
    nameNeed: "Give this device a name, so that the owner knows it in the list.",
    go: "Pair",
    going: "Pairing…",
    wait: (seconds: number) => `Try again in ${seconds} s`,
    already: (name: string) =>
      `This device is paired as “${name}” already. Pairing again replaces that; nothing kept here is lost or sent twice.`,
    stays: (n: number) =>
      n === 1
        ? "1 record or change waits on this device and goes to the office once it is paired."
        : `${n} records and changes wait on this device and go to the office once it is paired.`,
    done: (name: string, role: keyof typeof roles) => `This device is now “${name}”, ${roles[role]}.`,
    notKept: "This window keeps nothing: the pairing ends with it. Use an ordinary window and pair again.",
    silent:
      "The office machine does not answer. Is this device in the shop's network? The code may have run out before it can be used.",
    stranger: "Something other than the office answered. Is this the shop's own network?",
    home: "On some phones the app on the home screen and the browser keep apart what they hold. Put the app on the home screen first, then pair inside it by typing the code.",
    on: "Go to the jobs",
    where: "Where the records are",
  },
  open: {
    going: "Asking the office…",
    used: "The link has no key any more: it is good once. Run 'datumbook open' on the office machine and open the link that it prints.",
  },
  well: {
    look: (n: number) => (n === 1 ? "1 record needs a look" : `${n} records need a look`),
    lost: (n: number) => (n === 1 ? "1 picture has not come" : `${n} pictures have not come`),
    copies: (n: number) => (n === 1 ? "1 copy is not kept up" : `${n} copies are not kept up`),
    silent: (name: string, days: number) => `${name.length > 14 ? "A device" : name}: silent ${days} days`,
    over: "The certificate has run out",
    soon: (days: number) => `Certificate: ${days} days left`,
    alone: "No phone is let in yet",
    good: "All is well",
    line: (n: number) => (n === 1 ? "1 device" : `${n} devices`),
    cure: "Go there",
  },

  copies: {
    title: "Copies elsewhere",
    out: "Going there",
    in: "Coming here",
    aside: (n: number) => (n === 1 ? "1 record set aside" : `${n} records set aside`),
  },

  office: {
    loading: "Asking the office…",
    not: "Only an owner looks after the office.",
    notHelp: (role: string) =>
      `This device is a ${role}. Ask the owner, or open this page on the office machine itself.`,
    away: "The office does not answer.",
    unpaired: "The office does not know this device.",
    letIn: "Let a device in",
    role: "It may",
    roles: { hand: "Read and write", reader: "Only read", owner: "Look after the office" },
    show: "Show a code",
    another: "Show another code",
    scan: "Scan this with the phone's camera, or open the app there, choose Pair this device, and type:",
    good: (when: string) => `Good once, until ${when}.`,
    qr: "The code to scan",
    local:
      "Only this machine can reach the office. To let phones in, stop it and start it with: datumbook serve --lan",
    devices: "Devices",
    none: "No device is paired yet.",
    you: "this device",
    paired: (when: string) => `paired ${when}`,
    seen: (when: string) => `last seen ${when}`,
    unseen: "not seen yet",
    gone: (when: string) => `shut out ${when}`,
    roleName: { owner: "owner", hand: "hand", reader: "reader" },
    shutOut: "Shut out",
    sure: (name: string) => `Shut “${name}” out`,
    sureHelp: "It can then reach nothing here. What it holds stays on it, and it can be paired again.",
    sureSelf: "That is the device you are using: this page would stop working.",
    leave: "Leave it",
    shut: (name: string) => `“${name}” is shut out. What it holds stays on it.`,
    past: (n: number) => `Shut out before (${n})`,
    addresses: "How phones find the office",
    start: "A new phone starts at",
    app: "The app is at",
    finger: "Fingerprint of the certificate",
    fingerHelp:
      "The phone shows one when the certificate is installed. They must be the same, letter by letter.",
    until: "The certificate is good until",
    untilSoon: "It runs out soon. Phones refuse the office after that day: renew it before.",
    version: "Version",
  },
  look: {
    title: "Needs a look",
    none: "Nothing needs a look.",
    damaged:
      "The office's disk damaged these. A device that has one whole sends it by itself; a backup may have it too.",
    copy: (name: string) => `${name} is damaged`,
    flags:
      "The rules object to these, or someone changed another's entry. They are kept: change what is wrong, or leave it.",
    open: "Open the record",
    leave: "Leave it as it is",
    left: "Left as it is.",
    refused: "These could not be kept as they came, so they were set aside whole.",
    body: "What was sent",
    save: "Save as a file",
    drop: "Drop it",
    dropSure: "Drop it for good",
    dropped: "Dropped.",
    at: (when: string, by?: string) => (by ? `came ${when} from ${by}` : `came ${when}`),
  },
  trail: {
    title: "What happened",
    kind: "What",
    device: "Which device",
    all: "all",
    kinds: {
      pairing: "devices let in",
      revocation: "devices shut out",
      restore: "backups put back",
      deletion: "records deleted",
      rewrite: "entries of others changed",
      repair: "repairs",
      review: "looks at the list",
    },
    none: "Nothing of that is noted.",
    older: "Show older",
  },
};
