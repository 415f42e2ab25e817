import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import type { Factor, LevelValue, PlannedPull } from "../../series/mod.ts";
import { cutLength, type FinishedState, type JobRecipe, type RopeFields } from "../../splice/mod.ts";

/** What a plan takes of rope, time and money. */
export type PlanBudget = {
  /** The cut length of one specimen, by level of the bury where it is varied. */
  readonly cuts: readonly {
    readonly buryDiameters?: number;
    readonly specimens: number;
    readonly cutLengthMm: number;
  }[];
  readonly ropeM: number;
  readonly massG?: number;
  readonly cost?: { readonly value: number; readonly currency: string };
};

export type BudgetInput = {
  readonly specimens: readonly Pick<PlannedPull, "levels" | "spool">[];
  /** The factor that is the bury, where one is; its levels in mm or in diameters as it says. */
  readonly bury?: Pick<Factor, "name" | "unit">;
  readonly rope: RopeFields;
  readonly recipe: JobRecipe;
  readonly lengthMm: number;
  readonly state?: FinishedState;
  /** By the spool's name as the plan has it; the price of each where it is known. */
  readonly spools?: readonly {
    readonly name: string;
    readonly pricePerM?: number | undefined;
    readonly currency: string;
  }[];
};

/**
 * How much rope does a plan take, and what does it weigh and cost?
 *
 * Each specimen is cut by its recipe (docs/methods/cut-length.md), with the bury of its level where bury is varied, to come
 * out at lengthMm. Mass where the rope's mass per length is known; cost where every spool used has a price, in one currency.
 * What is cut off for trials, tails and mistakes is not in it. Refused: what cannot be cut, with the bury at which.
 *
 * @example
 * // src/findings/planning/planning.test.ts works a plan of two buries by hand.
 */
export function planBudget(input: BudgetInput): Result<PlanBudget> {
  const { specimens, bury, rope, recipe, lengthMm, state = { measure: "inside" } } = input;
  const groups = new Map<number | undefined, number>();
  for (const { levels } of specimens) {
    const level = diametersOf(bury, levels, rope.nominalDiameterMm);
    groups.set(level, (groups.get(level) ?? 0) + 1);
  }
  const cuts: PlanBudget["cuts"][number][] = [];
  const problems: Problem[] = [];
  const warnings = new Map<string, Warning>();
  for (const [buryDiameters, count] of groups) {
    const own = buryDiameters === undefined ? recipe : { ...recipe, buryFullDiameters: buryDiameters };
    const cut = cutLength({ rope, recipe: own, state }, lengthMm);
    const at = buryDiameters === undefined ? "" : ` (bury ${Number(buryDiameters.toPrecision(4))} d)`;
    if (!cut.ok) problems.push(...cut.problems.map((one) => ({ ...one, message: `${one.message}${at}` })));
    else {
      cuts.push({
        ...(buryDiameters === undefined ? {} : { buryDiameters }),
        specimens: count,
        cutLengthMm: cut.value.cutLengthMm,
      });
      for (const warning of cut.warnings) warnings.set(warning.message, warning);
    }
  }
  cuts.sort((a, b) => (a.buryDiameters ?? 0) - (b.buryDiameters ?? 0));
  const [first, ...more] = problems;
  if (first !== undefined) return refuse(first, ...more);
  const ropeM = cuts.reduce((sum, cut) => sum + (cut.specimens * cut.cutLengthMm) / 1000, 0);
  const { massPerLengthGPerM } = rope;
  const cost = costOf(input, (levels) => {
    const level = diametersOf(bury, levels, rope.nominalDiameterMm);
    return (cuts.find((cut) => cut.buryDiameters === level)?.cutLengthMm ?? 0) / 1000;
  });
  return ok(
    {
      cuts,
      ropeM,
      ...(massPerLengthGPerM === undefined ? {} : { massG: massPerLengthGPerM * ropeM }),
      ...(cost === undefined ? {} : { cost }),
    },
    [...warnings.values()],
  );
}

function diametersOf(
  bury: BudgetInput["bury"],
  levels: Readonly<Record<string, LevelValue>>,
  diameterMm: number,
): number | undefined {
  const level = bury === undefined ? undefined : levels[bury.name];
  if (typeof level !== "number") return undefined;
  return bury?.unit === "mm" ? level / diameterMm : level;
}

function costOf(
  { specimens, spools = [] }: BudgetInput,
  metresOf: (levels: Readonly<Record<string, LevelValue>>) => number,
): PlanBudget["cost"] {
  const byName = new Map(spools.map((spool) => [spool.name, spool]));
  const currencies = new Set<string>();
  let value = 0;
  for (const { levels, spool } of specimens) {
    const from = spool === undefined ? undefined : byName.get(spool);
    if (from?.pricePerM === undefined) return undefined;
    currencies.add(from.currency);
    value += from.pricePerM * metresOf(levels);
  }
  const [currency] = currencies;
  return currencies.size === 1 && currency !== undefined ? { value, currency } : undefined;
}
