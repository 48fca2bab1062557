import { text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { N } from "../text/begin";
import { Pictogram } from "../ui/pictograms";
import { SceneDrawing } from "./drawn";
import { sceneOf } from "./scene";
import { usePicked } from "./shape";
import { pictureOf } from "./stock";

/** What was chosen for a setup, put together: the fixture with the part, under the machine. */
export function PickScene({
  repo,
  machine,
  fixture,
  part,
}: {
  repo: Repository;
  machine?: Rec | undefined;
  fixture?: Rec | undefined;
  part?: Rec | undefined;
}) {
  const known = usePicked(repo, { machine: machine?.id, fixture: fixture?.id, part: part?.id });
  if (known && known.bodies.length > 1)
    return (
      <div class="pick-scene" aria-hidden="true">
        <SceneDrawing scene={known} high={150} />
      </div>
    );
  const scene = sceneOf({ fixture, part, down: "", reads: [] });
  return (
    <div class="pick-scene" aria-hidden="true">
      <svg viewBox="0 0 200 80" class="scene">
        <path class="s-metal" d={scene.metal} />
        <path class="s-thin" d={scene.thin} />
        {part && <path class="s-part" d={scene.part} />}
        {part && <path class="s-ink" d={scene.ink} />}
      </svg>
      {machine && <Pictogram name={pictureOf(machine)} or="machine" size={72} />}
      {part && !text(part, "long") && <small>{N.scale}</small>}
    </div>
  );
}
