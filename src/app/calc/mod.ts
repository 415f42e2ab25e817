/**
 * The registry: every calculation once, with its note, schemas and example. The command line, the HTTP call, its page and
 * the report's method notes come from it.
 *
 * @example
 * const answer = runCalculation("convert", { value: 1, from: "kip", to: "kN" });
 * answer.ok && answer.value // { value: 4.4482216152605, calculation: { name: "convert", version: "1" } }
 */
import { type Result, refuse } from "../../problem/mod.ts";
import { closestName } from "../closest-name.ts";
import type { CalculationNote } from "../contract.ts";
import { boundCalculations } from "./bounds.ts";
import { checkCalculations } from "./checks.ts";
import { claimCalculations } from "./claims.ts";
import { compareCalculations } from "./compare.ts";
import { countCalculations } from "./counts.ts";
import { curveCalculations } from "./curves.ts";
import type { Calculation } from "./define.ts";
import { describingCalculations } from "./describe.ts";
import { fitCalculations } from "./fits.ts";
import { modelCalculations } from "./models.ts";
import { planningCalculations } from "./planning.ts";
import { rigCalculations } from "./rig.ts";
import { slipOrBreakCalculations } from "./slip-or-break.ts";
import { spliceCalculations } from "./splice.ts";
import { uncertaintyCalculations } from "./uncertainty.ts";
import { unitCalculations } from "./units.ts";

export type { Calculation } from "./define.ts";

/** All calculations, in the order in which they are listed. */
export const calculations: readonly Calculation[] = [
  ...describingCalculations,
  ...boundCalculations,
  ...fitCalculations,
  ...checkCalculations,
  ...compareCalculations,
  ...modelCalculations,
  ...curveCalculations,
  ...slipOrBreakCalculations,
  ...claimCalculations,
  ...planningCalculations,
  ...countCalculations,
  ...uncertaintyCalculations,
  ...spliceCalculations,
  ...rigCalculations,
  ...unitCalculations,
];

/** A calculation by its name; refused with the name that was probably meant. */
export function findCalculation(name: string): Result<Calculation> {
  const found = calculations.find((calculation) => calculation.name === name);
  if (found !== undefined) return { ok: true, value: found, warnings: [] };
  const names = calculations.map((calculation) => calculation.name);
  const meant = closestName(name, names);
  return refuse({
    code: "INPUT_UNKNOWN",
    message: `There is no calculation "${name}".`,
    found: name,
    expected: `one of ${names.join(", ")}`,
    ...(meant === undefined ? {} : { wayOut: `Did you mean "${meant}"?` }),
  });
}

/** Runs a calculation on input from outside. */
export function runCalculation(name: string, input: unknown): Result<object> {
  const found = findCalculation(name);
  return found.ok ? found.value.calculate(input) : found;
}

/** The note of a calculation that is known to be here. */
export function noteOf(name: string): CalculationNote {
  const found = calculations.find((calculation) => calculation.name === name);
  if (found === undefined) throw new Error(`The registry has no calculation "${name}".`);
  const { answers, formula, source } = found;
  return { name, answers, formula, source };
}
