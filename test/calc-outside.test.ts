import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { calculations, checkInput, findCalculation, runCalculation } from "../src/app/mod.ts";

/**
 * Check values computed elsewhere (R, scipy, mpmath), each with its source, in the JSON file that BITTEREND_CHECKS names;
 * they are no part of the project. Where it is named, every case whose calculation is registered is run.
 */
const file = process.env["BITTEREND_CHECKS"];

type Case = {
  readonly id: string;
  readonly calc: string;
  readonly input: unknown;
  readonly expect: unknown;
  readonly relTol: number;
  readonly absTol?: number;
  readonly source: string;
};

const cases: readonly Case[] =
  file === undefined || file === "" ? [] : JSON.parse(readFileSync(file, "utf8")).cases;
const registered = new Set(calculations.map(({ name }) => name));

describe("the registry", () => {
  it("holds the calculations that the command line has promised from the start", () => {
    expect([...registered]).toEqual(
      expect.arrayContaining(["tolerance-factor", "lower-bound", "summary", "convert"]),
    );
    expect(registered.size).toBe(calculations.length);
  });

  it.each(calculations.map((calculation) => [calculation.name, calculation] as const))(
    "runs the example of %s, and its result is what its schema says",
    (name, calculation) => {
      const result = runCalculation(name, calculation.example);
      if (!result.ok) throw new Error(JSON.stringify(result.problems));
      const { calculation: by, ...value } = result.value as Record<string, unknown>;
      expect(by).toEqual({ name, version: calculation.version });
      // Strictly: a field that the schema does not name is refused as well.
      expect(checkInput(calculation.output, value)).toMatchObject({ ok: true });
      expect(JSON.stringify(value)).not.toMatch(/null/);
      const { input, output } = calculation.schemas();
      expect(output).toMatchObject({ type: "object" });
      // An object, or a choice of several.
      expect("oneOf" in input ? "object" : (input as { type?: string }).type).toBe("object");
      for (const text of [calculation.answers, calculation.formula, calculation.source])
        expect(text.length).toBeGreaterThan(10);
    },
  );

  it.each(calculations.map(({ name }) => [name] as const))("refuses of %s what is no input", (name) => {
    for (const input of [undefined, null, 3, "text", [], { nothing: "known" }])
      expect(runCalculation(name, input).ok).toBe(false);
  });

  it("says which name was meant", () => {
    expect(findCalculation("tolerence-factor")).toMatchObject({
      ok: false,
      problems: [{ code: "INPUT_UNKNOWN", wayOut: 'Did you mean "tolerance-factor"?' }],
    });
    expect(runCalculation("nothing like it", {})).toMatchObject({ ok: false });
  });

  // Published values, so that the everyday run stands on outside truth by itself.
  it.each([
    // ISO 16269-6:2014 and R. E. Odeh, D. B. Owen (1980): one-sided, n = 10, content and confidence 0.95 (from memory).
    ["tolerance-factor", { n: 10, content: 0.95, confidence: 0.95 }, "factor", 2.911, 5e-4],
    // The same tables, n = 5, content 0.90 and confidence 0.95 (from memory).
    ["tolerance-factor", { n: 5, content: 0.9, confidence: 0.95 }, "factor", 3.407, 5e-4],
    // NIST SP 811 (2008) Appendix B.8: 1 kip = 4.448222 kN, rounded there to seven digits.
    ["convert", { value: 1, from: "kip", to: "kN" }, "value", 4.448222, 5e-7],
    // By hand: 2, 4, 4, 4, 5, 5, 7, 9 has mean 5 and squares that add up to 32; sd = sqrt(32 / 7).
    ["summary", { values: [2, 4, 4, 4, 5, 5, 7, 9] }, "sd", Math.sqrt(32 / 7), 1e-12],
    [
      "lower-bound",
      { values: [2, 4, 4, 4, 5, 5, 7, 9], method: "mean-3sd" },
      "bound",
      5 - 3 * Math.sqrt(32 / 7),
      1e-12,
    ],
  ] as const)("%s %j gives its published %s", (name, input, field, value, tolerance) => {
    const result = runCalculation(name, input);
    const got = result.ok ? (result.value as Record<string, number>)[field] : undefined;
    expect(Math.abs((got ?? Number.NaN) - value)).toBeLessThanOrEqual(tolerance);
  });
});

if (cases.length > 0)
  describe("values computed elsewhere", () => {
    const here = cases.filter(({ calc }) => registered.has(calc));
    it.each(here.map((one) => [one.id, one] as const))(
      "%s",
      (_, { calc, input, expect: expected, relTol, absTol }) => {
        const result = runCalculation(calc, input);
        if (isRefusal(expected)) {
          // The number of values that would do is part of the refusal.
          expect(JSON.stringify(result)).toContain(String(expected.needs));
          expect(result.ok).toBe(false);
          return;
        }
        if (!result.ok) throw new Error(JSON.stringify(result.problems));
        expect(differences(result.value, expected, relTol, absTol ?? 0)).toEqual([]);
      },
    );
    it("are tried where there is a calculation for them", () => {
      expect(here.length).toBeGreaterThan(50);
    });
  });

function isRefusal(expected: unknown): expected is { readonly refused: true; readonly needs: number } {
  return typeof expected === "object" && expected !== null && "refused" in expected;
}

/** Where a result differs from what is expected, by the rule |got − expect| ≤ max(absTol, relTol · |expect|). */
function differences(got: unknown, expected: unknown, relTol: number, absTol: number, path = ""): string[] {
  if (typeof expected === "number" && typeof got === "number") {
    const allowed = Math.max(absTol, relTol * Math.abs(expected));
    return Math.abs(got - expected) <= allowed ? [] : [`${path}: ${got} is not ${expected}`];
  }
  if (typeof expected === "object" && expected !== null && typeof got === "object" && got !== null) {
    const lengths =
      Array.isArray(expected) && (got as unknown[]).length !== expected.length
        ? [`${path}: ${(got as unknown[]).length} entries, not ${expected.length}`]
        : [];
    return [
      ...lengths,
      ...Object.entries(expected).flatMap(([field, value]) =>
        differences((got as Record<string, unknown>)[field], value, relTol, absTol, `${path}.${field}`),
      ),
    ];
  }
  return Object.is(got, expected)
    ? []
    : [`${path}: ${JSON.stringify(got)} is not ${JSON.stringify(expected)}`];
}
