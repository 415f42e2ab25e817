import { expect, test } from "vitest";
import { createRandom } from "../random/random.ts";
import { eliminateSlopes, profileOf, slopesOf } from "./profile.ts";

/** A symmetric matrix of random numbers; its own square where it is to be positive. */
function drawn(size: number, seed: number, positive: boolean): Float64Array {
  const { normal } = createRandom(seed);
  const rows = Array.from({ length: size }, () => Array.from({ length: size }, normal));
  const value = (i: number, j: number) =>
    positive
      ? (rows[i] as number[]).reduce((sum, x, k) => sum + x * (rows[j]?.[k] as number), 0)
      : (rows[Math.max(i, j)]?.[Math.min(i, j)] as number);
  return Float64Array.from({ length: size * size }, (_, at) => value(Math.floor(at / size), at % size));
}

test.each([1, 2, 3, 6])("by elimination of %d rows, slopes are those by the inverse", (size) => {
  for (let seed = 1; seed <= 50; seed++) {
    const [matrix, slope] = [drawn(size, seed, true), drawn(size, seed + 1000, false)];
    const profile = profileOf(matrix, size);
    if (profile === undefined) throw new Error("a matrix times its transpose is positive");
    const plain = slopesOf(profile, slope);
    const got = eliminateSlopes(matrix.slice(), slope.slice(), size);
    // Both lose digits as the matrix comes near to losing a row: as many as its inverse is large.
    const within = 1e-13 * (1 + Math.max(...profile.inverse.map(Math.abs))) ** 2;
    const near = (a = Number.NaN, b = Number.NaN) =>
      expect(Math.abs(a - b)).toBeLessThan(within * (1 + Math.abs(b)));
    near(got?.logDeterminant, plain.logDeterminant);
    near(got?.squares, plain.squares);
    near(got?.of, profile.squares);
  }
});

test("slopes of a straight change are those of the profile's own figures", () => {
  const [matrix, slope, size, h] = [drawn(4, 7, true), drawn(4, 8, false), 4, 1e-6];
  const at = (by: number) =>
    profileOf(
      matrix.map((value, i) => value + by * (slope[i] as number)),
      size,
    );
  const [before, after] = [at(-h), at(h)];
  const got = eliminateSlopes(matrix.slice(), slope.slice(), size);
  // Central differences: off by h² and by rounding over h.
  for (const of of ["logDeterminant", "squares"] as const)
    expect(got?.[of]).toBeCloseTo(((after?.[of] ?? 0) - (before?.[of] ?? 0)) / (2 * h), 5);
});

test("a lost pivot gives none", () => {
  const singular = Float64Array.of(1, 2, 0, 2, 4, 0, 0, 0, 1);
  expect(eliminateSlopes(singular, new Float64Array(9), 3)).toBeUndefined();
  expect(profileOf(Float64Array.of(1, 2, 0, 2, 4, 0, 0, 0, 1), 3)).toBeUndefined();
});
