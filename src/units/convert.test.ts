import { describe, expect, it } from "vitest";
import {
  convert,
  dimensionOf,
  dimensions,
  forceUnits,
  fromForceUnit,
  lengthUnits,
  newtons,
  toForceUnit,
  units,
  unitsOf,
} from "./mod.ts";

// NIST SP 811 (2008), Appendix B.8 and B.9: factors by their exact definitions, the last digits by exact fractions.
const published: readonly [value: number, from: string, to: string, expected: number][] = [
  [1, "lbf", "N", 4.4482216152605],
  [1, "kip", "kN", 4.4482216152605],
  [1, "kgf", "N", 9.80665],
  [1, "long ton-force (2240 lbf)", "kN", 9.96401641818352],
  [1, "tonne-force (1000 kgf)", "kN", 9.80665],
  [1, "dyn", "N", 1e-5],
  [1, "in", "m", 0.0254],
  [1, "ft", "m", 0.3048],
  [1, "fathom (6 international ft)", "m", 1.8288],
  [1, "nautical mile", "m", 1852.0],
  [1, "mil (0.001 in)", "um", 25.4],
  [1, "lb", "kg", 0.45359237],
  [1, "oz", "g", 28.349523125],
  [1, "short ton", "kg", 907.18474],
  [1, "slug", "kg", 14.593902937206364],
  [1, "knot", "m/s", 0.5144444444444445],
  [1, "ft/min", "m/s", 0.00508],
  [1, "psi", "kPa", 6.894757293168361],
  [1, "kgf/mm2", "MPa", 9.80665],
  [1, "lbf/ft2", "Pa", 47.880258980335846],
  [1, "bar", "kPa", 100.0],
  [1, "lb/ft", "kg/m", 1.4881639435695537],
  [1, "lb/100ft", "kg/m", 0.014881639435695537],
  [1, "lbf/ft", "N/m", 14.593902937206364],
  [1, "ft lbf", "J", 1.3558179483314003],
  [1, "kW h", "MJ", 3.6],
  [1, "tex", "mg/m", 1.0],
  [1, "gf/denier", "N/tex", 0.08825985],
  [1, "in2", "mm2", 645.16],
  [1, "standard gravity", "m/s2", 9.80665],
  [36, "ft", "m", 10.9728],
];

// NIST SP 811 (2008), B.8: t/°C = (t/°F − 32)/1.8, T/K = t/°C + 273.15.
const temperatures: readonly [value: number, from: string, to: string, expected: number][] = [
  [212, "degF", "degC", 100],
  [-40, "degF", "degC", -40],
  [98.6, "degF", "degC", 37],
  [23, "degC", "degF", 73.4],
  [0, "degC", "K", 273.15],
  [-459.67, "degF", "K", 0],
];

describe("convert", () => {
  it.each(published)("%d %s in %s", (value, from, to, expected) => {
    const answer = convert(value, from, to);
    // A handful of roundings at 1.1e-16 each.
    expect(answer.ok && Math.abs(answer.value / expected - 1)).toBeLessThan(1e-15);
  });

  it.each(temperatures)("%d %s in %s", (value, from, to, expected) => {
    const answer = convert(value, from, to);
    expect(answer.ok && answer.value).toBeCloseTo(expected, 10);
  });

  it("takes a definition in brackets only where it agrees with the table", () => {
    expect(convert(1, "mile (5280 ft)", "m").ok).toBe(true);
    expect(convert(1, "mile (5000 ft)", "m").ok).toBe(false);
  });

  it("comes back to where it started, for every unit", () => {
    for (const unit of units) {
      for (const other of unitsOf(unit.dimension)) {
        const there = convert(7.25, unit.symbol, other);
        const back = there.ok && convert(there.value, other, unit.symbol);
        // The offset of a temperature costs digits.
        expect(back ? back.ok && back.value : undefined).toBeCloseTo(
          7.25,
          unit.dimension === "temperature" ? 10 : 12,
        );
      }
    }
  });

  it("knows no spelling twice", () => {
    const spellings = units.flatMap((unit) => [unit.symbol, ...unit.aliases]);
    expect(new Set(spellings).size).toBe(spellings.length);
    expect(new Set(units.map((unit) => unit.dimension)).size).toBe(dimensions.length);
  });

  it("refuses with what it knows", () => {
    const unknown = convert(1, "furlong", "m");
    expect(unknown.ok ? "" : unknown.problems[0]?.code).toBe("UNIT_UNKNOWN");
    expect(unknown.ok ? "" : unknown.problems[0]?.expected).toContain("kN");
    const mismatch = convert(1, "lbs", "kN");
    expect(mismatch.ok ? "" : mismatch.problems[0]?.code).toBe("UNIT_MISMATCH");
    expect(mismatch.ok ? "" : mismatch.problems[0]?.wayOut).toContain("lbf");
    expect(convert(1, "KN", "N").ok).toBe(false);
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY])
      expect(convert(value, "N", "kN").ok).toBe(false);
    expect(convert(1e308, "kN", "N").ok).toBe(false);
  });

  it("says what a unit measures", () => {
    expect(dimensionOf("g/m")).toBe("mass per length");
    expect(dimensionOf("parsec")).toBeUndefined();
  });
});

describe("forces of loggers", () => {
  it("have every unit in the table", () => {
    for (const unit of forceUnits) {
      expect(dimensionOf(unit)).toBe("force");
      expect(toForceUnit(fromForceUnit(3, unit), unit)).toBeCloseTo(3, 14);
    }
    for (const unit of lengthUnits) expect(dimensionOf(unit)).toBe("length");
  });

  it("convert by the exact factors", () => {
    expect(fromForceUnit(2, "kN")).toBe(2000);
    expect(toForceUnit(newtons(4448.2216152605), "lbf")).toBeCloseTo(1000, 10);
    expect(fromForceUnit(1000, "kgf")).toBeCloseTo(9806.65, 10);
  });
});
