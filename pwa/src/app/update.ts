// Newer versions of the app: announced to the user, activated only when they ask.
import { Workbox } from "workbox-window";

export interface UpdateState {
  /** The app is cached on this device and starts with no network. */
  offlineReady: boolean;
  /** The screens, drawings and lists that are imported lazily are stored too. */
  allStored: boolean;
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
  onChange(tell: (state: UpdateState) => void): () => void;
  /** Activates the newer version and reloads, unless `busy` reports unsaved input: then false. */
  apply(busy: () => boolean): boolean;
  /** Checks for a newer version now. */
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
    // An installed app can stay open for weeks: check when it is shown again, and every six hours.
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

/**
 * Registers the service worker and watches for newer versions. Call it once, after the first screen
 * is shown.
 */
export function watchUpdates(): Updates {
  return new Watched();
}
