import type { RecipeFields } from "./recipe.ts";
import type { lengthMeasures } from "./words.ts";

/**
 * How the lengths of a kind of splice go together. A `path` runs through the finished piece: once round a loop along the
 * rope's centre line, from crown to crown of a line with two eyes, from end to end of a joined line.
 */
export type SpliceShape = {
  readonly form: "loop" | "two eyes" | "joined line";
  /** Lengths of rope that lie side by side along the path: 2 in a soft shackle, n in a grommet of n parts. */
  readonly turns: number;
  /** Share of the specimen's load that each rope along the path bears. */
  readonly loadShare: number;
  readonly buries: 0 | 2;
  /** How often the recipe's crossings are made: at each of two eyes, or once. */
  readonly crossingsTimes: 1 | 2;
  readonly knots: 0 | 1;
  /** Pieces that are cut for one specimen. */
  readonly pieces: 1 | 2;
  readonly hasPins: boolean;
  readonly measures: readonly (typeof lengthMeasures)[number][];
};

/** The shape of a recipe's kind; undefined for a kind of which nothing is known. */
export function shapeOf(
  recipe: Pick<RecipeFields, "kind" | "variant" | "legs" | "wraps">,
): SpliceShape | undefined {
  const loop = {
    form: "loop",
    turns: 1,
    loadShare: 1 / recipe.legs,
    buries: 2,
    crossingsTimes: 1,
    knots: 0,
    pieces: 1,
    hasPins: true,
    measures: ["inside", "pin centres", "circumference"],
  } as const;
  switch (recipe.kind) {
    case "straight-bury eye":
    case "locking brummel eye":
      return {
        ...loop,
        form: "two eyes",
        loadShare: 1,
        crossingsTimes: 2,
        measures: ["inside", "pin centres"],
      };
    case "end-to-end":
      return { ...loop, form: "joined line", loadShare: 1, pieces: 2, hasPins: false, measures: ["inside"] };
    case "crossed-tail loop":
      return loop;
    case "grommet":
      return { ...loop, turns: recipe.wraps };
    case "soft shackle":
      return {
        ...loop,
        turns: 2,
        buries: recipe.variant?.endsWith("re-buried") === true ? 2 : 0,
        knots: 1,
      };
    case "other":
      return undefined;
  }
}
