import { ok, type Result, refuse } from "../../problem/mod.ts";
import type { Factor } from "../../series/mod.ts";
import { type BlockedSlope, blockedSlope } from "../../stats/mod.ts";
import type { Estimate, OrderTrend, Significance } from "../effect-types.ts";
import type { Compared } from "./compared.ts";
import { crossed } from "./kinds.ts";

/**
 * Whether strength went up or down in the order of pulling, within cells of the plan and ropes: a maker who got better, a
 * bench that warmed. Refused where fewer than four pulls have a place in the order.
 */
export function orderTrend(factors: readonly Factor[], { pulls }: Compared): Result<OrderTrend> {
  const placed = pulls.filter(({ order }) => order !== undefined);
  if (placed.length < 4)
    return refuse({
      code: "STAT_TOO_FEW",
      message: "A trend in the order of pulling needs 4 pulls that count and have a place in the order.",
      found: String(placed.length),
      expected: "4 or more",
    });
  const found = blockedSlope({
    values: placed.map(({ value }) => Math.log(value)),
    x: placed.map(({ order = 0 }) => order),
    blocks: cellsOf(factors, placed),
  });
  if (!found.ok) return found;
  return ok({
    n: placed.length,
    pulls: placed.map(({ pullId }) => pullId),
    perTenPulls: relativeOf(found.value, 10),
    significance: slopeSignificance(found.value),
    wouldSee: Math.expm1(10 * found.value.wouldSee),
  });
}

/** The cell of the plan and the rope of each pull, as one name. */
export function cellsOf(factors: readonly Factor[], pulls: Compared["pulls"]): string[] {
  const levels = factors.map(({ name }) => pulls.map((pull) => String(pull.levels[name])));
  return crossed(pulls.length, [...levels, pulls.map(({ ropeName = "" }) => ropeName)]);
}

/** A slope of logarithms over so many units, as a relative change. */
export function relativeOf({ slope, interval }: BlockedSlope, units: number): Estimate {
  return {
    value: Math.expm1(units * slope),
    interval: [Math.expm1(units * interval[0]), Math.expm1(units * interval[1])],
  };
}

export function slopeSignificance({ permutation }: BlockedSlope): Significance {
  const { p, exact, splits } = permutation;
  return { by: "permutation", p, pOfAll: p, exact, arrangements: splits };
}
