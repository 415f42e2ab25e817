import { expect, test } from "vitest";
import { logUpperSlopes, sumUpperSlopes } from "./log-upper-table.ts";
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

test("sums over a list are those of single calls, also in the far tails", () => {
  const values = Float64Array.from({ length: 300 }, (_, i) => -12 + 0.1 * i);
  const [mean, perScatter] = [0.3, 0.9];
  const sums = { value: 0, first: 0, firstByZ: 0, second: 0, secondByZ: 0, secondByZZ: 0 };
  sumUpperSlopes(values, 5, 290, mean, perScatter, sums);
  const plain = [0, 0, 0, 0, 0, 0];
  for (const value of values.subarray(5, 290)) {
    const z = (value - mean) * perScatter;
    logUpperSlopes(z, at);
    const terms = [at.value, at.first, z * at.first, at.second, z * at.second, z * z * at.second];
    for (const [k, term] of terms.entries()) plain[k] = (plain[k] as number) + term;
  }
  for (const [k, got] of Object.values(sums).entries())
    expect(Math.abs(got / (plain[k] as number) - 1)).toBeLessThan(1e-12);
});
