import { ok, type Result, refuse } from "../../problem/mod.ts";
import { problemsOfAbove, problemsOfFrom } from "./fields.ts";

export type Capstan = {
  /** Friction coefficient between rope and pin. */
  readonly mu: number;
  readonly wrapAngleRad: number;
  /** Tension on the pulling side over that on the held side. */
  readonly tensionRatio: number;
};

/**
 * How much more can a rope carry on one side of a pin than on the other, before it slips round it?
 *
 * Of friction coefficient (0 or more), angle of wrap in radians (0 or more) and ratio of tensions (1 or more), two are given and
 * the third is found. Formula: T₁/T₂ = e^(μθ), for a limp rope on a fixed round pin. Source: Euler and Eytelwein; F. P. Beer and
 * E. R. Johnston, Statics, chapter 8 (from memory).
 *
 * @example
 * const answer = capstan({ mu: 0.1, wrapAngleRad: Math.PI });
 * answer.ok && answer.value.tensionRatio // 1.3691
 */
export function capstan(input: {
  readonly mu?: number;
  readonly wrapAngleRad?: number;
  readonly tensionRatio?: number;
}): Result<Capstan> {
  const { mu, wrapAngleRad, tensionRatio } = input;
  if ([mu, wrapAngleRad, tensionRatio].filter((given) => given !== undefined).length !== 2)
    return refuse({
      code: "INPUT_FIELD",
      message: "Friction, wrap and ratio of tensions hang together: two of them give the third.",
      where: { field: "mu" },
      found: JSON.stringify(input),
      expected: "two of mu, wrapAngleRad and tensionRatio",
    });
  const [problem, ...others] = [
    ...(mu === undefined ? [] : problemsOfFrom(mu, "mu", "no unit")),
    ...(wrapAngleRad === undefined ? [] : problemsOfFrom(wrapAngleRad, "wrapAngleRad", "radians")),
    ...(tensionRatio === undefined ? [] : problemsOfAbove(tensionRatio, "tensionRatio", "no unit")),
    ...(tensionRatio === undefined || tensionRatio >= 1 ? [] : [smallRatio(tensionRatio)]),
    ...(tensionRatio === undefined ? [] : problemsOfAbove(mu ?? wrapAngleRad ?? 0, "mu", "no unit")),
  ];
  if (problem !== undefined) return refuse(problem, ...others);
  if (mu !== undefined && wrapAngleRad !== undefined) {
    const ratio = Math.exp(mu * wrapAngleRad);
    if (!Number.isFinite(ratio))
      return refuse({
        code: "RIG_IMPOSSIBLE",
        message: "So much friction round so much of a pin holds any force at all.",
        where: { field: "wrapAngleRad" },
        found: `${wrapAngleRad} radians at ${mu}`,
        expected: "fewer turns",
      });
    return ok({ mu, wrapAngleRad, tensionRatio: ratio });
  }
  const turned = Math.log(tensionRatio ?? 1);
  return ok({
    mu: mu ?? turned / (wrapAngleRad ?? 1),
    wrapAngleRad: wrapAngleRad ?? turned / (mu ?? 1),
    tensionRatio: tensionRatio ?? 1,
  });
}

const smallRatio = (ratio: number) =>
  ({
    code: "RIG_IMPOSSIBLE",
    message: "The pulling side is the one with the higher tension.",
    where: { field: "tensionRatio" },
    found: String(ratio),
    expected: "1 or more",
  }) as const;
