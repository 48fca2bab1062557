import { nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { href } from "../screen/route";
import { useApp, useLoaded } from "../screen/context";
import { Button } from "../ui/controls";
import { B } from "../text/jobbook";
import { ask } from "./prefill";

const H = B.hooks;

/**
 * The worksheets that use the whole job: for a part its fixtures and its rough, for a job its chain
 * of setups.
 */
export function Ahead({ repo, part, job, setup }: { repo: Repository; part?: Rec; job?: Rec; setup?: Rec }) {
  const { describe } = useApp();
  const to = (sheet: string, from: string, label: string) =>
    describe?.worksheets.some((s) => s.name === sheet) ? (
      <Button key={sheet + from} label={label} href={href({ page: "sheet", sheet, from })} />
    ) : null;
  const features = repo.all("feature").filter((f) => text(f, "part") === part?.id);
  const can = useLoaded(
    () =>
      part &&
      ask<{ faces: { face: string; feature: string }[]; solid: boolean }>(repo, "ahead", { part: part.id }),
    [repo, part?.id, ...features],
  ).value;
  const keys = [
    ...(can?.faces ?? []).map(({ face, feature }) => to("match", feature, H.match(face))),
    part && can?.solid && to("cleanup", (setup ?? part).id, H.cleanup),
    job && to("chain", job.id, H.chain),
  ].filter(Boolean);
  if (keys.length === 0) return null;
  return (
    <section class="card" aria-label={H.title}>
      <h2>
        {H.title}
        {part && !setup && job === undefined && <small> {nameOf(part)}</small>}
      </h2>
      <p class="foot-links">{keys}</p>
    </section>
  );
}
