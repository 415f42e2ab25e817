import type { Result } from "../problem/mod.ts";
import { lowerBound } from "../stats/mod.ts";

/** One specimen with what a comparison asks of it. */
export type ComparedSpecimen = {
  readonly ropeName: string;
  readonly recipeName: string;
  readonly recipeVersion?: number;
  readonly cutLengthMm?: number;
  readonly finishedLengthMm?: number;
  readonly makingMinutes?: number;
  /** How it ended, where it was pulled and counts: its strength, and whether that is only a lower bound. */
  readonly strengthN?: number;
  readonly strengthIsBound?: boolean;
};

export type ComparedRecipe = {
  readonly ropeName: string;
  readonly recipeName: string;
  readonly recipeVersion?: number;
  readonly specimens: number;
  /** Mean over those of which it is known, with how many. */
  readonly cutLengthMm?: { readonly mean: number; readonly n: number };
  readonly finishedLengthMm?: { readonly mean: number; readonly n: number };
  readonly makingMinutes?: { readonly mean: number; readonly n: number };
  readonly pulled: number;
  /** Those that bore more than was measured; in the bound, not in the mean. */
  readonly bounds: number;
  readonly meanStrengthN?: number;
  /** 95 % of such splices exceed it, with 95 % confidence, for normally scattered strengths; or why it is not given. */
  readonly lowerBoundN: Result<number>;
};

/**
 * Recipes and ropes side by side: rope used, time, and, once pulled, strength and its bound. In the order in which they came.
 *
 * @example
 * compareRecipes([{ ropeName: "6 mm", recipeName: "loop", cutLengthMm: 1750 }])[0]?.cutLengthMm // { mean: 1750, n: 1 }
 */
export function compareRecipes(specimens: readonly ComparedSpecimen[]): readonly ComparedRecipe[] {
  const groups = new Map<string, ComparedSpecimen[]>();
  for (const one of specimens) {
    const key = JSON.stringify([one.ropeName, one.recipeName, one.recipeVersion]);
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()].map((group): ComparedRecipe => {
    const { ropeName, recipeName, recipeVersion } = group[0] as ComparedSpecimen;
    const pulled = group.filter(({ strengthN }) => strengthN !== undefined);
    const values = pulled.map(({ strengthN = 0 }) => strengthN);
    const censored = pulled.map(({ strengthIsBound = false }) => strengthIsBound);
    const counted = values.filter((_, index) => censored[index] === false);
    const bound = lowerBound({ values, censored, method: "normal", content: 0.95, confidence: 0.95 });
    return {
      ropeName,
      recipeName,
      ...(recipeVersion === undefined ? {} : { recipeVersion }),
      specimens: group.length,
      ...meanOf(group, "cutLengthMm"),
      ...meanOf(group, "finishedLengthMm"),
      ...meanOf(group, "makingMinutes"),
      pulled: pulled.length,
      bounds: pulled.length - counted.length,
      ...(counted.length === 0 ? {} : { meanStrengthN: mean(counted) }),
      lowerBoundN: bound.ok ? { ok: true, value: bound.value.bound, warnings: bound.warnings } : bound,
    };
  });
}

type Measured = "cutLengthMm" | "finishedLengthMm" | "makingMinutes";

function meanOf<F extends Measured>(group: readonly ComparedSpecimen[], field: F) {
  const known = group.flatMap((one) => (one[field] === undefined ? [] : [one[field] as number]));
  return (known.length === 0 ? {} : { [field]: { mean: mean(known), n: known.length } }) as {
    [K in F]?: { mean: number; n: number };
  };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
