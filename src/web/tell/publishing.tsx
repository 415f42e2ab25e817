import { useRef, useState } from "preact/hooks";
import type { SeriesOverview, StoredReport } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { LongField } from "../parts/field.tsx";
import { Care, Note, Section } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { ask } from "../server.ts";
import { count } from "../words.ts";
import { Revision } from "./revision.tsx";

/** Publishing: the next revision with its reason, every revision with what it changed, and what can be taken away. */
export function Publishing({ overview }: { readonly overview: SeriesOverview }) {
  const { series, reports, pulls, imported } = overview;
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [note, setNote] = useState("");
  // What was typed last, also where the hand is faster than the page.
  const typed = useRef("");
  const [busy, once] = useOneAtATime();
  const [done, setDone] = useState<StoredReport>();
  const open = pulls.filter((pull) => pull.specimenId === undefined || pull.outcome === undefined).length;
  const numbered = [...reports].sort((a, b) => b.number - a.number);

  function write(text: string): void {
    typed.current = text;
    setNote(text);
  }

  async function publish(): Promise<void> {
    setProblems([]);
    const path = `/api/series/${series.id}/reports`;
    const answer = await ask<StoredReport>("POST", path, { note: typed.current });
    if (!answer.ok) return setProblems(answer.problems);
    setDone(answer.value);
    write("");
    announce(`Revision ${answer.value.number} is published.`);
  }

  return (
    <Section
      title="Publish"
      margin={
        <>
          <Note>
            Publishing freezes data, method versions and text under the next number, here in the book. It goes
            nowhere by itself: save the page, or the bundle with everything it rests on, and put it where
            others can get it. A later revision says what it changed.
          </Note>
          {imported !== undefined && (
            <Note>
              This series came from a bundle
              {imported.origin.tester === "" ? "" : ` of ${imported.origin.tester}`}, “{imported.origin.title}
              ”
              {imported.origin.revision === undefined
                ? ", unpublished"
                : `, revision ${imported.origin.revision}`}
              . What you publish of it says so.
            </Note>
          )}
          {open > 0 && (
            <Care title="Not all is said">
              {count(open, "pull")} of {pulls.length} lack a specimen or an outcome. They stand in the report
              as what they are and count in no statistic.
            </Care>
          )}
        </>
      }
    >
      {numbered.length > 0 && (
        <LongField
          label="Why this revision"
          hint="In your words; it stands on the page. What changed is listed by itself."
          rows={2}
          value={note}
          onInput={write}
        />
      )}
      <div class="buttons">
        <button type="button" class="main large" disabled={busy} onClick={() => void once(publish)}>
          Publish revision {(numbered[0]?.number ?? 0) + 1}
        </button>
        {done !== undefined && (
          <a class="button" href={`/reports/${done.id}`} target="_blank" rel="noreferrer">
            Open revision {done.number}
          </a>
        )}
      </div>
      <p>
        To take away as it stands now:{" "}
        <a href={`/api/series/${series.id}/tables.xlsx`} target="_self" download>
          the tables as a spreadsheet
        </a>{" "}
        (XLSX; no text in it is a formula),{" "}
        <a href={`/api/series/${series.id}/bundle`} target="_self" download>
          everything as a bundle
        </a>{" "}
        (a data package of tables, recordings and pictures, for another book).
      </p>
      <Problems heading="Nothing was published" problems={problems} />
      {numbered.length === 0 ? (
        <p class="empty">Nothing published yet. Below is the page as it would be.</p>
      ) : (
        <ul class="contents revisions">
          {numbered.map((report) => (
            <Revision key={report.id} report={report} />
          ))}
        </ul>
      )}
    </Section>
  );
}
