import { useState } from "preact/hooks";
import type { StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { type BookKind, bookKindNames, bookKinds } from "../book/kinds.ts";
import { measures, shownQuantity } from "../book/quantity.ts";
import { type BookRecord, RecordDialog } from "../book/record-form.tsx";
import { Care, Note, Opening, Section } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { TakeOut } from "../parts/take-out.tsx";
import { layoutSentence } from "../recording/layout-sentence.ts";
import { ReadAgain } from "../recording/read-again.tsx";
import { ask } from "../server.ts";
import { force } from "../shown-units.ts";
import { useResource } from "../use-resource.ts";
import { capital, count } from "../words.ts";

/** The bench book: ropes, spools, recipes, and what pulls and measures them. */
export default function BenchBook() {
  return (
    <>
      <Opening title="Ropes and bench">
        What specimens are made of, how they are spliced, and what pulls and measures them. Series refer to
        these.
      </Opening>
      {bookKindNames.map((kind) => (
        <KindSection key={kind} kind={kind} />
      ))}
      <Layouts />
      <Readings />
    </>
  );
}

/** The layouts that were kept for loggers; one that reads files wrongly can be taken out. */
function Layouts() {
  const answer = useResource<readonly StoredRecord<"layout">[]>("/api/records/layout");
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const layouts = answer?.ok === true ? answer.value : [];

  async function remove(layout: StoredRecord<"layout">): Promise<void> {
    const said = await ask("DELETE", `/api/records/layout/${layout.id}`);
    setProblems(said.ok ? [] : said.problems);
    announce(said.ok ? `${layout.name} taken out.` : `${layout.name} was not taken out.`);
  }

  return (
    <Section
      title="Layouts of loggers"
      margin={
        <Note>
          How the files of one logger are read, as you confirmed it once. A layout that fits a file is used
          without asking, and the file’s sheet says so. Recordings that are in the book keep the layout that
          they were read by.
        </Note>
      }
    >
      {answer?.ok === true && layouts.length === 0 && (
        <p class="empty">
          None yet. One is kept when you answer a question about a file and give its logger a name.
        </p>
      )}
      {layouts.length > 0 && (
        <ul class="contents">
          {layouts.map((one) => (
            <li key={one.id}>
              <span>
                {one.name} <span class="aside">{layoutSentence(one.layout)}</span>
              </span>
              <TakeOut name={one.name} onTakeOut={() => remove(one)} />
            </li>
          ))}
        </ul>
      )}
      <Problems heading="It stays in the book" problems={problems} />
    </Section>
  );
}

/** All recordings of the book read again, after a later version of the program reads better. */
function Readings() {
  const answer = useResource<readonly StoredRecord<"series">[]>("/api/records/series");
  const series = answer?.ok === true ? answer.value : [];
  return (
    <Section
      title="Reading the whole book again"
      margin={
        <Note>
          A reading names the method that made it. Where a later version of the program reads better, look
          first at what would change. Bytes, corrections by hand and published reports stay as they are.
        </Note>
      }
    >
      {answer?.ok === true && series.length === 0 && <p class="empty">No series yet.</p>}
      {series.length > 0 && <ReadAgain series={series} what="the whole book" />}
    </Section>
  );
}

function KindSection({ kind }: { readonly kind: BookKind }) {
  const answer = useResource<readonly BookRecord[]>(`/api/records/${kind}`);
  const [open, setOpen] = useState<BookRecord | "new">();
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const { one, many, why } = bookKinds[kind];
  // What was just kept is opened as it was kept, also before the list has been asked for anew.
  const [latest, setLatest] = useState<BookRecord>();
  const records = (answer?.ok === true ? answer.value : []).map((record) =>
    record.id === latest?.id && record.revision < latest.revision ? latest : record,
  );

  async function remove(record: BookRecord): Promise<void> {
    const said = await ask("DELETE", `/api/records/${kind}/${record.id}`);
    setProblems(said.ok ? [] : said.problems);
    announce(said.ok ? `${record.name} taken out.` : `${record.name} was not taken out.`);
  }

  return (
    <Section
      title={capital(many)}
      margin={
        kind === "hardware" ? (
          <Care title="Twice the expected peak" whence="Common practice, no published source">
            The bench’s weakest part must be stronger than the specimen, by a factor of two at least. Retire
            hardware after a fixed number of pulls.
          </Care>
        ) : (
          <Note>{why}</Note>
        )
      }
    >
      {answer?.ok === true && records.length === 0 && <p class="empty">No {many} yet.</p>}
      {answer?.ok === false && (
        <Problems heading={`The ${many} cannot be listed`} problems={answer.problems} />
      )}
      {records.length > 0 && (
        <ul class="contents">
          {records.map((record) => (
            <li key={record.id}>
              <span>
                <button type="button" class="plain entry" onClick={() => setOpen(record)}>
                  {record.name}
                </button>
                <span class="aside"> {inShort(record)}</span>
              </span>
              <TakeOut name={record.name} onTakeOut={() => remove(record)} />
            </li>
          ))}
        </ul>
      )}
      <Problems heading="It stays in the book" problems={problems} />
      <button type="button" onClick={() => setOpen("new")}>
        {capital(`new ${one}`)}
      </button>
      {open !== undefined && (
        <RecordDialog
          kind={kind}
          {...(open === "new" ? {} : { record: open })}
          onClose={() => setOpen(undefined)}
          onSaved={(record) => {
            setLatest(record);
            setOpen(undefined);
          }}
        />
      )}
    </Section>
  );
}

/** What matters most of a record, in one line. */
function inShort(record: BookRecord): string {
  const parts: string[] = [];
  if ("nominalDiameterMm" in record) {
    parts.push(shownQuantity(record.nominalDiameterMm, measures.mm));
    parts.push(
      record.ratedStrengthN === undefined
        ? "no rated strength"
        : `rated ${force(record.ratedStrengthN)}, ${record.ratedStrengthBasis === "not stated" ? "basis not stated" : record.ratedStrengthBasis}`,
    );
  }
  if ("legs" in record) {
    parts.push(record.kind, record.legs === 1 ? "1 leg" : `${record.legs} legs`);
    if (record.buryFullDiameters !== undefined) parts.push(`bury ${record.buryFullDiameters} d`);
  }
  if ("batch" in record && record.batch !== "")
    parts.push(/^batch/i.test(record.batch) ? record.batch : `batch ${record.batch}`);
  if ("lengthM" in record && record.lengthM !== undefined)
    parts.push(shownQuantity(record.lengthM, measures.m));
  if ("ownStrengthN" in record && record.ownStrengthN !== undefined)
    parts.push(`own strength ${force(record.ownStrengthN)}`);
  if ("form" in record) parts.push(record.form);
  if ("capacityN" in record && record.capacityN !== undefined) parts.push(`to ${force(record.capacityN)}`);
  if ("calibratedOn" in record && record.calibratedOn !== undefined)
    parts.push(`calibrated ${record.calibratedOn}`);
  if ("calibrationPoints" in record)
    parts.push(
      record.calibrationPoints.length === 0
        ? "no points of a certificate"
        : count(record.calibrationPoints.length, "point"),
    );
  if ("drive" in record) parts.push(record.drive, `cell ${record.cellPlacement}`);
  return parts.join(", ");
}
