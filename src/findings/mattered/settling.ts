import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { linearModel, normalQuantile, pool, studentTQuantile } from "../../stats/mod.ts";
import type { Estimate, SettlingShown } from "../effect-types.ts";
import type { JudgedPull } from "../types.ts";

type Settled = {
  readonly pullId: string;
  readonly value: number;
  readonly standardError: number;
  readonly heldShare?: number;
  readonly diameterMm?: number;
};

/**
 * How force settles at a hold, over the pulls whose hold gives the part lost in each tenfold of time with its interval: the
 * mean by random effects, that of each size, and whether it goes with the force held (as a share of the legs' rated
 * strength) or with the size. Any pull with a hold counts, however it ended. Refused below two.
 */
export function settlingShown(pulls: readonly JudgedPull[]): Result<SettlingShown> {
  const settled = pulls.flatMap(settledOf);
  if (settled.length < 2)
    return refuse({
      code: "STAT_TOO_FEW",
      message: "Settling over a series needs 2 pulls with a hold that gives it.",
      found: String(settled.length),
      expected: "2 or more",
    });
  const all = poolOf(settled);
  if (!all.ok) return all;
  const tau2 = all.value.reml.tau2;
  const sizes = [...new Set(settled.flatMap(({ diameterMm }) => diameterMm ?? []))].sort((a, b) => a - b);
  return ok({
    n: settled.length,
    pulls: settled.map(({ pullId }) => pullId),
    mean: estimateOf(all.value),
    nextPull: all.value.nextSource.interval,
    bySize: sizes.flatMap((diameterMm) => {
      const own = settled.filter((one) => one.diameterMm === diameterMm);
      const pooled = poolOf(own);
      if (pooled.ok) return [{ diameterMm, n: own.length, mean: estimateOf(pooled.value) }];
      const [only] = own;
      if (only === undefined) return [];
      const half = normalQuantile(0.975) * only.standardError;
      return [
        {
          diameterMm,
          n: 1,
          mean: { value: only.value, interval: [only.value - half, only.value + half] as const },
        },
      ];
    }),
    perTenfoldForce: slopeOf(settled, ({ heldShare }) => heldShare, tau2, "force held"),
    perTenfoldDiameter: slopeOf(settled, ({ diameterMm }) => diameterMm, tau2, "size"),
  });
}

function settledOf(pull: JudgedPull): Settled[] {
  const { settlingPerDecade, holdN, ratedStrengthN, legs, nominalDiameterMm, leftOutAs } = pull;
  if (settlingPerDecade === undefined || leftOutAs === "no pull") return [];
  const { value, interval } = settlingPerDecade;
  const standardError = (interval[1] - interval[0]) / 2 / normalQuantile(0.975);
  if (!(standardError > 0) || !Number.isFinite(value)) return [];
  return [
    {
      pullId: pull.pullId,
      value,
      standardError,
      ...(holdN !== undefined &&
        ratedStrengthN !== undefined &&
        legs !== undefined && { heldShare: holdN / (legs * ratedStrengthN) }),
      ...(nominalDiameterMm !== undefined && { diameterMm: nominalDiameterMm }),
    },
  ];
}

function poolOf(settled: readonly Settled[]) {
  return pool({
    estimates: settled.map(({ value }) => value),
    standardErrors: settled.map(({ standardError }) => standardError),
  });
}

function estimateOf(pooled: Extract<ReturnType<typeof pool>, { ok: true }>["value"]): Estimate {
  const { mean, hartungKnapp, interval } = pooled.reml;
  // Where all agree to the digit, the Hartung-Knapp error is 0; then the pulls' own intervals say how far to trust them.
  return { value: mean, interval: hartungKnapp.standardError > 0 ? hartungKnapp.interval : interval };
}

/** A line through the pulls' settling against the logarithm of something, each weighed by its own error and the scatter between pulls. */
function slopeOf(
  settled: readonly Settled[],
  of: (one: Settled) => number | undefined,
  tau2: number,
  what: string,
): Result<Estimate> {
  const known = settled.flatMap((one) => {
    const x = of(one);
    return x === undefined || !(x > 0) ? [] : [{ ...one, x: Math.log10(x) }];
  });
  const values = new Set(known.map(({ x }) => x));
  if (known.length < 4 || values.size < 2) return refuse(tooAlike(what, known.length));
  const roots = known.map(({ standardError }) => 1 / Math.sqrt(standardError ** 2 + tau2));
  const fit = linearModel({
    columns: { level: roots, slope: known.map(({ x }, i) => x * (roots[i] as number)) },
    response: known.map(({ value }, i) => value * (roots[i] as number)),
    intercept: false,
  });
  if (!fit.ok) return fit;
  const { coefficients, standardErrors, residualSd, df } = fit.value;
  const [value, error] = [coefficients["slope"], standardErrors["slope"]];
  if (value === undefined || error === undefined) return refuse(tooAlike(what, known.length));
  // Pulls that agree better than their errors allow do so by chance: the errors are not made smaller for it.
  const half = studentTQuantile(0.975, df) * error * Math.max(1, 1 / residualSd);
  return ok({ value, interval: [value - half, value + half] });
}

function tooAlike(what: string, n: number): Problem {
  return {
    code: "STAT_TOO_FEW",
    message: `Settling against ${what} needs 4 pulls with a hold whose ${what} differs.`,
    found: `${n} pulls`,
    expected: "4 or more",
  };
}
