import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import type { ComparedBy } from "../effect-types.ts";
import { hasStrength } from "../judge-pull.ts";
import type { JudgedPull } from "../types.ts";

/** A pull that counts, with the value by which it is compared: newtons, or its leg efficiency. */
export type ComparedPull = JudgedPull & { readonly value: number };

export type Compared = { readonly by: ComparedBy; readonly pulls: readonly ComparedPull[] };

/**
 * The pulls that can be set side by side, and by what. On one rope and number of legs by strength; otherwise by leg
 * efficiency, and refused where a rated strength or the legs of some are not known: a larger rope would look stronger.
 */
export function compared(pulls: readonly JudgedPull[]): Result<Compared> {
  const used = pulls.filter(({ use }) => use === "counted").filter(hasStrength);
  if (areOnOneBasis(used))
    return ok({ by: "strength", pulls: used.map((pull) => ({ ...pull, value: pull.strengthN })) });
  const known = used.flatMap((pull) =>
    pull.legEfficiency === undefined ? [] : [{ ...pull, value: pull.legEfficiency }],
  );
  return known.length === used.length ? ok({ by: "leg efficiency", pulls: known }) : refuse(noRating);
}

/** True where all pulls are of one rope, one rated strength and one number of legs, so that forces may be compared. */
export function areOnOneBasis(pulls: readonly JudgedPull[]): boolean {
  return (
    new Set(pulls.map((pull) => `${pull.ropeName ?? ""}|${pull.ratedStrengthN ?? ""}|${pull.legs ?? ""}`))
      .size <= 1
  );
}

const noRating: Problem = {
  code: "FINDING_NO_RATING",
  message:
    "Ropes or legs differ, and not every rated strength and number of legs is known: a larger rope or more legs would look stronger.",
  wayOut: "Enter the rated strength of every rope and the legs of every recipe.",
};
