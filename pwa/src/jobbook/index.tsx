// The job book's screens: one file that arrives after the first paint.
import type { ScreenProps } from "../screen/load";
import { JobPage } from "./keptjob";
import { Compare } from "./compare";
import { Deleted } from "./deleted";
import { Invented } from "./demo";
import { Find } from "./find";
import { EditRecord, NewRecord } from "./form";
import { History } from "./history";
import { JobRecord } from "./job";
import { Jobs, Recent } from "./jobs";
import { Mill } from "./mill";
import { Noting } from "./noting";
import { Readings } from "./readings";
import { RecordPage } from "./record";
import { Repeat } from "./repeat";
import { SetupPage } from "./setup";
import { Shop } from "./shop";
import { Tap } from "./tap";

export { Outcome } from "./outcome";
export { prefill } from "./prefill";

export function Screen(p: ScreenProps) {
  return (
    <>
      <Invented id={p.id} />
      <One {...p} />
    </>
  );
}

function One({ view, id, more }: ScreenProps) {
  switch (view) {
    case "mill":
      return <Mill />;
    case "recent":
      return <Recent />;
    case "jobs":
      return <Jobs />;
    case "job":
      return <JobRecord id={id} />;
    case "jobname":
      return <JobPage job={id} />;
    case "setup":
      return <SetupPage id={id} />;
    case "readings":
      return <Readings id={id} more={more} />;
    case "tap":
      return <Tap id={id} />;
    case "edit":
      return <EditRecord id={id} />;
    case "new":
      return <NewRecord id={id} more={more} />;
    case "shop":
      return <Shop id={id} />;
    case "find":
      return <Find more={more} />;
    case "deleted":
      return <Deleted />;
    case "history":
      return <History id={id} />;
    case "repeat":
      return <Repeat id={id} />;
    case "compare":
      return <Compare id={id} />;
    case "note":
      return <Noting id={id} />;
    default:
      return <RecordPage id={id} />;
  }
}
