import { ok, type Result, refuse } from "../../problem/mod.ts";
import { findRootFrom } from "../../stats/mod.ts";
import { problemsOfAbove } from "./fields.ts";

export type Catenary = {
  readonly horizontalN: number;
  /** At the anchors, where it is greatest. */
  readonly tensionMaxN: number;
  readonly lengthM: number;
  /** H/w: the catenary's own measure of how flat it is; absent for a parabola. */
  readonly parameterM?: number;
};

/**
 * How hard does a line that hangs by its own weight between level anchors pull, and how long is it?
 *
 * span and sag in metres, weight in newtons per metre, each above 0. A catenary hangs by its own weight; a parabola carries a
 * load that is even along the level, and is nearly the same where the sag is small. Formula: y = a cosh(x/a),
 * a (cosh(L/2a) − 1) = sag, H = w a, T = w (a + sag), S = 2a sinh(L/2a); parabola H = w L²/(8 sag). Source: F. P. Beer and
 * E. R. Johnston, Vector Mechanics for Engineers: Statics, chapter 7 (from memory).
 *
 * @example
 * const answer = catenary({ spanM: 100, sagM: 10, weightNPerM: 20 });
 * answer.ok && answer.value.horizontalN // 2532.6487
 */
export function catenary(input: {
  readonly spanM: number;
  readonly sagM: number;
  readonly weightNPerM: number;
  readonly model?: "catenary" | "parabola";
}): Result<Catenary> {
  const { spanM, sagM, weightNPerM, model = "catenary" } = input;
  const [problem, ...others] = [
    ...problemsOfAbove(spanM, "spanM", "m"),
    ...problemsOfAbove(sagM, "sagM", "m"),
    ...problemsOfAbove(weightNPerM, "weightNPerM", "N/m"),
  ];
  if (problem !== undefined) return refuse(problem, ...others);
  const steepness = (4 * sagM) / spanM;
  if (model === "parabola") {
    const horizontalN = (weightNPerM * spanM * spanM) / (8 * sagM);
    return ok({
      horizontalN,
      tensionMaxN: horizontalN * Math.hypot(1, steepness),
      lengthM: (spanM / 2) * (Math.hypot(1, steepness) + Math.asinh(steepness) / steepness),
    });
  }
  // With u = L/2a: sag / (L/2) = (cosh u − 1)/u = 2 sinh²(u/2)/u; its logarithm is nearly straight in ln u.
  const wanted = Math.log((2 * sagM) / spanM);
  const over = (logU: number) => {
    const u = Math.exp(logU);
    // ln sinh x = x + ln(1 − e^(−2x)) − ln 2 holds for steep lines too.
    const logSinh = u / 2 + Math.log(-Math.expm1(-u)) - Math.LN2;
    return Math.LN2 + 2 * logSinh - logU - wanted;
  };
  const u = Math.exp(findRootFrom(over, Math.log(steepness), 1));
  const parameterM = spanM / (2 * u);
  return ok({
    horizontalN: weightNPerM * parameterM,
    tensionMaxN: weightNPerM * (parameterM + sagM),
    // S = √(sag (sag + 2a)) · 2 is the same as 2a sinh u, and keeps its digits.
    lengthM: 2 * Math.sqrt(sagM * (sagM + 2 * parameterM)),
    parameterM,
  });
}
