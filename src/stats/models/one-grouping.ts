import { findRoot } from "../numeric/root.ts";
import type { FixedPart } from "./fixed-part.ts";
import { bendOf, type Profile, profileOf, roomFor, satterthwaite, slopeOf, slopesOf } from "./profile.ts";

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
export function fitOneGrouping(fixed: FixedPart, of: Int32Array, groups: number): OneGrouping | undefined {
  const { within, sizes, between, counts, size } = gather(fixed, of, groups);
  const freedom = fixed.response.length - fixed.columns.length;
  // Filled anew by each evaluation.
  const matrix = new Float64Array(size * size);
  const slope = new Float64Array(size * size);
  const scratch = roomFor(size);
  const at = (ratio: number, room = scratch) => {
    let [ofGroups, ofGroupsSlope] = [0, 0];
    for (const [s, m] of sizes.entries()) {
      const w = 1 / (1 + m * ratio);
      const own = between[s] as Float64Array;
      // Loops, also from 0: to copy or fill so few numbers by a call takes longer than all else here.
      for (let i = 0; i < matrix.length; i++) {
        const value = own[i] as number;
        matrix[i] = (s === 0 ? (within[i] as number) : (matrix[i] as number)) + w * value;
        slope[i] = (s === 0 ? 0 : (slope[i] as number)) - m * w * w * value;
      }
      ofGroups += (counts[s] as number) * Math.log1p(m * ratio);
      ofGroupsSlope += (counts[s] as number) * m * w;
    }
    const profile = profileOf(matrix, size, room);
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
  const best = falls ? undefined : at(ratio, roomFor(size));
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
function gather({ columns, response }: FixedPart, of: Int32Array, groups: number) {
  const all = [...columns, response];
  const size = all.length;
  const n = response.length;
  const numbers = new Float64Array(groups);
  for (let i = 0; i < n; i++) numbers[of[i] as number] = (numbers[of[i] as number] as number) + 1;
  const means = all.map((column) => {
    const sums = new Float64Array(groups);
    for (let i = 0; i < n; i++)
      sums[of[i] as number] = (sums[of[i] as number] as number) + (column[i] as number);
    for (let g = 0; g < groups; g++) sums[g] = (sums[g] as number) / (numbers[g] as number);
    return sums;
  });
  const within = new Float64Array(size * size);
  const sizes = [...new Set(numbers)];
  const place = new Map(sizes.map((m, s) => [m, s]));
  const places = Int32Array.from(numbers, (m) => place.get(m) as number);
  const counts = new Float64Array(sizes.length);
  for (const s of places) counts[s] = (counts[s] as number) + 1;
  const between = sizes.map(() => new Float64Array(size * size));
  for (let a = 0; a < size; a++)
    for (let b = 0; b <= a; b++) {
      const [x, y] = [all[a] as Float64Array, all[b] as Float64Array];
      const [u, v] = [means[a] as Float64Array, means[b] as Float64Array];
      let total = 0;
      for (let i = 0; i < n; i++) {
        const g = of[i] as number;
        total += ((x[i] as number) - (u[g] as number)) * ((y[i] as number) - (v[g] as number));
      }
      within[a * size + b] = total;
      within[b * size + a] = total;
      for (let g = 0; g < groups; g++) {
        const own = between[places[g] as number] as Float64Array;
        own[a * size + b] =
          (own[a * size + b] as number) + (numbers[g] as number) * (u[g] as number) * (v[g] as number);
        own[b * size + a] = own[a * size + b] as number;
      }
    }
  return { within, sizes, between, counts, size };
}
