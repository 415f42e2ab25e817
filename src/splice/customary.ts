import type { RecipeNumber, RecipeNumberName, SpliceKind } from "./recipe.ts";

const practice = "common practice, no published source";

/**
 * The number that is used where neither the recipe nor the book's own specimens give one. A range that was seen counts as
 * a rectangular distribution: the middle is the value, half the width over √3 the standard deviation (JCGM 100:2008,
 * 4.3.7).
 */
export function customaryNumber(name: RecipeNumberName, kind: SpliceKind): RecipeNumber {
  switch (name) {
    case "contraction":
      return ofRange(0.05, 0.12, `${practice}: a host shortens by 5 to 12 % of the length buried in it`);
    case "beddingIn":
      return ofRange(0.01, 0.04, "from memory, not looked up: a few per cent, mostly in the first loadings");
    case "crossing":
      return ofRange(
        0,
        2,
        "own estimate, no published source: each rope leaves its straight way by about its radius twice",
      );
    case "knot":
      return ofRange(20, 40, `${practice}: 20 to 40 d of doubled line, by maker`);
    case "noose":
      return ofRange(
        1,
        3,
        "own estimate, no published source: the noose closes round two ropes side by side",
      );
    case "tail":
      return kind === "soft shackle"
        ? chosen(10, "own choice: enough to set the knot by hand; cut off afterwards")
        : chosen(0, "the tip of the taper is the end of the rope");
    case "clear":
      return chosen(
        5,
        "own choice, no published source: where a tail ends beside another the host bends twice",
      );
    case "leastPin":
      return kind === "soft shackle"
        ? chosen(1, `${practice}: a soft shackle bears on rope of its own size`)
        : chosen(2, "ISO 2307:2010, bollards for eyes at least 2 d (from a summary)");
    case "marking":
      return { value: 0, spread: 1.5, source: "own estimate, no published source" };
  }
}

/** Shortest inside length of an eye where none is given: ISO 2307:2010 asks 6 d (from a summary). */
export const eyeDiameters = 6;
/** And 3 times the pin, so that the legs meet at a small angle: common practice, no published source. */
export const eyePins = 3;

/** One long fid, the trade's measure of burying (common practice, no published source). */
export const fidDiameters = 21;

function ofRange(low: number, high: number, source: string): RecipeNumber {
  return { value: (low + high) / 2, spread: (high - low) / Math.sqrt(12), low, high, source };
}

function chosen(value: number, source: string): RecipeNumber {
  return { value, spread: 0, source };
}
