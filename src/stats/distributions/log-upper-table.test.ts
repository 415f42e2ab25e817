import { expect, test } from "vitest";
import { logUpperSlopes } from "./log-upper-table.ts";
import { logNormalUpper, normalHazard } from "./normal.ts";

const at = { value: 0, first: 0, second: 0 };

test("the table agrees with the plain functions from tail to tail", () => {
  let worst = [0, 0, 0];
  for (let i = 0; i <= 100_000; i++) {
    const z = -10 + (26 * i) / 100_000;
    const hazard = normalHazard(z);
    logUpperSlopes(z, at);
    const errors = [
      [at.value, logNormalUpper(z)],
      [at.first, -hazard],
      [at.second, -hazard * (hazard - z)],
    ].map(([got = 0, wanted = 0]) => Math.abs(got - wanted) / (1 + Math.abs(wanted)));
    worst = worst.map((most, k) => Math.max(most, errors[k] as number));
  }
  // A quintic over 1/32 leaves (1/32)⁶/46080 of the sixth derivative; each slope costs a factor of some 32 · 10.
  expect(worst[0]).toBeLessThan(2e-13);
  expect(worst[1]).toBeLessThan(1e-11);
  expect(worst[2]).toBeLessThan(1e-9);
});

test("published shares above: 0.5 at 0, 0.158655253931457 at 1, 7.61985302416e-24 at 10", () => {
  // M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, tables 26.1 and 26.2 (from memory).
  for (const [z, share] of [
    [0, 0.5],
    [1, 0.158655253931457],
    [10, 7.61985302416e-24],
  ] as const) {
    logUpperSlopes(z, at);
    expect(Math.abs(Math.exp(at.value) / share - 1)).toBeLessThan(1e-11);
  }
});
