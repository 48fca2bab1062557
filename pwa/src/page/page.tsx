import type { ScreenProps } from "../screen/load";
import { href, type SheetView } from "../screen/route";
import { useApp, useLoaded } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { W } from "../text/words";
import { PageForm } from "./page-form";
import { useFromJob } from "./use-job";
import { pageOf } from "./ways";

/**
 * A worksheet's page: waits for its description, and for the kept record when it is opened from
 * one.
 */
export function Screen({ id: name, more }: ScreenProps) {
  const { record: recordId, job, from } = more;
  const view = more["view"] as SheetView | undefined;
  const { describe, describeFault, again, book, bookFault } = useApp();
  const record = useLoaded(() => (recordId ? book?.get(recordId) : undefined), [book, recordId]);
  const page = describe && pageOf(describe, name);
  const { job: fromJob, waits } = useFromJob({ page, from, runs: !recordId && !job });
  if (describeFault) {
    return (
      <Blank kind="broken" title={W.home.failed} help={describeFault}>
        <Button go label={W.home.again} act={again} />
      </Blank>
    );
  }
  if (!describe) return <Blank kind="loading" title={W.home.loading} />;
  if (!page) {
    return (
      <Blank kind="empty" title={W.sheet.missing(name)} help={W.sheet.missingHelp}>
        <Button go label={W.fault.start} href={href({ page: "home" })} />
      </Blank>
    );
  }
  const at = (to: SheetView | undefined) =>
    href({ page: "sheet", sheet: name, record: recordId, job, from, view: to });
  const shared = { describe, page, opened: name, view, viewHref: at };
  if (recordId) {
    if (bookFault || record.fault)
      return <Blank kind="broken" title={W.jobs.failed} help={bookFault || record.fault} />;
    if (record.loading) return <Blank kind="loading" title={W.jobs.loading} />;
    if (!record.value) return <Blank kind="empty" title={W.jobs.unreadable} />;
    return <PageForm key={recordId} {...shared} record={record.value} />;
  }
  if (waits) return <Blank kind="loading" title={W.sheet.fromJob} />;
  return <PageForm key={`${name} ${fromJob?.id ?? ""}`} {...shared} job={job} fromJob={fromJob} />;
}
