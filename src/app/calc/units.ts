import { z } from "zod";
import { ok } from "../../problem/mod.ts";
import { convert } from "../../units/mod.ts";
import { defineCalculation } from "./define.ts";

/** From one unit into another. */
export const unitCalculations = [
  defineCalculation({
    name: "convert",
    version: "1",
    answers:
      "What is a value in another unit of the same kind: force, length, mass, temperature, speed and their kin?",
    formula: "(value + offset₁) × factor₁ / factor₂ − offset₂, by exact factors",
    source: "NIST SP 811 (2008), Appendix B",
    input: z.object({ value: z.number(), from: z.string().max(200), to: z.string().max(200) }),
    output: z.object({ value: z.number() }),
    example: { value: 1, from: "kip", to: "kN" },
    run: ({ value, from, to }) => {
      const converted = convert(value, from, to);
      return converted.ok ? ok({ value: converted.value }, converted.warnings) : converted;
    },
  }),
];
