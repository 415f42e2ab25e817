import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { problemsOfAbove, problemsOfFrom } from "../statics/fields.ts";

export type SharedLegs = {
  readonly tensionsN: readonly number[];
  /** How far the load pulls the legs' common end from where the shortest leg begins to carry. */
  readonly travelM: number;
  /** Of the most loaded leg, over an even share: 1 where all carry alike. */
  readonly worst: number;
  /** Legs that hang slack. */
  readonly slack: number;
};

/**
 * How does a load share itself between legs side by side that differ in length and stiffness?
 *
 * loadN above 0; each leg's stiffness in N/m, above 0, and by how much it is longer than the shortest, 0 or more. The legs' ends
 * move together; a leg carries once it is straight. Formula: Tᵢ = kᵢ max(0, x − Δᵢ), Σ Tᵢ = load. Source: statics of springs
 * side by side; exact, since the sum is piecewise straight in x.
 *
 * @example
 * const answer = shareLegs({ loadN: 1000, legs: [{ stiffnessNPerM: 1e5, longerM: 0 }, { stiffnessNPerM: 1e5, longerM: 0.005 }] });
 * answer.ok && answer.value.tensionsN // [750, 250]
 */
export function shareLegs(input: {
  readonly loadN: number;
  readonly legs: readonly { readonly stiffnessNPerM: number; readonly longerM?: number }[];
}): Result<SharedLegs> {
  const { loadN, legs } = input;
  const problems: Problem[] = [...problemsOfAbove(loadN, "loadN", "N")];
  if (legs.length === 0)
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "A load hangs from at least one leg.",
      where: { field: "legs" },
      found: "no legs",
      expected: "one leg or more",
    });
  legs.forEach(({ stiffnessNPerM, longerM = 0 }, i) => {
    problems.push(...problemsOfAbove(stiffnessNPerM, `legs[${i}].stiffnessNPerM`, "N/m"));
    problems.push(...problemsOfFrom(longerM, `legs[${i}].longerM`, "m"));
  });
  const [problem, ...others] = problems;
  if (problem !== undefined) return refuse(problem, ...others);
  const byLength = legs
    .map(({ stiffnessNPerM, longerM = 0 }) => ({ stiffnessNPerM, longerM }))
    .sort((a, b) => a.longerM - b.longerM);
  // Leg after leg comes straight, until the load is carried before the next one does.
  let stiffness = 0;
  let weighted = 0;
  let travel = 0;
  for (const [i, { stiffnessNPerM, longerM }] of byLength.entries()) {
    stiffness += stiffnessNPerM;
    weighted += stiffnessNPerM * longerM;
    travel = (loadN + weighted) / stiffness;
    if (travel <= (byLength[i + 1]?.longerM ?? Number.POSITIVE_INFINITY)) break;
  }
  const tensionsN = legs.map(
    ({ stiffnessNPerM, longerM = 0 }) => stiffnessNPerM * Math.max(0, travel - longerM),
  );
  return ok({
    tensionsN,
    travelM: travel - (byLength[0]?.longerM ?? 0),
    worst: (Math.max(...tensionsN) * legs.length) / loadN,
    slack: tensionsN.filter((tension) => tension === 0).length,
  });
}
