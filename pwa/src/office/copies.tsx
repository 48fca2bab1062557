import { Fold, Sign } from "../ui/parts";
import { O } from "../text/office";

const S = O.copies;

/** One direction of a copy, in the office machine's own words. */
interface Leg {
  state: string;
  line: string;
  aside?: { id: string; reason: string }[];
  skew?: string;
}

export interface Copy {
  id: string;
  name: string;
  out?: Leg;
  in?: Leg;
}

const legs = ({ out, in: into }: Copy) =>
  [
    { way: S.out, leg: out },
    { way: S.in, leg: into },
  ].flatMap(({ way, leg }) => (leg ? [{ way, leg }] : []));

/** Whether a copy is not kept up. */
export const lags = (copy: Copy): boolean =>
  legs(copy).some(({ leg }) => leg.state === "failing" || leg.aside !== undefined);

/** Other places that have the same records, and how far they are. */
export function Copies({ list }: { list: readonly Copy[] }) {
  if (list.length === 0) return null;
  const worstFirst = [...list].sort((a, b) => Number(lags(b)) - Number(lags(a)));
  return (
    <section class="card" id="copies">
      <h2>{S.title}</h2>
      <ul class="device-list">
        {worstFirst.map((copy) => (
          <li key={copy.id}>
            <p>
              <Sign level={lags(copy) ? "caution" : "good"} size={20} /> <b class="address">{copy.name}</b>
            </p>
            {legs(copy).map(({ way, leg }) => (
              <div key={way}>
                <p class="quiet">
                  {way}: {leg.line}
                </p>
                {leg.skew && <p class="quiet">{leg.skew}</p>}
                {leg.aside && (
                  <Fold title={S.aside(leg.aside.length)}>
                    <dl class="entries">
                      {leg.aside.map(({ id, reason }) => (
                        <div key={id}>
                          <dt class="address">{id}</dt>
                          <dd>{reason}</dd>
                        </div>
                      ))}
                    </dl>
                  </Fold>
                )}
              </div>
            ))}
          </li>
        ))}
      </ul>
    </section>
  );
}
