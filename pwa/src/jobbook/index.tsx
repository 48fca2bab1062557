// The job book's screens: one file, imported lazily.
import type { ComponentType } from "preact";
import type { ScreenProps } from "../screen/load";
import { Begin } from "./begin";
import { JobPage } from "./keptjob";
import { Choose } from "./clash";
import { Compare } from "./compare";
import { Deleted } from "./deleted";
import { Invented } from "./demo";
import { Find } from "./find";
import { EditRecord, NewRecord } from "./form";
import { History } from "./history";
import { JobRecord } from "./job";
import { Jobs } from "./jobs";
import { Look } from "./look";
import { Noting } from "./noting";
import { Readings } from "./readings";
import { Placing } from "./placing";
import { RecordPage } from "./record";
import { Repeat } from "./repeat";
import { SetupPage } from "./setup";
import { ReadNow, SharedPhotos } from "./shared";
import { Shop } from "./shop";
import { Spot } from "./spot";
import { StockPage } from "./stockpage";
import { Tap } from "./tap";

export { Mill, pay } from "./mill";

const views: Record<string, ComponentType<ScreenProps>> = {
  jobs: Jobs,
  job: JobRecord,
  jobname: JobPage,
  begin: Begin,
  stock: StockPage,
  setup: SetupPage,
  readings: Readings,
  tap: Tap,
  edit: EditRecord,
  new: NewRecord,
  shop: Shop,
  spot: Spot,
  find: Find,
  deleted: Deleted,
  look: Look,
  clash: Choose,
  history: History,
  repeat: Repeat,
  compare: Compare,
  note: Noting,
  place: Placing,
  shared: SharedPhotos,
};

/** Screens of the mill say in a word that their job is invented. */
const brief = ["setup", "readings", "tap", "note", "spot"];

export function Screen(p: ScreenProps) {
  const One = p.view === "readings" && !p.id ? ReadNow : (views[p.view] ?? RecordPage);
  return (
    <>
      {!brief.includes(p.view) && <Invented id={p.id} />}
      <One {...p} />
    </>
  );
}
