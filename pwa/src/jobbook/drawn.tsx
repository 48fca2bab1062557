import type { ComponentChildren } from "preact";
import { facePlan, scenePlan, type Face, type Plan, type Scene, type Ways } from "../drawing/face";
import type { Picture } from "../drawing/pad";
import { Sheet } from "../drawing/parts";
import { px } from "../drawing/scale";

/** A picture of a record with its words. */
export function Drawn({ picture, children }: { picture: Picture; children?: ComponentChildren }) {
  return (
    <Sheet width={picture.w} height={picture.h} says={picture.says} marks={picture.marks}>
      {picture.words.map((w, i) => (
        <text key={i} class={`d-tag d-over ${w.k}`} x={px(w.x)} y={px(w.y)} text-anchor={w.a}>
          {w.s}
        </text>
      ))}
      {children}
    </Sheet>
  );
}

/** How far from a place a touch may land and still mean it, in pixels of the drawing. */
const NEAR = 44;

/** A face that is touched: the nearest place is chosen, or where there is none, the spot is told. */
export function FaceDrawing({
  face,
  touched,
  spot,
  ...ways
}: Ways & {
  face: Face;
  /** The place that was touched, or "". */
  touched?: (key: string) => void;
  /** Where on the face it was touched. */
  spot?: (x: number, y: number) => void;
}) {
  const plan = facePlan(face, ways);
  const click = (e: MouseEvent) => {
    const svg = (e.currentTarget as HTMLElement).querySelector("svg")!.getBoundingClientRect();
    const s = plan.w / svg.width;
    const [x, y] = [(e.clientX - svg.left) * s, (e.clientY - svg.top) * s];
    if (spot) return spot((x - plan.view.x(0)) / plan.view.s, (plan.view.y(0) - y) / plan.view.s);
    touched?.(nearest(plan, x, y));
  };
  return (
    <div class="picture face-picture" onClick={click}>
      <Drawn picture={plan}>
        {plan.places.map((p) => (
          <circle
            key={p.key}
            class="face-spot"
            data-place={p.key}
            cx={px(p.x)}
            cy={px(p.y)}
            r={px(Math.min(20, Math.max(8, p.r)))}
          />
        ))}
      </Drawn>
    </div>
  );
}

function nearest(plan: Plan, x: number, y: number): string {
  let [best, far] = ["", NEAR];
  for (const p of plan.places) {
    const d = Math.max(0, Math.hypot(p.x - x, p.y - y) - Math.min(p.r, 16));
    if (d < far) [best, far] = [p.key, d];
  }
  return best;
}

/** A setup in two views that line up; until its shape has come the room for it. */
export function SceneDrawing({ scene, high = 200 }: { scene: Scene | undefined; high?: number }) {
  const plan = scene && scenePlan(scene, high);
  if (!plan) return <div class="drawing-wait" style={{ minHeight: `${high}px` }} />;
  return (
    <div class="picture">
      <Drawn picture={plan} />
    </div>
  );
}
