// fetch with a watchdog. PouchDB waits forever on a network that drops everything, as radio in a
// shop can; here a request that stays silent too long is aborted, and the replication restarts.

export interface Watch {
  /**
   * Milliseconds of silence after which a request is aborted. The office sends a keep-alive every
   * 10 s.
   */
  silence: number;
  /** Called after each whole answer of the office. */
  heard?: () => void;
  /** Token of this device, when it has one. */
  token?: () => string | undefined;
}

/** Uploads report no progress, so their time limit grows by size: at this many bytes a second. */
const slowest = 4_000;

/**
 * The answer was not the office's: a sign-in page of some network, or another machine at its
 * address.
 */
export class NotTheOffice extends Error {
  override name = "NotTheOffice";
}

export function watchedFetch(watch: Watch, fetcher: typeof fetch = fetch) {
  return async (url: string | Request, options: RequestInit = {}): Promise<Response> => {
    const stop = new AbortController();
    let timer: ReturnType<typeof setTimeout> | undefined;
    const rest = (ms: number) => {
      clearTimeout(timer);
      timer = setTimeout(() => stop.abort(new DOMException("no answer in time", "TimeoutError")), ms);
    };
    const abort = () => stop.abort(options.signal?.reason);
    options.signal?.addEventListener("abort", abort);
    if (options.signal?.aborted) {
      abort();
    }
    const size = typeof options.body === "string" ? options.body.length : 0;
    rest(watch.silence + (size / slowest) * 1000);
    try {
      const headers = new Headers(options.headers);
      const token = watch.token?.();
      if (token) {
        headers.set("Authorization", `Bearer ${token}`);
      }
      const response = await fetcher(url, { ...options, headers, signal: stop.signal, redirect: "error" });
      if (response.headers.get("Content-Type")?.startsWith("text/html")) {
        throw new NotTheOffice("something other than the office answered");
      }
      const body = await readAll(response, () => rest(watch.silence));
      watch.heard?.();
      return new Response(body, {
        status: response.status,
        statusText: response.statusText,
        headers: response.headers,
      });
    } finally {
      clearTimeout(timer);
      options.signal?.removeEventListener("abort", abort);
    }
  };
}

/** Reads a body to its end, reporting each chunk: a long poll's blank lines are chunks too. */
async function readAll(response: Response, piece: () => void): Promise<Blob | null> {
  if (response.status === 204 || response.status === 304) {
    return null;
  }
  if (!response.body) {
    return response.blob();
  }
  const parts: BlobPart[] = [];
  const reader = response.body.getReader();
  for (;;) {
    const { done, value } = await reader.read();
    if (done) {
      return new Blob(parts);
    }
    piece();
    parts.push(value);
  }
}
