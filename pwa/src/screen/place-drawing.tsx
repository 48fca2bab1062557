import { Pictogram } from "../ui/pictograms";

/**
 * The picture on the best answer's card: the record drawn small with one place of it lit, where it
 * has one.
 */
export function PlaceDrawing({ id, place, kind }: { id: string; place: string | undefined; kind: string }) {
  return (
    <span class="place-drawing" data-record={id} data-place={place}>
      <Pictogram name={kind} or="note" size={64} />
    </span>
  );
}
