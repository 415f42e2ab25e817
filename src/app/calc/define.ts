import { z } from "zod";
import { ok, type Result } from "../../problem/mod.ts";
import { checkInput } from "../check-input.ts";
import type { CalculationNote } from "../contract.ts";

/** One calculation as the doors see it: its note, its schemas, an example, and the way to run it. */
export type Calculation = CalculationNote & {
  /** Grows when the same input gives another number. */
  readonly version: string;
  readonly input: z.ZodType;
  readonly output: z.ZodType;
  /** An input that works, for help pages and for the test that runs it. */
  readonly example: unknown;
  /** Input and output as JSON Schema, draft 2020-12. */
  readonly schemas: () => { readonly input: object; readonly output: object };
  /** True where some inputs take more than 50 ms: a server runs it away from its own thread. */
  readonly long?: true;
  /** Checks the input and calculates. The result carries the calculation's name and version. */
  readonly calculate: (input: unknown) => Result<object>;
};

/**
 * Defines a calculation from typed parts.
 *
 * @example
 * defineCalculation({
 *   name: "half", version: "1", answers: "What is half of a value?", formula: "value / 2", source: "arithmetic",
 *   input: z.object({ value: z.number() }), output: z.object({ half: z.number() }), example: { value: 3 },
 *   run: ({ value }) => ok({ half: value / 2 }),
 * }).calculate({ value: 3 }) // { ok: true, value: { half: 1.5, calculation: { name: "half", version: "1" } }, … }
 */
export function defineCalculation<Input extends z.ZodType, Output extends z.ZodType<object>>(
  parts: CalculationNote & {
    readonly version: string;
    readonly long?: true;
    readonly input: Input;
    readonly output: Output;
    readonly example: z.input<Input>;
    readonly run: (input: z.output<Input>) => Result<z.output<Output>>;
  },
): Calculation {
  const { name, version, long, answers, formula, source, input, output, example, run } = parts;
  return {
    name,
    version,
    ...(long === undefined ? {} : { long }),
    answers,
    formula,
    source,
    input,
    output,
    example,
    schemas: () => ({
      input: z.toJSONSchema(input, { io: "input" }),
      output: z.toJSONSchema(output, { io: "output" }),
    }),
    calculate: (given) => {
      const checked = checkInput(input, given);
      if (!checked.ok) return checked;
      const result = run(checked.value as z.output<Input>);
      if (!result.ok) return result;
      const fault = notFinite(result.value);
      if (fault !== undefined) throw new Error(`The calculation ${name} gave no finite number at ${fault}.`);
      return ok({ ...result.value, calculation: { name, version } }, result.warnings);
    },
  };
}

/** Where a result holds NaN or an infinity, which JSON would turn into null: a fault of the program, never an answer. */
function notFinite(value: unknown, path = "value"): string | undefined {
  if (typeof value === "number") return Number.isFinite(value) ? undefined : path;
  if (typeof value !== "object" || value === null) return undefined;
  for (const [field, inside] of Object.entries(value)) {
    const fault = notFinite(inside, `${path}.${field}`);
    if (fault !== undefined) return fault;
  }
  return undefined;
}
