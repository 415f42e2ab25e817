import { ok, type Result, refuse } from "../../problem/mod.ts";
import { problemsOfAbove, problemsOfFrom } from "./fields.ts";

export type FallEnergy = {
  readonly peakForceN: number;
  readonly stretchM?: number;
  readonly staticStretchM?: number;
  readonly energyJ?: number;
  /** Peak over the weight at rest. */
  readonly factor: number;
};

/**
 * What force does a load reach that falls into a spring, if nothing but the spring takes up its energy?
 *
 * weightN above 0. Either the free fall (0 or more, in metres) with one stiffness, or with the stiffness of every spring in the
 * line of force one after the other (N/m); or the fall over the length of a line of stiffness EA, whose length then falls out.
 * No damping, no give of anchor or load, no friction: the true peak lies elsewhere, and usually lower.
 * Formula: F = W (1 + √(1 + 2h/δ)), δ = W/k, 1/k = Σ 1/kᵢ; F = W + √(W² + 2 W EA f). Source: S. Timoshenko, Strength of
 * Materials, and W. C. Young, Roark's Formulas (both from memory).
 *
 * @example
 * const answer = fallEnergy({ weightN: 800, freeFallM: 2, stiffnessNPerM: 4000 });
 * answer.ok && answer.value.peakForceN // 4466.06
 */
export function fallEnergy(input: {
  readonly weightN: number;
  readonly freeFallM?: number;
  readonly stiffnessNPerM?: number | readonly number[];
  readonly fallFactor?: number;
  readonly stiffnessEAN?: number;
}): Result<FallEnergy> {
  const { weightN, freeFallM, stiffnessNPerM, fallFactor, stiffnessEAN } = input;
  const byFactor = fallFactor !== undefined && stiffnessEAN !== undefined;
  const byHeight = freeFallM !== undefined && stiffnessNPerM !== undefined;
  if (byFactor === byHeight)
    return refuse({
      code: "INPUT_FIELD",
      message:
        "A fall is given by its height and a spring, or by its share of a line's length and that line's EA.",
      where: { field: "freeFallM" },
      found: JSON.stringify(input),
      expected: "freeFallM with stiffnessNPerM, or fallFactor with stiffnessEAN",
    });
  const springs = typeof stiffnessNPerM === "number" ? [stiffnessNPerM] : (stiffnessNPerM ?? []);
  const [problem, ...others] = [
    ...problemsOfAbove(weightN, "weightN", "N"),
    ...problemsOfFrom(
      freeFallM ?? fallFactor ?? 0,
      byHeight ? "freeFallM" : "fallFactor",
      byHeight ? "m" : "no unit",
    ),
    ...(byHeight && springs.length === 0 ? problemsOfAbove(0, "stiffnessNPerM", "N/m") : []),
    ...springs.flatMap((spring, i) =>
      problemsOfAbove(spring, springs.length === 1 ? "stiffnessNPerM" : `stiffnessNPerM[${i}]`, "N/m"),
    ),
    ...(byFactor ? problemsOfAbove(stiffnessEAN, "stiffnessEAN", "N") : []),
  ];
  if (problem !== undefined) return refuse(problem, ...others);
  if (byFactor) {
    const peakForceN = weightN + Math.sqrt(weightN * weightN + 2 * weightN * stiffnessEAN * fallFactor);
    return ok({ peakForceN, factor: peakForceN / weightN });
  }
  const stiffness = 1 / springs.reduce((sum, spring) => sum + 1 / spring, 0);
  const staticStretchM = weightN / stiffness;
  const factor = 1 + Math.sqrt(1 + (2 * (freeFallM ?? 0)) / staticStretchM);
  const stretchM = factor * staticStretchM;
  return ok({
    peakForceN: weightN * factor,
    stretchM,
    staticStretchM,
    energyJ: weightN * ((freeFallM ?? 0) + stretchM),
    factor,
  });
}
