import type { SeriesOverview } from "../../app/mod.ts";
import { Scroll } from "../parts/scroll.tsx";
import { levelText, planCells, sameLevels } from "./specimen-rows.ts";

/** The plan as it is kept: every cell with the specimens made, pulled and judged for it. */
export function PlanTable({ overview }: { readonly overview: SeriesOverview }) {
  const { series, specimens, pulls } = overview;
  if (series.factors.length === 0 && series.pullsPerCell === 0) return null;
  const cells = planCells(series.factors);
  if (cells.length > 200)
    return <p class="aside">The plan has {cells.length} cells, too many to list. Vary less at once.</p>;
  return (
    <Scroll label="The plan">
      <table>
        <caption>The plan as it is kept</caption>
        <thead>
          <tr>
            {series.factors.map((factor) => (
              <th key={factor.name} scope="col">
                {factor.unit === "" ? factor.name : `${factor.name}, ${factor.unit}`}
              </th>
            ))}
            {series.factors.length === 0 && <th scope="col">Cell</th>}
            <th scope="col" class="number">
              Wanted
            </th>
            <th scope="col" class="number">
              Made
            </th>
            <th scope="col" class="number">
              Pulled
            </th>
            <th scope="col" class="number">
              Judged
            </th>
          </tr>
        </thead>
        <tbody>
          {cells.map((cell) => {
            const made = specimens.filter((one) => sameLevels(one.levels, cell));
            const ids = new Set(made.map((one) => one.id));
            const pulled = pulls.filter((pull) => ids.has(pull.specimenId ?? ""));
            const judged = pulled.filter((pull) => pull.outcome !== undefined);
            return (
              <tr key={JSON.stringify(cell)}>
                {series.factors.length === 0 && <th scope="row">all</th>}
                {series.factors.map((factor, at) =>
                  at === 0 ? (
                    <th key={factor.name} scope="row">
                      {levelText(cell[factor.name] ?? "")}
                    </th>
                  ) : (
                    <td key={factor.name}>{levelText(cell[factor.name] ?? "")}</td>
                  ),
                )}
                <td class="number">{series.pullsPerCell === 0 ? "not said" : series.pullsPerCell}</td>
                <td class="number">{made.length}</td>
                <td class="number">{pulled.length}</td>
                <td class="number">{judged.length}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </Scroll>
  );
}
