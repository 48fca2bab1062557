import { Pictogram } from "../ui/pictograms";
import { useApp, useLoaded } from "./context";

/**
 * The picture on the best answer's card: the record drawn small with one place of it lit, where it
 * has one. Until that has come, or where there is nothing to draw, its kind stands there.
 */
export function PlaceDrawing({
  id,
  place = "",
  kind,
}: {
  id: string;
  place?: string | undefined;
  kind: string;
}) {
  const { load } = useApp();
  const { value } = useLoaded(() => load.screens("spot"), [load]);
  const sign = <Pictogram name={kind} or="note" size={64} />;
  return (
    <span class="place-drawing" data-record={id} data-place={place}>
      {value ? <value.Screen key={id + place} view="spot" id={id} more={{ place, kind }} /> : sign}
    </span>
  );
}
