import type { LearnedForPair, SeriesOverview } from "../../app/mod.ts";
import { recipeNumberWords } from "../../splice/mod.ts";
import { trimmed } from "../book/quantity.ts";
import { Scroll } from "../parts/scroll.tsx";
import { useResource } from "../use-resource.ts";

/** What the book's own specimens say of the recipes' numbers, and whether it stands in for what is customary. */
export function Learned({ ropes, recipes }: Pick<SeriesOverview, "ropes" | "recipes">) {
  const answer = useResource<readonly LearnedForPair[]>("/api/learned-numbers");
  const learned = answer?.ok === true ? answer.value : [];
  if (learned.length === 0) return null;
  return (
    <details>
      <summary>What the specimens of this book say of these numbers ({learned.length})</summary>
      <Scroll label="Numbers learned from specimens">
        <table>
          <thead>
            <tr>
              <th scope="col">Rope and recipe</th>
              <th scope="col">Number</th>
              <th scope="col" class="number">
                Learned
              </th>
              <th scope="col" class="number">
                95 % interval
              </th>
              <th scope="col" class="number">
                n
              </th>
              <th scope="col">In use</th>
            </tr>
          </thead>
          <tbody>
            {learned.map(({ ropeId, recipeId, name, estimate, interval, n, others, used, why }) => {
              const { says, unit } = recipeNumberWords[name];
              const shown = (value: number) => shareOrDiameters(value, unit);
              return (
                <tr key={`${ropeId} ${recipeId} ${name}`}>
                  <th scope="row">
                    {ropes.find(({ id }) => id === ropeId)?.name},{" "}
                    {recipes.find(({ id }) => id === recipeId)?.name}
                  </th>
                  <td>{says}</td>
                  <td class="number strong">{shown(estimate)}</td>
                  <td class="number">
                    {shown(interval[0])} to {shown(interval[1])}
                  </td>
                  <td class="number">{others === 0 ? n : `${n} and ${others} of others`}</td>
                  <td>
                    {used ? "yes" : "no"}: {why}
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </Scroll>
    </details>
  );
}

function shareOrDiameters(value: number, unit: "share" | "d" | "mm"): string {
  const digits = (shown: number) => trimmed(Math.round(shown * 100) / 100);
  return unit === "share" ? `${digits(value * 100)} %` : `${digits(value)} ${unit}`;
}
