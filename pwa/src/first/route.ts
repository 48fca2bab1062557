/** The page's address after the #. Pure, but for go(). */
export type Route =
  | { page: "home" }
  | { page: "sheet"; sheet: string; record?: string; job?: string }
  | { page: "jobs" }
  | { page: "job"; job: string }
  | { page: "reference"; sheet: string }
  | { page: "checked" }
  | { page: "settings" };

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
      if (!rest) return { page: "home" };
      const record = more.get("record");
      const job = more.get("job");
      return { page: "sheet", sheet: rest, ...(record ? { record } : {}), ...(job ? { job } : {}) };
    }
    case "jobs":
    case "checked":
    case "settings":
      return { page };
    case "job":
      return rest ? { page: "job", job: rest } : { page: "jobs" };
    case "reference":
      return rest ? { page: "reference", sheet: rest } : { page: "home" };
    default:
      return { page: "home" };
  }
}

export function href(route: Route): string {
  switch (route.page) {
    case "home":
      return "#/";
    case "sheet": {
      const more = new URLSearchParams();
      if (route.record) more.set("record", route.record);
      if (route.job) more.set("job", route.job);
      const query = more.toString();
      return `#/sheet/${encodeURIComponent(route.sheet)}${query ? `?${query}` : ""}`;
    }
    case "job":
      return `#/job/${encodeURIComponent(route.job)}`;
    case "reference":
      return `#/reference/${encodeURIComponent(route.sheet)}`;
    default:
      return `#/${route.page}`;
  }
}

export function go(route: Route): void {
  location.hash = href(route);
}
