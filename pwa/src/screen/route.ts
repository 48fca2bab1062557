/** The page's address after the #. */
export type Route =
  | { page: "home" }
  | { page: "stage"; stage: string }
  | {
      page: "sheet";
      sheet: string;
      record?: string | undefined;
      job?: string | undefined;
      from?: string | undefined;
      view?: SheetView | undefined;
    }
  | { page: "jobs" }
  | { page: "job"; job: string; view?: string | undefined }
  | { page: "reference"; sheet: string }
  | { page: "checked" }
  | { page: "settings" }
  | { page: "office"; view: OfficeView; code?: string }
  | { page: "book"; view: View; id: string; more: Record<string, string> };

/** What else a worksheet's page shows in place of its drawing. */
export const sheetViews = ["more", "why", "steps", "keep"] as const;
export type SheetView = (typeof sheetViews)[number];
const isSheetView = (text: string | null): text is SheetView =>
  (sheetViews as readonly (string | null)[]).includes(text);

/** Pages about this device and the office, imported lazily too. */
export type OfficeView = "where" | "pair" | "open" | "office";

/** Pages of the job book; their screens are imported lazily. */
export const views = [
  "begin",
  "stock",
  "setup",
  "readings",
  "tap",
  "record",
  "place",
  "edit",
  "new",
  "shop",
  "find",
  "deleted",
  "look",
  "clash",
  "history",
  "repeat",
  "compare",
  "note",
  "print",
  "files",
  "shared",
] as const;
export type View = (typeof views)[number];

const isView = (page: string): page is View => (views as readonly string[]).includes(page);

function decode(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

export function parseRoute(hash: string): Route {
  const [path = "", query = ""] = hash.replace(/^#\/?/, "").split("?");
  const cut = path.indexOf("/");
  const page = cut < 0 ? path : path.slice(0, cut);
  const rest = cut < 0 ? "" : decode(path.slice(cut + 1));
  const more = new URLSearchParams(query);
  switch (page) {
    case "sheet": {
      const from = [...more].filter(([key, value]) => value && ["record", "job", "from"].includes(key));
      const view = more.get("view");
      return rest
        ? { page, sheet: rest, ...Object.fromEntries(from), ...(isSheetView(view) && { view }) }
        : { page: "home" };
    }
    case "jobs":
    case "checked":
    case "settings":
      return { page };
    case "where":
    case "pair":
    case "open":
    case "office":
      return { page: "office", view: page };
    case "job":
      return rest
        ? { page: "job", job: rest, ...(more.get("view") && { view: more.get("view")! }) }
        : { page: "jobs" };
    case "stage":
      return rest ? { page: "stage", stage: rest } : { page: "home" };
    case "reference":
      return rest ? { page: "reference", sheet: rest } : { page: "home" };
    default:
      return isView(page)
        ? { page: "book", view: page, id: rest, more: Object.fromEntries(more) }
        : { page: "home" };
  }
}

/** Where the home screen's icon leads: to Start, or in an open window to where one is (cmd/build). */
export const LAUNCH = "#/launch";

/**
 * The route of the page's own address. A pairing code, or the key of the office machine's link, is
 * removed from it at once, so that it is not left in the history.
 */
export function readRoute(): Route {
  if (location.hash === LAUNCH) history.replaceState(history.state, "", "#/");
  const [, word, code] = /^#\/?(pair|open)=([\w-]{1,64})$/.exec(location.hash) ?? [];
  if (!code) return parseRoute(location.hash);
  const view = word as "pair" | "open";
  history.replaceState(history.state, "", `#/${view}`);
  return { page: "office", view, code };
}

export function href(route: Route): string {
  switch (route.page) {
    case "home":
      return "#/";
    case "sheet": {
      const { page, sheet, record, job, from, view } = route;
      return address(page, sheet, { record, job, from, view });
    }
    case "stage":
      return address(route.page, route.stage);
    case "job":
      return address(route.page, route.job, { view: route.view });
    case "office":
      return address(route.view);
    case "book":
      return address(route.view, route.id, route.more);
    case "reference":
      return address(route.page, route.sheet);
    default:
      return address(route.page);
  }
}

function address(page: string, id = "", more: Record<string, string | undefined> = {}): string {
  const query = Object.entries(more).flatMap(([key, value]) => (value ? [[key, value]] : []));
  return `#/${page}${id && `/${encodeURIComponent(id)}`}${query.length > 0 ? `?${new URLSearchParams(query)}` : ""}`;
}

/** Pages that have a foot of their own. */
export const footed = (route: Route): boolean =>
  route.page === "sheet" ||
  (route.page === "job" && isRecord(route.job)) ||
  (route.page === "book" &&
    (["setup", "readings", "tap", "place", "begin", "clash"].includes(route.view) ||
      (route.view === "record" && /^(fixture|part|machine):/.test(route.id))));

/** Results were kept under a job's name before jobs were records; both have their page. */
export const isRecord = (job: string): boolean => /^job:([0-9A-Z]{26}|00-demo-[-a-z0-9]+)$/.test(job);

/** The address of a page of the job book. */
export const book = (view: View, id = "", more: Record<string, string> = {}): string =>
  href({ page: "book", view, id, more });

/** The address of a record's page; place is a row of it to be lit, as slots.0002-mill. */
export function recordHref(id: string, place?: string): string {
  const kind = id.slice(0, id.indexOf(":"));
  if (kind === "job") return href({ page: "job", job: id });
  if (kind === "setup") return book("setup", id);
  if (kind === "kept") return book("compare", id);
  return book("record", id, { ...(place && { place }) });
}
