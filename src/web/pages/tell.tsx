import { useState } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import type { SeriesOverview, StoredReport } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { Care, Note, Section, SeriesPage } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { ask, changes } from "../server.ts";
import { FiguresToSave } from "../tell/figures-to-save.tsx";
import { count, whenText } from "../words.ts";

/** Tell: the report as it would be published, and what was published. */
export default function Tell() {
  const { params } = useRoute();
  const id = params["id"] ?? "";
  return (
    <SeriesPage
      key={id}
      id={id}
      title="Tell"
      chapter="5 of 6"
      intro="One page that holds all of it: question, method, every pull, figures, findings, and the data to download."
    >
      {(overview) => <ReportsOf overview={overview} />}
    </SeriesPage>
  );
}

function ReportsOf({ overview }: { readonly overview: SeriesOverview }) {
  const { series, reports, pulls } = overview;
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();
  const [done, setDone] = useState<StoredReport>();
  const open = pulls.filter((pull) => pull.specimenId === undefined || pull.outcome === undefined).length;

  async function publish(): Promise<void> {
    setProblems([]);
    const answer = await ask<StoredReport>("POST", `/api/series/${series.id}/reports`);
    if (!answer.ok) return setProblems(answer.problems);
    setDone(answer.value);
    announce(`Revision ${answer.value.number} is published.`);
  }

  const numbered = [...reports].sort((a, b) => b.number - a.number);
  return (
    <>
      <Section
        title="Publish"
        margin={
          <>
            <Note>
              Publishing freezes the page under the next number, here in the book. It goes nowhere by itself:
              save the page and put it where others can read it. It is one file and fetches nothing.
            </Note>
            {open > 0 && (
              <Care title="Not all is said">
                {count(open, "pull")} of {pulls.length} lack a specimen or an outcome. They stand in the
                report as what they are and count in no statistic.
              </Care>
            )}
          </>
        }
      >
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
        <Problems heading="Nothing was published" problems={problems} />
        {numbered.length === 0 ? (
          <p class="empty">Nothing published yet. Below is the page as it would be.</p>
        ) : (
          <ul class="contents">
            {numbered.map((report) => (
              <li key={report.id}>
                <a class="entry" href={`/reports/${report.id}`} target="_blank" rel="noreferrer">
                  Revision {report.number}
                </a>
                <span class="aside">
                  {whenText(report.publishedAt)},{" "}
                  <a href={`/reports/${report.id}?download=1`} target="_self" download>
                    save the page
                  </a>
                </span>
              </li>
            ))}
          </ul>
        )}
      </Section>
      <FiguresToSave seriesId={series.id} />
      <Section wide title="The page as it would be now">
        <iframe
          key={changes.value}
          class="report-page"
          title={`Report of ${series.title}, as it would be published now`}
          src={`/api/series/${series.id}/report`}
          sandbox="allow-downloads"
        />
      </Section>
    </>
  );
}
