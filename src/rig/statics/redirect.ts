import { ok, type Result, refuse } from "../../problem/mod.ts";
import { problemsOfFrom } from "./fields.ts";

export type Redirect = {
  /** Tension on the side that leads away, when it is moving toward the pull. */
  readonly tensionOutN: number;
  /** What the pulley pulls on its anchor. */
  readonly anchorN: number;
};

/**
 * What does a pulley that turns a line pull on its anchor, and how much of the pull is left behind it?
 *
 * tensionN 0 or more; turnDeg how far the line is turned aside, from 0 (straight on) to 180 (back again); efficiency the share
 * of the tension that comes out, above 0 up to 1. Formula: √(T² + T'² − 2 T T' cos turn). Source: statics.
 *
 * @example
 * const answer = redirect({ tensionN: 1000, turnDeg: 180 });
 * answer.ok && answer.value.anchorN // 2000
 */
export function redirect(input: {
  readonly tensionN: number;
  readonly turnDeg: number;
  readonly efficiency?: number;
}): Result<Redirect> {
  const { tensionN, turnDeg, efficiency = 1 } = input;
  const problems = [...problemsOfFrom(tensionN, "tensionN", "N")];
  if (!(turnDeg >= 0 && turnDeg <= 180))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "A line is turned aside by no more than back on itself.",
      where: { field: "turnDeg" },
      found: String(turnDeg),
      expected: "from 0 to 180 degrees",
    });
  if (!(efficiency > 0 && efficiency <= 1))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "A pulley gives back at most what is put in.",
      where: { field: "efficiency" },
      found: String(efficiency),
      expected: "above 0, up to 1",
    });
  const [problem, ...others] = problems;
  if (problem !== undefined) return refuse(problem, ...others);
  const tensionOutN = tensionN * efficiency;
  const turn = (turnDeg * Math.PI) / 180;
  // The two sides pull along directions that are 180° − turn apart; written by the half turn, so that nothing cancels.
  const anchorN = Math.hypot(
    tensionN - tensionOutN,
    2 * Math.sqrt(tensionN * tensionOutN) * Math.sin(turn / 2),
  );
  return ok({ tensionOutN, anchorN });
}
