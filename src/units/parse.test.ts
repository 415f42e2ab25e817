import { describe, expect, it } from "vitest";
import type { Dimension } from "./mod.ts";
import {
  formatForce,
  formatForceTwice,
  formatNumber,
  newtons,
  parseForceUnit,
  parseQuantity,
  withUnitsKept,
} from "./mod.ts";

describe("parseForceUnit", () => {
  // The headers are made up; what they must mean is common practice, no published source.
  it.each([
    ["kN", "kN", true],
    ["[kN]", "kN", true],
    ["(lbf)", "lbf", true],
    ["Force [N]", "N", true],
    ["Force (channel 1) [kN]", "kN", true],
    ["Load_lbf", "lbf", true],
    ["Force, daN", "daN", true],
    ["Force N", "N", true],
    ["Load in kip", "kip", true],
    ["Kilonewtons", "kN", true],
    ["KN", "kN", false],
    ["lbs", "lbf", false],
    ["Load (lbs)", "lbf", false],
    ["Weight kg", "kgf", false],
    ["t", "tf", false],
    ["klb", "kip", false],
  ])("reads %s as %s, exactly: %s", (text, unit, exact) => {
    const found = parseForceUnit(text);
    expect(found?.unit).toBe(unit);
    expect(found?.exact).toBe(exact);
    expect(found?.note === undefined).toBe(exact);
  });

  it.each([
    "",
    "Force",
    "Time (s)",
    "kN/m",
    "MPa",
    "Displacement [mm]",
    "channel N",
    "kg/m3",
    "Position in mm",
  ])("finds no unit of force in %j", (text) => expect(parseForceUnit(text)).toBeUndefined());
});

describe("parseQuantity", () => {
  // By definition: 1 in = 25.4 mm, 1 ft = 12 in, and arithmetic.
  it.each<[string, Dimension, number]>([
    ["2 ft 3 in", "length", 27 * 0.0254],
    ["-2 ft 3 in", "length", -27 * 0.0254],
    ["2'3\"", "length", 27 * 0.0254],
    ["600 mm", "length", 0.6],
    ["1/4 in", "length", 0.00635],
    ["5 1/2 in", "length", 5.5 * 0.0254],
    ["5/16in", "length", 0.0079375],
    ["12.5 kN", "force", 12500],
    ["12,5 kN", "force", 12500],
    ["1e3 N", "force", 1000],
    ["3.2 lb/100ft", "mass per length", (3.2 * 0.45359237) / 30.48],
    ["250 mm/min", "speed", 0.25 / 60],
    ["1 h 30 min", "time", 5400],
    ["-40 degF", "temperature", 233.15],
    ["1 nautical mile", "length", 1852],
    [".5 m", "length", 0.5],
  ])("reads %s", (text, dimension, si) => {
    const answer = parseQuantity(text, dimension);
    expect(answer.ok && answer.value.value).toBeCloseTo(si, 12);
  });

  it.each<[string, Dimension, string]>([
    ["600", "length", "INPUT_FIELD"],
    ["mm", "length", "INPUT_FIELD"],
    ["", "length", "INPUT_FIELD"],
    ["600 parsec", "length", "UNIT_UNKNOWN"],
    ["600 kg", "force", "UNIT_MISMATCH"],
    ["12,500 N", "force", "INPUT_FIELD"],
    ["1/0 in", "length", "INPUT_FIELD"],
    ["3 in 2 ft", "length", "INPUT_FIELD"],
    ["2 ft -3 in", "length", "INPUT_FIELD"],
    ["1e999 N", "force", "INPUT_FIELD"],
    ["20 degC 3 K", "temperature", "INPUT_FIELD"],
  ])("refuses %j", (text, dimension, code) => {
    const answer = parseQuantity(text, dimension);
    expect(answer.ok ? "read" : answer.problems[0]?.code).toBe(code);
  });
});

describe("formatNumber", () => {
  // Rounding worked by hand; NIST SP 811 B.7.1 for 6.974951.
  it.each<[number, Parameters<typeof formatNumber>[1], string]>([
    [6.974951, { significant: 3 }, "6.97"],
    [6.974951, { significant: 2 }, "7.0"],
    [9.996, { significant: 3 }, "10.0"],
    [41234, { significant: 3 }, "41200"],
    [99960, { significant: 3 }, "100000"],
    [0.0123456, { significant: 3 }, "0.0123"],
    [0, { significant: 3 }, "0.00"],
    [-0.004, { decimals: 2 }, "0.00"],
    [1234.5, { decimals: 0 }, "1235"],
    [1e22, { significant: 3 }, "10000000000000000000000"],
    [1e-9, { significant: 2 }, "0.0000000010"],
    [12, { decimals: 1 }, "12.0"],
  ])("writes %d with %o as %s", (value, format, text) => {
    expect(formatNumber(value, format)).toBe(text);
  });
});

describe("formatForce", () => {
  it("writes the figure and the unit, and pounds-force beside kilonewtons", () => {
    expect(formatForce(newtons(41234))).toEqual({ figure: "41.2", unit: "kN", text: "41.2 kN" });
    expect(formatForce(newtons(41234), "N", { decimals: 0 }).text).toBe("41234 N");
    // 41234 N / 4.4482216152605 = 9269.77 lbf.
    expect(formatForceTwice(newtons(41234))).toBe("41.2 kN (9270 lbf)");
  });
});

describe("withUnitsKept", () => {
  it("ties a figure to its unit and a sign to its figure, and leaves other words alone", () => {
    expect(withUnitsKept("from 54 d on, 95 % of 2 pulls, p = 0.5; 1 drum, 20 000 tables")).toBe(
      "from 54\u00a0d on, 95\u00a0% of 2 pulls, p =\u00a00.5; 1 drum, 20\u00a0000 tables",
    );
  });
});
