import type { Scene } from "./face";

/** How it sits, for recognising it. */
export function Picture({ scene }: { scene: Scene }) {
  return (
    <svg class="scene" viewBox="0 0 200 80" aria-hidden="true">
      <path class="s-metal" d={scene.metal} />
      <path class="s-thin" d={scene.thin} />
      <path class="s-part" d={scene.part} />
      <path class="s-ink" d={scene.ink} />
      <path class="s-dye" d={scene.dye} />
    </svg>
  );
}
