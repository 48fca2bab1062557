// The page's side of the calculations: asks the worker, one question at a time, and only the newest of each lane.
import type { Describe, Reply, UnitSystem } from "./types";

export type BridgeState =
  | "starting"
  | "ready"
  /** The calculations ended and are being started again; what was asked is asked again. */
  | "restarting"
  /** They ended too often or cannot be loaded; `retry` tries once more. */
  | "stopped";

export interface Bridge {
  /** All worksheets; does not wait for calc.wasm. */
  describe(): Promise<Describe>;
  /**
   * Works a worksheet out from texts as typed. A newer question in the same lane replaces one still waiting:
   * the older promise then gives undefined. The lane is the worksheet's name unless given.
   */
  run(
    name: string,
    unit: UnitSystem,
    inputs: Readonly<Record<string, string>>,
    lane?: string,
  ): Promise<Reply | undefined>;
  readonly state: BridgeState;
  /** Why it stopped, in plain words; "" while it runs. */
  readonly trouble: string;
  /** Calls back after each change of state; returns what ends that. */
  onState(tell: (state: BridgeState) => void): () => void;
  retry(): void;
  /** Version of the calculations, "" until they have started. */
  readonly version: string;
}

/** Starts the calculations in a worker, from the addresses that the build put into this bundle. */
export declare function startBridge(): Bridge;
