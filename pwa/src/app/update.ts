// Newer versions of the app: announced to the user, activated only when they ask.
import { Workbox } from "workbox-window";

export interface UpdateState {
  /** On a first visit: bytes of the app that are on this device, and all of them. */
  stored?: number;
  all?: number;
  /** A newer version is stored and waits to be activated. */
  waiting: boolean;
  /**
   * Another window activated the newer version; this one should be reloaded when nothing is being
   * typed.
   */
  stale: boolean;
}

export interface Updates {
  readonly state: UpdateState;
  /** Tells the state now and after each change; returns the function that unsubscribes. */
  onChange(tell: (state: UpdateState) => void): () => void;
  /** Activates the newer version and reloads, unless `busy` reports unsaved input: then false. */
  apply(busy: () => boolean): boolean;
  /** Checks for a newer version now. */
  check(): void;
  /** So many bytes of what the service worker will store have come already. */
  came(bytes: number): void;
  /**
   * Registers the service worker: on a first visit once the page wants the line no more, so that what
   * it stores does not come before what is looked at.
   */
  begin(): void;
}

/** No service worker serves this page: its files come down the line, and are not stored yet. */
export const firstVisit = !("serviceWorker" in navigator) || !navigator.serviceWorker.controller;

class Watched implements Updates {
  state: UpdateState = { waiting: false, stale: false };
  private listeners = new Set<(state: UpdateState) => void>();
  private workbox: Workbox | undefined;
  private applying: (() => boolean) | undefined;
  private storing = firstVisit && "serviceWorker" in navigator;
  private telling: ReturnType<typeof setInterval> | undefined;

  begin(): void {
    if (this.workbox || !("serviceWorker" in navigator)) {
      return; // an address without https: the app works, but only while the office machine answers
    }
    const workbox = new Workbox("/sw.js", { updateViaCache: "none" });
    this.workbox = workbox;
    workbox.addEventListener("waiting", () => this.turn({ waiting: true }));
    // The first version ever controls the open page without a reload; any later one replaces what
    // the page runs.
    let controlled = navigator.serviceWorker.controller !== null;
    workbox.addEventListener("controlling", () => {
      if (!controlled) {
        controlled = true;
        return;
      }
      clearInterval(this.telling);
      if (this.applying && !this.applying()) {
        location.reload();
      } else {
        this.turn({ waiting: false, stale: true });
      }
    });
    // no network and not stored yet: tried again when asked to, or at the next start
    workbox.register({ immediate: true }).catch(() => (this.workbox = undefined));
    navigator.serviceWorker.addEventListener("message", (event) => {
      const { type, bytes = 0 } = Object(event.data) as { type?: string; bytes?: number };
      if (type === "STORED") this.came(Math.min(bytes, total - 1)); // all of it is told by the next
      if (type === "REST_STORED") {
        document.documentElement.dataset["stored"] = "all";
        this.came(total);
      }
    });
    void navigator.serviceWorker.ready.then((registration) => {
      // The first screen and its answer come before what can wait; on a first visit they have come.
      setTimeout(() => registration.active?.postMessage({ type: "STORE_REST" }), firstVisit ? 0 : 1500);
    });
    // An installed app can stay open for weeks: check when it is shown again, and every six hours.
    document.addEventListener(
      "visibilitychange",
      () => document.visibilityState === "visible" && this.check(),
    );
    setInterval(() => this.check(), 6 * 3_600_000);
  }

  came(bytes: number): void {
    if (!this.storing || bytes > total || bytes <= (this.state.stored ?? 0)) return;
    this.turn({ stored: bytes, all: total });
  }

  onChange(tell: (state: UpdateState) => void): () => void {
    this.listeners.add(tell);
    tell(this.state); // what came between the drawing and the listening
    return () => this.listeners.delete(tell);
  }

  apply(busy: () => boolean): boolean {
    if (busy()) {
      return false;
    }
    if (this.state.stale) {
      location.reload();
      return true;
    }
    this.applying = busy;
    // Sent again until it takes over: nothing confirms that a worker received it.
    const tell = () => this.workbox?.messageSkipWaiting();
    tell();
    this.telling ??= setInterval(tell, 3000);
    return true;
  }

  check(): void {
    this.workbox?.update().catch(() => undefined); // being offline is no error
  }

  private turn(news: Partial<UpdateState>): void {
    this.state = { ...this.state, ...news };
    for (const tell of [...this.listeners]) {
      tell(this.state);
    }
  }
}

/** Of all that the service worker stores, put into the page by the build. */
const total = Number(document.documentElement.dataset["bytes"] ?? 0);

/** Watches for newer versions, from begin on. Call it once. */
export function watchUpdates(): Updates {
  return new Watched();
}
