import { ok, type Result, refuse, type Warning } from "../../problem/mod.ts";
import type { Factor } from "../../series/mod.ts";
import { blockedSlope } from "../../stats/mod.ts";
import type { RateEffect } from "../effect-types.ts";
import type { Compared } from "./compared.ts";
import { cellsOf, relativeOf, slopeSignificance } from "./order-trend.ts";

/**
 * Strength against the logarithm of the loading rate, within cells of the plan and ropes: the relative change for ten times
 * the rate. A factor of the plan that is the rate itself (its name says so) is no block. Refused below four pulls with a
 * rate, or where the rates within cells do not differ.
 */
export function rateEffect(factors: readonly Factor[], { pulls }: Compared): Result<RateEffect> {
  const known = pulls.flatMap((pull) =>
    pull.loadingRateNPerS !== undefined && pull.loadingRateNPerS > 0
      ? [{ ...pull, rate: pull.loadingRateNPerS }]
      : [],
  );
  if (known.length < 4)
    return refuse({
      code: "STAT_TOO_FEW",
      message: "Strength against rate needs 4 pulls that count and have a loading rate.",
      found: String(known.length),
      expected: "4 or more",
    });
  const rates = known.map(({ rate }) => rate);
  const range = [Math.min(...rates), Math.max(...rates)] as const;
  const found = blockedSlope({
    values: known.map(({ value }) => Math.log(value)),
    x: rates.map(Math.log10),
    blocks: cellsOf(
      factors.filter(({ name }) => !/\b(rate|speed)\b/i.test(name)),
      known,
    ),
  });
  if (!found.ok) return found;
  return ok({
    n: known.length,
    pulls: known.map(({ pullId }) => pullId),
    perTenfold: relativeOf(found.value, 1),
    significance: slopeSignificance(found.value),
    wouldSee: Math.expm1(found.value.wouldSee),
    ratesNPerS: range,
    warnings: narrow(range),
  });
}

/** A slope for ten times the rate, from rates that span far less, is drawn on beyond what was seen. */
function narrow([low, high]: readonly [number, number]): Warning[] {
  const times = high / low;
  if (times >= 10) return [];
  return [
    {
      code: "FINDING_NARROW_RANGE",
      message: `The rates differ by a factor of ${times.toFixed(1)} only: what ten times the rate would do is drawn on beyond what was pulled.`,
      wayOut: "Plan levels of the rate that lie tenfold apart.",
    },
  ];
}
