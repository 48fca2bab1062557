import { useMemo } from "preact/hooks";
import { facePlan, keyOf, machinePlan, scenePlan } from "../drawing/face";
import type { Picture } from "../drawing/pad";
import type { Rec } from "../records/fields";
import { kindOf, type Repository } from "../records/repository";
import type { ScreenProps } from "../screen/load";
import { Pictogram } from "../ui/pictograms";
import { Drawn } from "./drawn";
import { useShape } from "./shape";
import { useRepository } from "./use";

/** Room for it on the card, in pixels. */
const [WIDE, HIGH] = [112, 88];

/** A record drawn as large as a stamp, one place of it lit, no other named; its kind where nothing is drawn. */
export function Spot({ id, more }: ScreenProps) {
  const { repo } = useRepository(kindOf(id));
  const picture = usePicture(repo, repo?.get(id), more["place"] ?? "");
  return picture ? <Drawn picture={picture} /> : <Pictogram name={more["kind"] ?? ""} or="note" size={64} />;
}

function usePicture(repo: Repository | undefined, rec: Rec | undefined, place: string): Picture | undefined {
  const faces = useShape(repo, rec?.kind === "part" ? "part" : "fixture", rec);
  const room = useShape(repo, "machine", rec);
  const scene = useShape(repo, "setup", rec);
  return useMemo(() => {
    const face = faces?.faces.find((f) => f.places.some((p) => keyOf(p) === place)) ?? faces?.faces[0];
    if (face) return facePlan(face, { lit: place, wide: WIDE, high: HIGH, sizes: false, alone: true });
    const whole = scene ? scenePlan(scene) : room && machinePlan(room);
    return whole && { ...whole, words: [] };
  }, [faces, room, scene, place]);
}
