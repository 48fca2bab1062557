import type { Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { Picture } from "../screen/picture";
import { lastRead, onNeedle, sceneFor } from "./atmill";
import { SceneDrawing } from "./drawn";
import { useShape } from "./shape";

/**
 * How the part sits in a setup: in two views that line up, from the records; where these do not say
 * enough for that, its sketch.
 */
export function SceneView({ repo, setup, step }: { repo: Repository; setup: Rec; step: Rec | undefined }) {
  const scene = useShape(repo, "setup", setup);
  if (!scene || scene.bodies.length > 0)
    return (
      <div class="sits">
        <SceneDrawing scene={scene} high={250} />
      </div>
    );
  const last = onNeedle(step) ? lastRead(repo, setup, step) : [];
  return (
    <div class="sits">
      <Picture scene={sceneFor(repo, setup, step, last)} />
    </div>
  );
}
