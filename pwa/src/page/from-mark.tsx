import { W } from "../text/words";

/** A small sign on a box whose value the job gave. Who comes to the box is told where from. */
export function FromMark({ id, from }: { id: string; from: string }) {
  return (
    <span class="from" title={from}>
      <span class="unseen" id={id}>
        {W.page.from(from)}
      </span>
    </span>
  );
}
