// Newer versions of the app: told to the person, taken over only when they say so.
import { Workbox } from "workbox-window";

export interface UpdateState {
  /** The app is stored on this device and starts with no network. */
  offlineReady: boolean;
  /** The screens, drawings and lists that are imported lazily are stored too. */
  allStored: boolean;
  /** A newer version is stored and waits to be taken over. */
  waiting: boolean;
  /**
   * Another window took the newer version over; this one should be reloaded when nothing is being
   * typed.
   */
  stale: boolean;
}

export interface Updates {
  readonly state: UpdateState;
  onChange(tell: (state: UpdateState) => void): () => void;
  /**
   * Takes the newer version over and reloads, unless `busy` says that something typed would be
   * lost: then false.
   */
  apply(busy: () => boolean): boolean;
  /** Looks for a newer version now. */
  check(): void;
}

class Watched implements Updates {
  state: UpdateState = { offlineReady: false, allStored: false, waiting: false, stale: false };
  private listeners = new Set<(state: UpdateState) => void>();
  private workbox: Workbox | undefined;
  private applying: (() => boolean) | undefined;
  private telling: ReturnType<typeof setInterval> | undefined;

  constructor() {
    if (!("serviceWorker" in navigator)) {
      return; // an address without https: the app works, but only while the office machine answers
    }
    const workbox = new Workbox("/sw.js", { updateViaCache: "none" });
    this.workbox = workbox;
    workbox.addEventListener("activated", () => this.turn({ offlineReady: true }));
    workbox.addEventListener("waiting", () => this.turn({ waiting: true }));
    // The first version ever takes the open page over without a reload; any later one replaces what
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
    void navigator.serviceWorker.getRegistration().then((registration) => {
      if (registration?.active) {
        this.turn({ offlineReady: true });
      }
    });
    workbox.register().catch(() => undefined); // no network and not stored yet: tried again at the next start
    navigator.serviceWorker.addEventListener("message", (event) => {
      if ((event.data as { type?: string } | null)?.type === "REST_STORED") {
        document.documentElement.dataset["stored"] = "all";
        this.turn({ allStored: true });
      }
    });
    void navigator.serviceWorker.ready.then((registration) => {
      // The first screen and its answer come before what can wait.
      setTimeout(() => registration.active?.postMessage({ type: "STORE_REST" }), 1500);
    });
    // An installed app can stay open for weeks: look when it is taken up again, and every six
    // hours.
    document.addEventListener(
      "visibilitychange",
      () => document.visibilityState === "visible" && this.check(),
    );
    setInterval(() => this.check(), 6 * 3_600_000);
  }

  onChange(tell: (state: UpdateState) => void): () => void {
    this.listeners.add(tell);
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
    // Said again until it takes over: nothing tells whether a worker heard it.
    const tell = () => this.workbox?.messageSkipWaiting();
    tell();
    this.telling ??= setInterval(tell, 3000);
    return true;
  }

  check(): void {
    this.workbox?.update().catch(() => undefined); // out of reach is no trouble
  }

  private turn(news: Partial<UpdateState>): void {
    this.state = { ...this.state, ...news };
    for (const tell of [...this.listeners]) {
      tell(this.state);
    }
  }
}

/**
 * Registers the service worker and watches for newer versions. Call it once, after the first screen
 * is there.
 */
export function watchUpdates(): Updates {
  return new Watched();
}
