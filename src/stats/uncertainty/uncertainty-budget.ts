import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { normalQuantile } from "../distributions/normal.ts";
import { studentTQuantile } from "../distributions/student-t.ts";
import { problemsOfShare } from "../values.ts";

/** How `value` is meant: a standard uncertainty, or the half-width of limits that are never passed. */
export const budgetDistributions = ["normal", "t", "rectangular", "triangular", "u-shaped"] as const;

export type BudgetPart = {
  readonly name: string;
  /** "normal", "t": the standard uncertainty. Else: the half-width of the limits. */
  readonly value: number;
  readonly distribution: (typeof budgetDistributions)[number];
  /** Without: known without doubt. */
  readonly degreesOfFreedom?: number;
  /** How much the result moves per unit of this quantity; 1 unless said. */
  readonly sensitivity?: number;
};

export type UncertaintyBudget = {
  readonly combined: number;
  /** Welch-Satterthwaite, not rounded; absent where nothing limits them. */
  readonly effectiveDegreesOfFreedom?: number;
  readonly coverageFactor: number;
  readonly expanded: number;
  readonly probability: number;
  readonly parts: readonly {
    readonly name: string;
    readonly standardUncertainty: number;
    /** |sensitivity| × standard uncertainty. */
    readonly contribution: number;
    /** Of the combined variance, as a fraction. */
    readonly share: number;
  }[];
};

/**
 * What the parts of an uncertainty come to together, and which of them matters.
 *
 * One part or more, independent of each other. probability 0.95 unless said, or a coverage factor k by itself. The
 * effective degrees of freedom are truncated to a whole number for Student's t, as the GUM has it.
 * Formula: u² = Σ (c u)²; ν = u⁴/Σ((c u)⁴/ν); U = t(probability; ν) u. Source: JCGM 100:2008 (GUM), 5.1.2, G.4 and G.6.4.
 *
 * @example
 * const answer = uncertaintyBudget({ parts: [
 *   { name: "cell", value: 0.3, distribution: "rectangular" },
 *   { name: "readings", value: 0.1, distribution: "t", degreesOfFreedom: 4 },
 * ] });
 * answer.ok && answer.value.combined // 0.2
 */
export function uncertaintyBudget(input: {
  readonly parts: readonly BudgetPart[];
  readonly probability?: number;
  readonly k?: number;
}): Result<UncertaintyBudget> {
  const { parts, probability = 0.95 } = input;
  const [problem, ...more] = [
    ...problemsOfParts(parts),
    ...problemsOfShare(probability, "probability"),
    ...problemsOfK(input.k),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const worked = parts.map((part) => {
    const standardUncertainty = part.value / divisors[part.distribution];
    return { part, standardUncertainty, contribution: Math.abs(part.sensitivity ?? 1) * standardUncertainty };
  });
  const combined = Math.hypot(...worked.map(({ contribution }) => contribution));
  const doubt = worked.reduce(
    (sum, { part, contribution }) =>
      sum +
      (combined > 0
        ? (contribution / combined) ** 4 / (part.degreesOfFreedom ?? Number.POSITIVE_INFINITY)
        : 0),
    0,
  );
  const effective = doubt > 0 ? 1 / doubt : undefined;
  const p = 0.5 + probability / 2;
  // 1e-9: nine parts of nine degrees of freedom are eighty-one, not a rounding error less.
  const whole = effective === undefined ? undefined : Math.max(1, Math.floor(effective + 1e-9));
  const factor = input.k ?? (whole === undefined ? normalQuantile(p) : studentTQuantile(p, whole));
  return ok({
    combined,
    ...(effective !== undefined && { effectiveDegreesOfFreedom: effective }),
    coverageFactor: factor,
    expanded: factor * combined,
    probability,
    parts: worked.map(({ part, standardUncertainty, contribution }) => ({
      name: part.name,
      standardUncertainty,
      contribution,
      share: combined > 0 ? (contribution / combined) ** 2 : 0,
    })),
  });
}

const divisors = {
  normal: 1,
  t: 1,
  rectangular: Math.sqrt(3),
  triangular: Math.sqrt(6),
  "u-shaped": Math.SQRT2,
};

function problemsOfParts(parts: readonly BudgetPart[]): Problem[] {
  if (parts.length === 0) {
    return [
      {
        code: "STAT_TOO_FEW",
        message: "An uncertainty budget needs one part, has 0.",
        where: { field: "parts" },
        found: "0",
        expected: "1 or more",
      },
    ];
  }
  return parts.flatMap((part, i) => {
    const field = (name: string) => ({ field: `parts[${i}].${name}` });
    const { value, sensitivity = 1, degreesOfFreedom = 1 } = part;
    const problems: Problem[] = [];
    if (!(value >= 0 && Number.isFinite(value)))
      problems.push({
        code: "STAT_VALUE",
        message: `The uncertainty of "${part.name}" must be 0 or more.`,
        where: field("value"),
        found: String(value),
      });
    if (!Number.isFinite(sensitivity))
      problems.push({
        code: "STAT_VALUE",
        message: `The sensitivity to "${part.name}" must be finite.`,
        where: field("sensitivity"),
        found: String(sensitivity),
      });
    if (!(degreesOfFreedom > 0))
      problems.push({
        code: "STAT_VALUE",
        message: `The degrees of freedom of "${part.name}" must be above 0.`,
        where: field("degreesOfFreedom"),
        found: String(degreesOfFreedom),
      });
    if (!Object.hasOwn(divisors, part.distribution))
      problems.push({
        code: "INPUT_UNKNOWN",
        message: `The distribution of "${part.name}" is not known.`,
        where: field("distribution"),
        found: String(part.distribution),
        expected: `one of ${budgetDistributions.join(", ")}`,
      });
    return problems;
  });
}

function problemsOfK(k: number | undefined): Problem[] {
  if (k === undefined || (k > 0 && Number.isFinite(k))) return [];
  return [
    {
      code: "STAT_VALUE",
      message: "A coverage factor must be above 0.",
      where: { field: "k" },
      found: String(k),
    },
  ];
}
