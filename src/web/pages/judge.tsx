import { useEffect, useMemo, useState } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import type { CellFindings, SeriesFindings } from "../../findings/mod.ts";
import type { Warning } from "../../problem/mod.ts";
import { outcomeKinds } from "../../series/mod.ts";
import { levelText } from "../book/specimen-rows.ts";
import { NotACertificate } from "../parts/cautions.tsx";
import { Given } from "../parts/given.tsx";
import { Mark } from "../parts/marks.tsx";
import { Note, Section, SeriesPage, Waiting } from "../parts/page.tsx";
import { Problems, Warnings } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { useWidth } from "../parts/use-width.ts";
import { force, forceFigure, forceUnit, percent } from "../shown-units.ts";
import { useResource } from "../use-resource.ts";
import { capital, count } from "../words.ts";
import { LowerBounds } from "./lower-bounds.tsx";

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
  // What stands beside a finding already is not said again under all of them.
  const said = new Set(
    findings.findings.flatMap(({ warnings }) => warnings.map((warning) => warning.message)),
  );
  const unsaid = findings.warnings.filter((warning) => !said.has(warning.message));
  return (
    <>
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
        <ol class="findings">
          {findings.findings.map((finding) => (
            <li key={finding.id}>
              <p class="sentence">{finding.sentence}</p>
              <p class="by">
                {finding.method} Rests on {count(finding.pulls.length, "pull")}.
              </p>
              <Warnings warnings={finding.warnings} />
            </li>
          ))}
        </ol>
        <Warnings heading="Doubts about the series as a whole" warnings={unsaid} />
      </Section>
      <Section wide title="Every pull">
        <Strip overview={overview} findings={findings} />
      </Section>
      <Section
        wide
        title="The cells of the plan"
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
        <Cells overview={overview} cells={findings.cells} statedBy={findings.statedBy} />
        {notes.length > 0 && (
          <ul class="footnotes">
            {notes.map((note) => (
              <li key={note.message}>† {note.message}</li>
            ))}
          </ul>
        )}
      </Section>
      <LowerBounds findings={findings} series={series} />
      <Section wide title="Pull by pull">
        <PullTable overview={overview} findings={findings} />
        <a class="button" href={`/series/${series.id}/tell`}>
          On to the report
        </a>
      </Section>
    </>
  );
}

/** The figure of the report, drawn as wide as the page. */
function Strip({
  overview,
  findings,
}: {
  readonly overview: SeriesOverview;
  readonly findings: SeriesFindings;
}) {
  const { place, width } = useWidth<HTMLDivElement>();
  const [draw, setDraw] = useState<typeof import("../figures.ts").figureStrip>();
  // The drawing comes after the sentences: it is the larger part of the page.
  useEffect(() => {
    import("../figures.ts").then(({ figureStrip }) => setDraw(() => figureStrip));
  }, []);
  const drawing = useMemo(
    () =>
      width === 0 || draw === undefined
        ? ""
        : draw(overview.series, findings, { width: Math.max(320, Math.min(width, 1100)) }),
    [overview.series, findings, width, draw],
  );
  return (
    <section
      ref={place}
      class="figure-from-report"
      aria-label="Figure: every pull as a mark"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard
      tabIndex={0}
      // The drawing is our own: src/report escapes every text that goes into it.

      dangerouslySetInnerHTML={{ __html: drawing }}
    />
  );
}

function Cells(props: {
  readonly overview: SeriesOverview;
  readonly cells: readonly CellFindings[];
  readonly statedBy: SeriesFindings["statedBy"];
}) {
  const { cells } = props;
  const { factors } = props.overview.series;
  const unit = forceUnit.value;
  return (
    <Scroll label="Statistics of each cell">
      <table class="cells">
        <thead>
          <tr>
            {factors.map((factor) => (
              <th key={factor.name} scope="col">
                {factor.unit === "" ? factor.name : `${factor.name}, ${factor.unit}`}
              </th>
            ))}
            {factors.length === 0 && <th scope="col">Cell</th>}
            <th scope="col">Outcomes</th>
            <th scope="col" class="number">
              n
            </th>
            <th scope="col" class="number">
              Mean, {unit}
            </th>
            <th scope="col" class="number">
              95 % interval of the mean, {unit}
            </th>
            <th scope="col" class="number">
              SD, {unit}
            </th>
            <th scope="col" class="number">
              CV
            </th>
            <th scope="col" class="number">
              Lowest, {unit}
            </th>
            <th scope="col" class="number">
              Mean − 3 SD, {unit}
            </th>
            <th scope="col" class="number">
              {capital(props.statedBy.name)}, {unit}
            </th>
            <th scope="col" class="number">
              Line efficiency
            </th>
            <th scope="col" class="number">
              Leg efficiency
            </th>
          </tr>
        </thead>
        <tbody>
          {cells.map((cell) => (
            <tr key={cell.label}>
              <CellName cell={cell} names={factors.map((factor) => factor.name)} />
              <td>
                <Outcomes cell={cell} />
              </td>
              <td class="number">{cell.n}</td>
              <td class="number strong">
                <Given of={cell.meanN}>{forceFigure}</Given>
              </td>
              <td class="number">
                <Given of={cell.meanIntervalN}>
                  {([low, high]) => `${forceFigure(low)} to ${forceFigure(high)}`}
                </Given>
              </td>
              <td class="number">
                <Given of={cell.sdN}>{forceFigure}</Given>
              </td>
              <td class="number">
                <Given of={cell.cv}>{percent}</Given>
              </td>
              <td class="number">
                <Given of={cell.lowestN}>{forceFigure}</Given>
              </td>
              <td class="number">
                <Given of={cell.meanMinus3SdN}>{forceFigure}</Given>
              </td>
              <td class="number">
                <Given of={cell.bound}>{({ boundN }) => forceFigure(boundN)}</Given>
                {cell.bound.ok && cell.bound.value.stopped > 0 && (
                  <small>{cell.bound.value.stopped} stopped in it</small>
                )}
              </td>
              <td class="number">
                <Given of={cell.meanLineEfficiency}>{percent}</Given>
              </td>
              <td class="number">
                <Given of={cell.meanLegEfficiency}>{percent}</Given>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}

/** A cell of the plan by its levels, one column each; any other cell by its words across them. */
function CellName({ cell, names }: { readonly cell: CellFindings; readonly names: readonly string[] }) {
  const levels = names.map((name) => cell.levels[name]);
  if (names.length === 0 || levels.includes(undefined))
    return (
      <th scope="row" colSpan={Math.max(1, names.length)}>
        {cell.label}
      </th>
    );
  return (
    <>
      {levels.map((level, at) =>
        at === 0 ? (
          <th key={names[at]} scope="row">
            {levelText(level ?? "")}
          </th>
        ) : (
          <td key={names[at]}>{levelText(level ?? "")}</td>
        ),
      )}
    </>
  );
}

function Outcomes({ cell }: { readonly cell: CellFindings }) {
  const there = outcomeKinds.filter((kind) => cell.outcomes[kind] > 0);
  if (there.length === 0) return <span class="refused">none said</span>;
  return (
    <span class="outcome-counts">
      {there.map((kind) => (
        <span key={kind}>
          <Mark kind={kind} /> {cell.outcomes[kind]} {kind}
        </span>
      ))}
    </span>
  );
}

/** Every pull with what it was judged to be; those that are left out stand apart, with the reason. */
function PullTable({
  overview,
  findings,
}: {
  readonly overview: SeriesOverview;
  readonly findings: SeriesFindings;
}) {
  const used = findings.pulls.filter((pull) => pull.use !== "left out");
  const out = findings.pulls.filter((pull) => pull.use === "left out");
  const row = (pull: SeriesFindings["pulls"][number]) => (
    <tr key={pull.pullId} class={pull.use === "left out" ? "left-out" : undefined}>
      <th scope="row">
        <a href={`/series/${overview.series.id}/pull/${pull.pullId}`}>
          {pull.specimenLabel ?? `pull ${pull.order ?? "?"}`}
        </a>
      </th>
      <td>{cellOf(findings, pull.pullId)}</td>
      <td>
        {pull.outcome === undefined ? (
          "not said"
        ) : (
          <span class="outcome-counts">
            <span>
              <Mark kind={pull.outcome.kind} /> {pull.outcome.kind}
              {"place" in pull.outcome && pull.outcome.place !== "" ? `, ${pull.outcome.place}` : ""}
            </span>
          </span>
        )}
      </td>
      <td class="number strong">
        {pull.strengthN === undefined ? <span class="refused">none read</span> : force(pull.strengthN)}
      </td>
      <td class="number">{pull.lineEfficiency === undefined ? "–" : percent(pull.lineEfficiency)}</td>
      <td class="number">{pull.legEfficiency === undefined ? "–" : percent(pull.legEfficiency)}</td>
      <td>
        {pull.use === "lower bound" ? "held at least this" : (pull.whyLeftOut ?? "")}
        {pull.strengthSource === "typed" ? " typed" : ""}
        {pull.warnings.length > 0 ? ` ${count(pull.warnings.length, "doubt")}` : ""}
      </td>
    </tr>
  );
  return (
    <Scroll label="Every pull">
      <table>
        <thead>
          <tr>
            <th scope="col">Specimen</th>
            <th scope="col">Cell</th>
            <th scope="col">Outcome</th>
            <th scope="col" class="number">
              Strength
            </th>
            <th scope="col" class="number">
              Line efficiency
            </th>
            <th scope="col" class="number">
              Leg efficiency
            </th>
            <th scope="col">Remarks</th>
          </tr>
        </thead>
        <tbody>{used.map(row)}</tbody>
        {out.length > 0 && (
          <tbody>
            <tr>
              <th colSpan={7} scope="rowgroup" class="apart">
                Left out of every statistic, and why
              </th>
            </tr>
            {out.map(row)}
          </tbody>
        )}
      </table>
    </Scroll>
  );
}

function cellOf(findings: SeriesFindings, pullId: string): string {
  return findings.cells.find((cell) => cell.pulls.includes(pullId))?.label ?? "";
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
