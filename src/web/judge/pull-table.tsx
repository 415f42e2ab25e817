import type { SeriesOverview } from "../../app/mod.ts";
import type { SeriesFindings } from "../../findings/mod.ts";
import { Mark } from "../parts/marks.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { force, percent } from "../shown-units.ts";
import { count } from "../words.ts";
import { markedPulls } from "./marked-pulls.ts";

/** Every pull with what it was judged to be; those that are left out stand apart, with the reason. */
export function PullTable({
  overview,
  findings,
}: {
  readonly overview: SeriesOverview;
  readonly findings: SeriesFindings;
}) {
  const used = findings.pulls.filter((pull) => pull.use !== "left out");
  const out = findings.pulls.filter((pull) => pull.use === "left out");
  const marked = markedPulls.value?.pulls;
  const row = (pull: SeriesFindings["pulls"][number]) => (
    <tr
      key={pull.pullId}
      class={[pull.use === "left out" && "left-out", marked?.has(pull.pullId) && "marked"]
        .filter(Boolean)
        .join(" ")}
    >
      <th scope="row">
        {marked?.has(pull.pullId) && <span class="unseen">marked: </span>}
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
        {pull.outOfRecipe !== undefined && <span class="out-of-recipe"> {pull.outOfRecipe.join("; ")}</span>}
        {pull.warnings.length > 0 ? ` ${count(pull.warnings.length, "doubt")}` : ""}
      </td>
    </tr>
  );
  return (
    <Scroll label="Every pull">
      <table class="pull-by-pull">
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
