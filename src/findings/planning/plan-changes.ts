import type { Factor, PastPlan } from "../../series/mod.ts";
import { counted, listed } from "../words.ts";

/** One change of a plan that had pulls already, and what it does to what may be concluded. */
export type PlanChange = {
  /** When it was changed, ISO 8601. */
  readonly at: string;
  readonly pullsThen: number;
  readonly changed: readonly string[];
  readonly inference: readonly string[];
};

type Plan = { readonly factors: readonly Factor[]; readonly pullsPerCell: number };

/**
 * What was changed in a plan after pulls existed, and what that does to the inference: in order, each change against the plan
 * that followed it.
 *
 * past: the plans that were, the oldest first; now: the plan that stands. Result: a change for each past plan.
 *
 * @example
 * planChanges([], { factors: [], pullsPerCell: 5 }) // []
 */
export function planChanges(past: readonly PastPlan[], now: Plan): PlanChange[] {
  return past.map((before, at) => {
    const after = past[at + 1] ?? now;
    return { at: before.until, pullsThen: before.pullsThen, ...between(before, after) };
  });
}

function between(before: Plan, after: Plan): Pick<PlanChange, "changed" | "inference"> {
  const changed: string[] = [];
  const inference = new Set<string>();
  for (const factor of before.factors) {
    const now = after.factors.find(({ name }) => name === factor.name);
    if (now === undefined) {
      changed.push(`“${factor.name}” is no longer varied`);
      inference.add(
        `Pulls made at different levels of “${factor.name}” now lie in one cell: its effect, if there is one, counts as scatter.`,
      );
      continue;
    }
    if (now.unit !== factor.unit) {
      changed.push(`the unit of “${factor.name}” became “${now.unit}” (it was “${factor.unit}”)`);
      inference.add(
        `Levels of “${factor.name}” before and after are not the same thing unless they were typed anew.`,
      );
    }
    const said = (levels: Factor["levels"]) => listed(levels.map((level) => `${level}`));
    const dropped = factor.levels.filter((level) => !now.levels.includes(level));
    const added = now.levels.filter((level) => !factor.levels.includes(level));
    if (dropped.length > 0) {
      changed.push(`${counted(dropped.length, "level")} of “${factor.name}” dropped: ${said(dropped)}`);
      inference.add(
        "Pulls at a dropped level stand outside the plan and are still shown. If it was dropped because of what they showed, what is left looks better than it is.",
      );
    }
    if (added.length > 0) {
      changed.push(`${counted(added.length, "level")} of “${factor.name}” added: ${said(added)}`);
      inference.add(
        "Levels chosen after seeing pulls look where a difference already showed: p values and intervals of such comparisons promise too much. A new series on fresh pulls confirms them.",
      );
      inference.add(
        "Pulls at added levels come later than the others: what drifted meanwhile (oil, cell, hands) goes along with the level.",
      );
    }
  }
  for (const { name } of after.factors) {
    if (before.factors.some((factor) => factor.name === name)) continue;
    changed.push(`“${name}” is varied now`);
    inference.add(`Earlier specimens have no level of “${name}” and stand apart until somebody enters it.`);
  }
  if (before.pullsPerCell !== after.pullsPerCell) {
    changed.push(`pulls in each cell became ${after.pullsPerCell} (they were ${before.pullsPerCell})`);
    inference.add(
      "A number of pulls that was changed after seeing some makes a p value near 5 % mean less than it says: stopping when it looks right finds differences that are not there.",
    );
  }
  return { changed, inference: [...inference] };
}
