import type { SeriesOverview } from "../../app/mod.ts";
import type { ComparedRecipe } from "../../splice/mod.ts";
import { Section } from "../parts/page.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { force } from "../shown-units.ts";
import { useResource } from "../use-resource.ts";

type Mean = { readonly mean: number; readonly n: number } | undefined;

/** Recipes and ropes of the series side by side: rope used, time, and, once pulled, strength and its bound. */
export function SideBySide({ overview }: { readonly overview: SeriesOverview }) {
  const answer = useResource<readonly ComparedRecipe[]>(`/api/series/${overview.series.id}/recipes`);
  const rows = answer?.ok === true ? answer.value.filter(({ recipeName }) => recipeName !== "") : [];
  if (rows.length === 0) return null;
  return (
    <Section wide title="Recipes and ropes side by side">
      <Scroll label="Recipes and ropes side by side">
        <table>
          <thead>
            <tr>
              <th scope="col">Recipe</th>
              <th scope="col">Rope</th>
              <th scope="col" class="number">
                Specimens
              </th>
              <th scope="col" class="number">
                Mean cut
              </th>
              <th scope="col" class="number">
                Mean finished
              </th>
              <th scope="col" class="number">
                Mean time
              </th>
              <th scope="col" class="number">
                Pulled
              </th>
              <th scope="col" class="number">
                Mean strength
              </th>
              <th scope="col" class="number">
                95 % exceed, with 95 % confidence
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={`${row.ropeName} ${row.recipeName} ${row.recipeVersion}`}>
                <th scope="row" class="several-words">
                  {row.recipeName}
                  {row.recipeVersion === undefined ? "" : `, version ${row.recipeVersion}`}
                </th>
                <td>{row.ropeName}</td>
                <td class="number">{row.specimens}</td>
                <td class="number">{meanText(row.cutLengthMm, row.specimens, "mm")}</td>
                <td class="number">{meanText(row.finishedLengthMm, row.specimens, "mm")}</td>
                <td class="number">{meanText(row.makingMinutes, row.specimens, "min")}</td>
                <td class="number">
                  {row.pulled}
                  {row.bounds > 0 ? `, ${row.bounds} as bounds` : ""}
                </td>
                <td class="number">{row.meanStrengthN === undefined ? "–" : force(row.meanStrengthN)}</td>
                <td class="number">
                  {row.lowerBoundN.ok ? (
                    force(row.lowerBoundN.value)
                  ) : (
                    <span class="refused">
                      {row.pulled === 0 ? "not pulled" : row.lowerBoundN.problems[0]?.message}
                    </span>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </Scroll>
    </Section>
  );
}

function meanText(mean: Mean, of: number, unit: string): string {
  if (mean === undefined) return "–";
  return `${Math.round(mean.mean)} ${unit}${mean.n < of ? ` (of ${mean.n})` : ""}`;
}
