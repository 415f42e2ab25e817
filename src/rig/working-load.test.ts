import { expect, test } from "vitest";
import type { Newtons } from "../units/mod.ts";
import { designFactors, workingLoad } from "./mod.ts";

test("workingLoad divides the bound by the factor", () => {
  // 0027/ND: an overall factor of 2.3 on 46 kN leaves 20 kN (arithmetic).
  expect(workingLoad(46_000 as Newtons, 2.3)).toEqual({ ok: true, value: 20_000, warnings: [] });
});

test("workingLoad refuses a bound at or below zero, and a factor below one, each by name", () => {
  const answer = workingLoad(-1 as Newtons, 0.5);
  expect(answer.ok).toBe(false);
  expect(answer.ok ? [] : answer.problems.map((problem) => problem.where?.field)).toEqual([
    "boundN",
    "factor",
  ]);
  for (const bad of [0, Number.NaN, Number.POSITIVE_INFINITY])
    expect(workingLoad(bad as Newtons, 2).ok).toBe(false);
  expect(workingLoad(1 as Newtons, Number.NaN).ok).toBe(false);
});

test("every customary factor names its source and what it divides, and none is for people", () => {
  for (const row of designFactors) {
    expect(row.source).not.toBe("");
    expect(row.dividesWhat).not.toBe("");
    expect(`${row.field} ${row.dividesWhat}`).not.toMatch(/people|person|fall|highline/i);
  }
});
