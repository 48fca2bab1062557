// The job book's screens: one file, imported lazily.
import type { ComponentType } from "preact";
import type { ScreenProps } from "../screen/load";
import { JobPage } from "./keptjob";
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
import { RecordPage } from "./record";
import { Repeat } from "./repeat";
import { SetupPage } from "./setup";
import { Shop } from "./shop";
import { Tap } from "./tap";

export { Mill, pay } from "./mill";

const views: Record<string, ComponentType<ScreenProps>> = {
  jobs: Jobs,
  job: JobRecord,
  jobname: JobPage,
  setup: SetupPage,
  readings: Readings,
  tap: Tap,
  edit: EditRecord,
  new: NewRecord,
  shop: Shop,
  find: Find,
  deleted: Deleted,
  look: Look,
  history: History,
  repeat: Repeat,
  compare: Compare,
  note: Noting,
};

export function Screen(p: ScreenProps) {
  const One = views[p.view] ?? RecordPage;
  return (
    <>
      <Invented id={p.id} />
      <One {...p} />
    </>
  );
}
