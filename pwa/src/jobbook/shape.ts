// Where things are on a record: asked of the calculations, anew whenever the record changes.
import type { Faces, Room, Scene } from "../drawing/face";
import type { Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { useLoaded } from "../screen/context";
import { ask } from "./prefill";

interface Kinds {
  fixture: Faces;
  part: Faces;
  machine: Room;
  setup: Scene;
}

/** The shape of a record; undefined until it has come. With a mark it is asked anew as that changes. */
export function useShape<K extends keyof Kinds>(
  repo: Repository | undefined,
  kind: K,
  rec: Rec | undefined,
  mark: unknown = "",
): Kinds[K] | undefined {
  const { value } = useLoaded(
    () => (repo && rec?.kind === kind ? ask<Kinds[K]>(repo, "shape", { id: rec.id }) : undefined),
    [repo, rec, mark],
  );
  return value;
}

/** A setup as it would stand with a machine, a fixture and a part that were picked. */
export function usePicked(
  repo: Repository,
  picked: Partial<Record<"machine" | "fixture" | "part", string | undefined>>,
): Scene | undefined {
  const values = Object.fromEntries(Object.entries(picked).filter(([, id]) => id));
  const setup = { id: "setup:picked", type: "setup", values };
  const { value } = useLoaded(
    () => ask<Scene>(repo, "shape", { id: setup.id }, [setup]),
    [repo, JSON.stringify(values)],
  );
  return value;
}

/** What a new hole comes nearest to, in a headline. */
export interface Danger {
  says?: string;
  mark?: "good" | "careful" | "stop";
  near?: number[];
  from?: number[];
}

export const placing = (repo: Repository, given: Record<string, string>): Promise<Danger> =>
  ask<Danger>(repo, "placing", given);
