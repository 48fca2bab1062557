// Newer versions of the app: told to the person, taken over only when they say so.

export interface UpdateState {
  /** The app is stored on this device and starts with no network. */
  offlineReady: boolean;
  /** A newer version is stored and waits to be taken over. */
  waiting: boolean;
  /** Another window took the newer version over; this one should be reloaded when nothing is being typed. */
  stale: boolean;
}

export interface Updates {
  readonly state: UpdateState;
  onChange(tell: (state: UpdateState) => void): () => void;
  /** Takes the newer version over and reloads, unless `busy` says that something typed would be lost: then false. */
  apply(busy: () => boolean): boolean;
  /** Looks for a newer version now. */
  check(): void;
}

export declare function watchUpdates(): Updates;
