import { studentTQuantile } from "../stats/mod.ts";
import type { LearnedName } from "./observe.ts";
import type { RecipeNumber } from "./recipe.ts";

/** One observed number, and to which rope and recipe it belongs. */
export type GroupedObservation = { readonly group: string; readonly value: number };

/** What the book's own specimens say of one number for one rope and recipe. */
export type LearnedNumber = {
  readonly name: LearnedName;
  readonly group: string;
  /** Specimens of this rope and recipe, and of all others that speak of the same number. */
  readonly n: number;
  readonly others: number;
  readonly estimate: number;
  readonly standardError: number;
  /** For the group's true mean, 95 %. */
  readonly interval: readonly [number, number];
  /** How far a single next splice strays from the estimate: the estimate's own doubt in it. */
  readonly spread: number;
  /** How strongly the group's own mean counts against that of all groups, 0 to 1. */
  readonly weight: number;
  readonly used: boolean;
  readonly why: string;
};

/** A group speaks for itself from this many specimens on. */
export const enoughSpecimens = 3;
/** And others speak for a group that has none from this many groups on. */
export const enoughGroups = 3;

/**
 * Learns one number from as-made specimens, with partial pooling: a rope and recipe with few specimens is drawn towards
 * the mean of all, one with many stands by itself.
 *
 * observations: at least one group with two. `group`: the one that is asked for; it may have no specimens where others
 * have. Result: undefined where nothing can be said: no group has two specimens, or none scatters.
 * Rule of use: the learned number stands in for the customary one once the group has 3 specimens or more, or none and there
 * are 3 other groups or more, and the estimate's standard error is smaller than the customary spread.
 * Formula: values = mean + group (SD τ) + rest (SD σ), both normal; flat in the mean and log σ, τ/σ equally likely from 0 to
 * 5. For each τ/σ the group's estimate is mean + w (group's mean − mean), w = n τ²/(n τ² + σ²); estimates and variances are
 * averaged by the restricted likelihood of τ/σ, and the interval is Student's t with N − 1 degrees of freedom.
 * Source: B. Efron and C. Morris, J. Amer. Statist. Assoc. 70 (1975), 311-319; G. C. Tiao and W. Y. Tan, Biometrika 52
 * (1965), 37-53. Coverage by simulation: docs/methods/learned-number.md.
 *
 * @example
 * const values = [0.07, 0.08, 0.075].map((value) => ({ group: "a", value }));
 * learnNumber("contraction", "a", values, { value: 0.085, spread: 0.02, source: "" })?.estimate // 0.075
 */
export function learnNumber(
  name: LearnedName,
  group: string,
  observations: readonly GroupedObservation[],
  customary: Pick<RecipeNumber, "value" | "spread" | "source">,
): LearnedNumber | undefined {
  const groups = groupsOf(observations);
  const own = groups.get(group);
  const n = own?.n ?? 0;
  const pooled = average([...groups.values()], own);
  if (pooled === undefined) return undefined;
  const { estimate, standardError, within, weight, df } = pooled;
  const half = studentTQuantile(0.975, df) * standardError;
  const enough = n >= enoughSpecimens || (n === 0 && groups.size >= enoughGroups);
  const sure = standardError < customary.spread;
  return {
    name,
    group,
    n,
    others: observations.length - n,
    estimate,
    standardError,
    interval: [estimate - half, estimate + half],
    spread: Math.sqrt(standardError ** 2 + within),
    weight,
    used: enough && sure,
    why: !enough
      ? n > 0
        ? `${n} of ${enoughSpecimens} specimens of this rope and recipe`
        : `${groups.size} of ${enoughGroups} ropes and recipes to judge another by`
      : `its standard error is ${sure ? "" : "not yet "}smaller than the customary spread`,
  };
}

/**
 * A learned number as it stands in a recipe's place. `but` is what else must be known of it.
 *
 * @example
 * asRecipeNumber(learned).source // "learned from the book: 5 specimens of this rope and recipe and 11 of others"
 */
export function asRecipeNumber(
  { name, estimate, spread, n, others }: LearnedNumber,
  but?: string,
): RecipeNumber {
  const own = n === 1 ? "1 specimen" : `${n} specimens`;
  const alike = name === "crossing" ? "kind of splice, with buries that differ" : "recipe";
  const beside = others === 0 ? "" : ` and ${others} of others`;
  const more = but === undefined ? "" : `; ${but}`;
  return {
    value: estimate,
    spread,
    source: `learned from the book: ${own} of this rope and ${alike}${beside}${more}`,
  };
}

type Group = { readonly n: number; readonly mean: number; readonly squares: number };

function groupsOf(observations: readonly GroupedObservation[]): Map<string, Group> {
  const values = new Map<string, number[]>();
  for (const { group, value } of observations) values.set(group, [...(values.get(group) ?? []), value]);
  return new Map(
    [...values].map(([group, list]) => {
      const mean = list.reduce((sum, value) => sum + value, 0) / list.length;
      return [
        group,
        { n: list.length, mean, squares: list.reduce((sum, value) => sum + (value - mean) ** 2, 0) },
      ];
    }),
  );
}

/** The ratios τ/σ that are tried, and the largest of them. */
const ratios = Array.from({ length: 101 }, (_, index) => (5 * index) / 100);

/** The group's estimate at each ratio, averaged by how likely the ratio is. */
function average(groups: readonly Group[], own: Group | undefined) {
  const total = groups.reduce((sum, { n }) => sum + n, 0);
  const within = groups.reduce((sum, { squares }) => sum + squares, 0);
  const df = total - 1;
  // Without two of one group nothing tells scatter in it from scatter between; without another, nothing speaks for it.
  if (!(within > 0) || (own === undefined && groups.length < 2)) return undefined;
  const tried = ratios.map((ratio) => atRatio(groups, own, ratio ** 2, within, df));
  const best = Math.max(...tried.map(({ logLikelihood }) => logLikelihood));
  const shares = tried.map(({ logLikelihood }) => Math.exp(logLikelihood - best));
  const whole = shares.reduce((sum, share) => sum + share, 0);
  const mean = (value: (one: (typeof tried)[number]) => number) =>
    tried.reduce((sum, one, index) => sum + value(one) * ((shares[index] as number) / whole), 0);
  const estimate = mean((one) => one.estimate);
  const variance = mean((one) => one.variance + (one.estimate - estimate) ** 2);
  return {
    estimate,
    standardError: Math.sqrt(variance),
    within: mean((one) => one.residual),
    weight: mean((one) => one.weight),
    df,
  };
}

function atRatio(
  groups: readonly Group[],
  own: Group | undefined,
  ratio: number,
  within: number,
  df: number,
) {
  const weights = groups.map(({ n }) => n / (1 + n * ratio));
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const weighted = (value: (group: Group) => number) =>
    groups.reduce((total, group, index) => total + (weights[index] as number) * value(group), 0);
  const mean = weighted((group) => group.mean) / sum;
  const squares = within + weighted((group) => (group.mean - mean) ** 2);
  const residual = squares / df;
  const n = own?.n ?? 0;
  const weight = (n * ratio) / (n * ratio + 1);
  const doubt = n === 0 ? ratio + 1 / sum : weight / n + (1 - weight) ** 2 / sum;
  const logs = groups.reduce((total, group) => total + Math.log1p(group.n * ratio), 0);
  return {
    estimate: own === undefined ? mean : mean + weight * (own.mean - mean),
    variance: doubt * residual,
    residual,
    weight,
    logLikelihood: -(logs + Math.log(sum) + df * Math.log(squares)) / 2,
  };
}
