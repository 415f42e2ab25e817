import { linearModel } from "../stats/mod.ts";
import type { LearnedNumber } from "./learn.ts";
import type { CrossedObservation } from "./observe.ts";
import type { RecipeNumber } from "./recipe.ts";

/** Specimens from which a line with two unknowns leaves three to judge its scatter by (own choice). */
const enoughForTwo = 5;

/** What stands beside a learned contraction where the crossings could not be told from it. */
export const crossingsWithin =
  "its crossings count at their customary number: the buries made so far cannot tell the two apart";

/**
 * Learns what a crossing takes up, apart from the contraction of the host. Only splices with different buries can tell: a
 * crossing takes the same of a short bury as of a long one, a contraction does not.
 *
 * observations: of one rope and one kind of splice, over all recipes. Result: in diameters for each crossing; its spread is
 * the estimate's own doubt, since what single splices stray by lies in the contraction. Undefined where nothing can be said:
 * fewer than 3 splices, or all with the same share of crossings.
 * Rule of use: 5 splices or more, 0 d or more, and a standard error smaller than the customary spread.
 * Formula: contraction with crossings = contraction + crossing · (crossings · d / fattened length) + rest, a straight line by
 * least squares; interval by Student's t with n − 2 degrees of freedom.
 *
 * @example
 * const made = [0.01, 0.02, 0.03, 0.04, 0.05].map((x) => ({ withCrossings: 0.08 + 1.2 * x, perCrossing: x }));
 * learnCrossing("6 mm loops", made, { spread: 0.58 })?.estimate // 1.2
 */
export function learnCrossing(
  group: string,
  observations: readonly CrossedObservation[],
  customary: Pick<RecipeNumber, "spread">,
): LearnedNumber | undefined {
  const line = linearModel({
    columns: { crossing: observations.map(({ perCrossing }) => perCrossing) },
    response: observations.map(({ withCrossings }) => withCrossings),
  });
  if (!line.ok) return undefined;
  const n = observations.length;
  const { crossing: estimate = 0 } = line.value.coefficients;
  const { crossing: standardError = 0 } = line.value.standardErrors;
  const [low, high] = line.value.intervals["crossing"] ?? [estimate, estimate];
  const why =
    n < enoughForTwo
      ? `${n} of ${enoughForTwo} specimens of this rope and kind of splice`
      : standardError >= customary.spread
        ? "its standard error is not yet smaller than the customary spread: buries that differ more would tell it from the contraction"
        : estimate < 0
          ? "it comes out below nothing"
          : undefined;
  return {
    name: "crossing",
    group,
    n,
    others: 0,
    estimate,
    standardError,
    interval: [low, high],
    spread: standardError,
    weight: 1,
    used: why === undefined,
    why: why ?? "its standard error is smaller than the customary spread",
  };
}
