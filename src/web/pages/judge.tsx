import { useCallback } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import type { CellFindings, SeriesFindings } from "../../findings/mod.ts";
import type { Warning } from "../../problem/mod.ts";
import { CellsTable } from "../judge/cells-table.tsx";
import { gistOfCells, gistOfPulls } from "../judge/gists.ts";
import { markedPulls } from "../judge/marked-pulls.ts";
import { PullTable } from "../judge/pull-table.tsx";
import { ReportFigure } from "../judge/report-figure.tsx";
import { isAsked, sectionOf } from "../judge/sections.ts";
import { Sentences } from "../judge/sentences.tsx";
import { useLater } from "../judge/use-later.ts";
import { NotACertificate } from "../parts/cautions.tsx";
import { Fold, FoldedSection } from "../parts/fold.tsx";
import { OnThisPage } from "../parts/on-this-page.tsx";
import { Note, Section, SeriesPage, Waiting } from "../parts/page.tsx";
import { Problems, Warnings } from "../parts/problems.tsx";
import { useResource } from "../use-resource.ts";
import { count } from "../words.ts";
import { LowerBounds } from "./lower-bounds.tsx";

const loadCauses = () => import("../judge/causes.tsx");

/** Judge: what the pulls show, in sentences first, then every pull as a mark, then the figures. */
export default function Judge() {
  const { params } = useRoute();
  const id = params["id"] ?? "";
  return (
    <SeriesPage
      key={id}
      id={id}
      title="Judge"
      chapter="4 of 6"
      intro="What the pulls show, and how sure that is."
    >
      {(overview) => <FindingsOf overview={overview} />}
    </SeriesPage>
  );
}

function FindingsOf({ overview }: { readonly overview: SeriesOverview }) {
  const { series } = overview;
  const answer = useResource<SeriesFindings>(`/api/series/${series.id}/findings`);
  // The sections that follow the first sentences are the larger part of the page.
  const causes = useLater(loadCauses);
  if (answer === undefined) return <Waiting text="Judging the pulls" />;
  if (!answer.ok) return <Problems heading="The series cannot be judged" problems={answer.problems} />;
  const findings = answer.value;
  const judged = findings.pulls.filter((pull) => pull.outcome !== undefined);
  if (judged.length === 0)
    return (
      <p class="empty">
        Nothing to judge yet: no pull has an outcome. <a href={`/series/${series.id}/pull`}>Say at Pull</a>{" "}
        which specimen each one was and what happened to it.
      </p>
    );
  const notes = footnotes(findings.cells);
  const beginning = findings.findings.filter(({ id }) => sectionOf(id) === undefined);
  const first = beginning.filter(({ id }) => isAsked(id));
  const further = beginning.filter(({ id }) => !isAsked(id));
  // What stands beside a finding already is not said again under all of them.
  const said = new Set(
    findings.findings.flatMap(({ warnings }) => warnings.map((warning) => warning.message)),
  );
  const unsaid = findings.warnings.filter((warning) => !said.has(warning.message));
  return (
    <>
      <OnThisPage />
      <Section
        title="What they show"
        margin={
          <>
            {series.simulated && (
              <Note>
                <span class="stamp">simulated</span> These pulls were made by a program, not on a bench.
              </Note>
            )}
            <NotACertificate />
          </>
        }
      >
        <Sentences findings={first} pulls={findings.pulls} seriesId={series.id} />
        {further.length > 0 && (
          <Fold
            id="further"
            summary={`${count(further.length, "further finding")}, of these pulls’ scatter and limits`}
          >
            <Sentences findings={further} pulls={findings.pulls} seriesId={series.id} />
          </Fold>
        )}
        <Warnings heading="Doubts about the series as a whole" warnings={unsaid} />
      </Section>
      <Section wide title="Every pull" id="every-pull">
        <Strip overview={overview} findings={findings} />
      </Section>
      {causes === undefined ? (
        <Waiting text="Fetching what mattered" />
      ) : (
        <causes.Causes overview={overview} findings={findings} />
      )}
      <FoldedSection
        title="The cells of the plan"
        id="the-cells-of-the-plan"
        gist={gistOfCells(findings.cells)}
        margin={
          <>
            <Note>
              <b>The {findings.statedBy.name}</b> is the strength that this series states. What it claims
              stands beside it below the table, and there it can be changed.
            </Note>
            <Note>
              <b>Mean − 3 SD</b> is what the trade often states. How much it promises depends on the number of
              pulls, and with few it promises little.
            </Note>
            <Note>
              <b>Line efficiency</b> is of the rope’s rated strength; <b>leg efficiency</b> of the legs times
              it.
            </Note>
          </>
        }
      >
        <CellsTable overview={overview} cells={findings.cells} statedBy={findings.statedBy} />
        {notes.length > 0 && (
          <ul class="footnotes">
            {notes.map((note) => (
              <li key={note.message}>† {note.message}</li>
            ))}
          </ul>
        )}
      </FoldedSection>
      <LowerBounds findings={findings} series={series} />
      <FoldedSection title="Pull by pull" id="pull-by-pull" gist={gistOfPulls(findings)}>
        <PullTable overview={overview} findings={findings} />
      </FoldedSection>
      <div class="section">
        <div class="body">
          <a class="button" href={`/series/${series.id}/tell`}>
            On to the report
          </a>
        </div>
      </div>
    </>
  );
}

/** The figure of the report, with a ring about each pull that the finding asked about rests on. */
function Strip({
  overview,
  findings,
}: {
  readonly overview: SeriesOverview;
  readonly findings: SeriesFindings;
}) {
  const ringed = markedPulls.value?.pulls;
  const draw = useCallback(
    ({ figureStrip }: typeof import("../figures.ts"), width: number) =>
      figureStrip(overview.series, findings, { width, ...(ringed === undefined ? {} : { ringed }) }),
    [overview.series, findings, ringed],
  );
  return (
    <ReportFigure
      tall
      label="every pull as a mark"
      save={{ seriesId: overview.series.id, kind: "every-pull" }}
      draw={draw}
    />
  );
}

/** Each doubt about a statistic once, under the table. */
function footnotes(cells: readonly CellFindings[]): readonly Warning[] {
  const seen = new Map<string, Warning>();
  for (const cell of cells)
    for (const value of Object.values(cell))
      if (
        typeof value === "object" &&
        value !== null &&
        "ok" in value &&
        value.ok === true &&
        "warnings" in value
      )
        for (const warning of value.warnings as readonly Warning[]) seen.set(warning.message, warning);
  return [...seen.values()];
}
