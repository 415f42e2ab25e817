import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { normalQuantile } from "../distributions/normal.ts";
import { studentTQuantile } from "../distributions/student-t.ts";
import { moments } from "../numeric/moments.ts";
import { standardDeviation } from "../summary.ts";
import { problemsOfShare, problemsOfValues } from "../values.ts";
import { fewestDegrees } from "./coverage-factor.ts";

/** Where the knowledge of an uncertainty comes from. */
export type UncertaintySource =
  | { readonly form: "readings"; readonly values: readonly number[] }
  /** A certificate's "U, k = 2". */
  | { readonly form: "multiple"; readonly expanded: number; readonly k: number }
  /** "± halfWidth with 95 %". */
  | {
      readonly form: "interval";
      readonly halfWidth: number;
      readonly probability: number;
      readonly degreesOfFreedom?: number;
    }
  /** Limits that are never passed: a class, a tolerance, a resolution (half of the last digit). */
  | {
      readonly form: "limits";
      readonly halfWidth: number;
      readonly distribution?: "rectangular" | "triangular" | "u-shaped" | "trapezoidal";
      /** For trapezoidal: the top's width over the base's, from 0 to 1. */
      readonly top?: number;
    }
  | {
      readonly form: "limits";
      readonly lower: number;
      readonly upper: number;
      readonly distribution?: "rectangular";
    };

export type StandardUncertainty = {
  /** The standard uncertainty, in the unit of the input. */
  readonly u: number;
  readonly mean?: number;
  readonly sd?: number;
  /** Absent: taken as known without doubt. */
  readonly degreesOfFreedom?: number;
};

/**
 * The standard uncertainty that a statement amounts to: repeated readings, a certificate, an interval, or limits.
 *
 * Formulas: readings sd/√n with n − 1 degrees of freedom; multiple U/k; interval halfWidth/z or /t; limits a/√3
 * (rectangular), a/√6 (triangular), a/√2 (u-shaped), a √((1 + β²)/6) (trapezoidal), (upper − lower)/√12.
 * Source: JCGM 100:2008 (GUM), 4.2.3, 4.3.3 to 4.3.9 and 4.4.
 *
 * @example
 * const answer = standardUncertainty({ form: "limits", halfWidth: 15, distribution: "rectangular" });
 * answer.ok && answer.value.u // 8.66
 */
export function standardUncertainty(input: UncertaintySource): Result<StandardUncertainty> {
  if (input.form === "readings") {
    const [problem] = problemsOfValues(input.values, 2, "A standard uncertainty from readings");
    if (problem !== undefined) return refuse(problem);
    const n = input.values.length;
    const sd = standardDeviation(input.values);
    return ok({ u: sd / Math.sqrt(n), mean: moments(input.values).mean, sd, degreesOfFreedom: n - 1 });
  }
  if (input.form === "multiple") {
    const [problem] = [...problemsOfSize(input.expanded, "expanded"), ...problemsOfPositive(input.k, "k")];
    return problem === undefined ? quotient(input.expanded, input.k, "k") : refuse(problem);
  }
  if (input.form === "interval") return fromInterval(input);
  if (!("halfWidth" in input)) {
    const [problem] = problemsOfSize(input.upper - input.lower, "upper");
    return problem === undefined ? ok({ u: (input.upper - input.lower) / Math.sqrt(12) }) : refuse(problem);
  }
  const top = input.top ?? 0;
  const [problem] = [
    ...problemsOfSize(input.halfWidth, "halfWidth"),
    ...(top >= 0 && top <= 1 ? [] : problemsOfShare(top, "top")),
  ];
  if (problem !== undefined) return refuse(problem);
  const divisors = {
    rectangular: Math.sqrt(3),
    triangular: Math.sqrt(6),
    "u-shaped": Math.SQRT2,
    trapezoidal: Math.sqrt(6 / (1 + top * top)),
  };
  return ok({ u: input.halfWidth / divisors[input.distribution ?? "rectangular"] });
}

function fromInterval(input: Extract<UncertaintySource, { form: "interval" }>): Result<StandardUncertainty> {
  const { halfWidth, probability, degreesOfFreedom } = input;
  const [problem] = [
    ...problemsOfSize(halfWidth, "halfWidth"),
    ...problemsOfShare(probability, "probability"),
    ...(degreesOfFreedom === undefined || (degreesOfFreedom >= fewestDegrees && degreesOfFreedom < Infinity)
      ? []
      : [wrong(degreesOfFreedom, "degreesOfFreedom", `a finite number, ${fewestDegrees} or more`)]),
  ];
  if (problem !== undefined) return refuse(problem);
  const p = 0.5 + probability / 2;
  const k = degreesOfFreedom === undefined ? normalQuantile(p) : studentTQuantile(p, degreesOfFreedom);
  const u = quotient(halfWidth, k, "probability");
  return u.ok ? ok({ ...u.value, ...(degreesOfFreedom !== undefined && { degreesOfFreedom }) }) : u;
}

/** Of a factor next to nothing no number may be left. */
function quotient(width: number, k: number, field: string): Result<StandardUncertainty> {
  const u = width / k;
  return Number.isFinite(u)
    ? ok({ u })
    : refuse(wrong(k, field, "large enough for the width that it goes with"));
}

function problemsOfSize(value: number, field: string): Problem[] {
  return value >= 0 && Number.isFinite(value) ? [] : [wrong(value, field, "a finite number, 0 or more")];
}

function problemsOfPositive(value: number, field: string): Problem[] {
  return value > 0 && Number.isFinite(value) ? [] : [wrong(value, field, "a finite number above 0")];
}

function wrong(value: number, field: string, expected: string): Problem {
  return {
    code: "STAT_VALUE",
    message: `The ${field} of an uncertainty must be ${expected}.`,
    where: { field },
    found: String(value),
    expected,
  };
}
