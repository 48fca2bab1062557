import { useApp, useLoaded } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { href } from "../screen/route";
import { W } from "../text/words";
import { SheetForm } from "./sheet-form";

/**
 * A worksheet's page: waits for its description, and for the kept record when it is opened from
 * one.
 */
export function SheetPage({
  name,
  recordId,
  job,
  from,
}: {
  name: string;
  recordId?: string;
  job?: string;
  /** The setup or step it was opened from. */
  from?: string;
}) {
  const { describe, describeFault, again, book, bookFault, load } = useApp();
  const record = useLoaded(() => (recordId ? book?.get(recordId) : undefined), [book, recordId]);
  const given = useLoaded(
    () =>
      from && book
        ? load.fromJob().then(async (s) => ({
            ...(await s.prefill(book.repo, name, from)),
            Outcome: s.Outcome,
          }))
        : undefined,
    [book, from, name],
  );
  if (describeFault) {
    return (
      <Blank kind="broken" title={W.home.failed} help={describeFault}>
        <Button go label={W.home.again} act={again} />
      </Blank>
    );
  }
  if (!describe) return <Blank kind="loading" title={W.home.loading} />;
  const sheet = describe.worksheets.find((s) => s.name === name);
  if (!sheet) {
    return (
      <Blank kind="empty" title={W.sheet.missing(name)} help={W.sheet.missingHelp}>
        <Button go label={W.fault.start} href={href({ page: "home" })} />
      </Blank>
    );
  }
  if (recordId) {
    if (bookFault || record.fault)
      return <Blank kind="broken" title={W.jobs.failed} help={bookFault || record.fault} />;
    if (record.loading) return <Blank kind="loading" title={W.jobs.loading} />;
    if (!record.value) return <Blank kind="empty" title={W.jobs.unreadable} />;
    return <SheetForm key={recordId} sheet={sheet} record={record.value} />;
  }
  if (from && !bookFault) {
    if (given.loading && !given.fault) return <Blank kind="loading" title={W.sheet.fromJob} />;
    // What the job could not give is typed by hand.
    const takes = given.value ?? { inputs: {}, from: {}, links: {}, job: "" };
    return (
      <SheetForm
        key={`${name} ${from}`}
        sheet={sheet}
        given={{ ...takes, id: from, fault: given.fault }}
        Outcome={given.value?.Outcome}
        job={takes.job}
      />
    );
  }
  return <SheetForm key={name} sheet={sheet} job={job} />;
}
