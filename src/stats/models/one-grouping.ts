import { findRoot } from "../numeric/root.ts";
import type { FixedPart } from "./fixed-part.ts";
import { bendOf, type Profile, profileOf, satterthwaite, slopeOf, slopesOf } from "./profile.ts";

export type OneGrouping = {
  /** Of the variance between groups to that within. */
  readonly ratio: number;
  readonly profile: Profile;
  /** The log determinant of the fixed effects' matrix and of the groups' variances together. */
  readonly logDeterminant: number;
  readonly df: (combinations: readonly (readonly number[])[]) => number[];
};

/**
 * The ratio of variances at which the restricted likelihood is largest, for groups that differ in their intercept alone.
 * What rows say enters by cross-products within groups and by group means, gathered once for each size of group; an
 * evaluation costs sizes × columns². Nothing where the likelihood grows without end, since nothing scatters within groups.
 *
 * `of`: the number of each row's group, from 0.
 */
export function fitOneGrouping(
  fixed: FixedPart,
  of: ArrayLike<number>,
  groups: number,
): OneGrouping | undefined {
  const { within, sizes, between, counts, size } = gather(fixed, of, groups);
  const freedom = fixed.response.length - fixed.columns.length;
  // Filled anew by each evaluation.
  const matrix = new Float64Array(size * size);
  const slope = new Float64Array(size * size);
  const at = (ratio: number) => {
    matrix.set(within);
    slope.fill(0);
    let [ofGroups, ofGroupsSlope] = [0, 0];
    for (const [s, m] of sizes.entries()) {
      const w = 1 / (1 + m * ratio);
      const own = between[s] as Float64Array;
      for (let i = 0; i < matrix.length; i++) {
        matrix[i] = (matrix[i] as number) + w * (own[i] as number);
        slope[i] = (slope[i] as number) - m * w * w * (own[i] as number);
      }
      ofGroups += (counts[s] as number) * Math.log1p(m * ratio);
      ofGroupsSlope += (counts[s] as number) * m * w;
    }
    const profile = profileOf(matrix, size);
    if (profile === undefined || !(profile.squares > 0)) return undefined;
    const { logDeterminant, squares } = slopesOf(profile, slope);
    return {
      profile,
      logDeterminant: profile.logDeterminant + ofGroups,
      criterion: profile.logDeterminant + ofGroups + freedom * Math.log(profile.squares),
      bent: logDeterminant + ofGroupsSlope + (freedom * squares) / profile.squares,
    };
  };
  const zero = at(0);
  if (zero === undefined) return undefined;
  // Every place where the criterion stops falling, between ratios of e⁻¹⁵ and e³⁰.
  let [ratio, least] = [0, zero.criterion];
  const bentAt = (log: number) => at(Math.exp(log))?.bent ?? Number.POSITIVE_INFINITY;
  let falls = bentAt(lowest) < 0;
  for (let log = lowest; log < highest; log += step) {
    const next = bentAt(log + step);
    if (falls && next >= 0) {
      const there = Math.exp(findRoot(bentAt, log, log + step));
      const criterion = at(there)?.criterion ?? Number.POSITIVE_INFINITY;
      if (criterion < least) [ratio, least] = [there, criterion];
    }
    falls = next < 0;
  }
  const best = falls ? undefined : at(ratio);
  if (best === undefined) return undefined;
  const { profile, logDeterminant } = best;
  return {
    ratio,
    profile,
    logDeterminant,
    df: (combinations) => {
      if (ratio === 0) return combinations.map(() => freedom);
      const second = new Float64Array(size * size);
      let ofGroups = 0;
      for (const [s, m] of sizes.entries()) {
        const w = m / (1 + m * ratio);
        ofGroups -= (counts[s] as number) * w * w;
        for (let i = 0; i < second.length; i++)
          second[i] =
            (second[i] as number) + ((2 * m * m) / (1 + m * ratio) ** 3) * (between[s]?.[i] as number);
      }
      const along = slopeOf(profile, slope);
      const bend = bendOf(profile, along, along, second);
      return satterthwaite(
        profile,
        [along],
        [[{ ...bend, logDeterminant: bend.logDeterminant + ofGroups }]],
        freedom,
        combinations,
      );
    },
  };
}

const [lowest, highest, step] = [-15, 30, 1.5];

/** Cross-products within groups, and between them gathered by the groups' sizes; the response's column is the last. */
function gather({ columns, response }: FixedPart, of: ArrayLike<number>, groups: number) {
  const all = [...columns, response];
  const size = all.length;
  const n = response.length;
  const numbers = new Float64Array(groups);
  for (let i = 0; i < n; i++) numbers[of[i] as number] = (numbers[of[i] as number] as number) + 1;
  const means = all.map((column) => {
    const sums = new Float64Array(groups);
    for (let i = 0; i < n; i++)
      sums[of[i] as number] = (sums[of[i] as number] as number) + (column[i] as number);
    return sums.map((value, g) => value / (numbers[g] as number));
  });
  const inside = all.map((column, j) =>
    column.map((value, i) => value - (means[j]?.[of[i] as number] as number)),
  );
  const within = new Float64Array(size * size);
  const sizes = [...new Set(numbers)];
  const place = new Map(sizes.map((m, s) => [m, s]));
  const places = Int32Array.from(numbers, (m) => place.get(m) as number);
  const counts = new Float64Array(sizes.length);
  for (const s of places) counts[s] = (counts[s] as number) + 1;
  const between = sizes.map(() => new Float64Array(size * size));
  for (let a = 0; a < size; a++)
    for (let b = 0; b <= a; b++) {
      const [x, y] = [inside[a] as Float64Array, inside[b] as Float64Array];
      let total = 0;
      for (let i = 0; i < n; i++) total += (x[i] as number) * (y[i] as number);
      within[a * size + b] = total;
      within[b * size + a] = total;
      const [u, v] = [means[a] as Float64Array, means[b] as Float64Array];
      for (let g = 0; g < groups; g++) {
        const own = between[places[g] as number] as Float64Array;
        own[a * size + b] =
          (own[a * size + b] as number) + (numbers[g] as number) * (u[g] as number) * (v[g] as number);
        own[b * size + a] = own[a * size + b] as number;
      }
    }
  return { within, sizes, between, counts, size };
}
