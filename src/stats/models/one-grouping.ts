import { findRoot } from "../numeric/root.ts";
import type { FixedPart } from "./fixed-part.ts";
import {
  bendOf,
  eliminateSlopes,
  type Profile,
  profileOf,
  roomFor,
  satterthwaite,
  slopeOf,
} from "./profile.ts";

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
  // Filled anew for each ratio that is looked at.
  const matrix = new Float64Array(size * size);
  const slope = new Float64Array(size * size);
  const lay = (ratio: number) => {
    for (let s = 0; s < sizes.length; s++) {
      const m = sizes[s] as number;
      const w = 1 / (1 + m * ratio);
      const own = between[s] as Float64Array;
      // Loops, also from 0: to copy or fill so few numbers by a call takes longer than all else here.
      for (let i = 0; i < matrix.length; i++) {
        const value = own[i] as number;
        matrix[i] = (s === 0 ? (within[i] as number) : (matrix[i] as number)) + w * value;
        slope[i] = (s === 0 ? 0 : (slope[i] as number)) - m * w * w * value;
      }
    }
  };
  const scratch = roomFor(size);
  const at = (ratio: number, room = scratch) => {
    lay(ratio);
    const profile = profileOf(matrix, size, room);
    if (profile === undefined || !(profile.squares > 0)) return undefined;
    let logDeterminant = profile.logDeterminant;
    for (let s = 0; s < sizes.length; s++)
      logDeterminant += (counts[s] as number) * Math.log1p((sizes[s] as number) * ratio);
    return { profile, logDeterminant, criterion: logDeterminant + freedom * Math.log(profile.squares) };
  };
  /** How the criterion changes with the ratio. */
  const bentAt = (log: number) => {
    const ratio = Math.exp(log);
    lay(ratio);
    const slopes = eliminateSlopes(matrix, slope, size);
    if (slopes === undefined || !(slopes.of > 0)) return Number.POSITIVE_INFINITY;
    let bent = slopes.logDeterminant + (freedom * slopes.squares) / slopes.of;
    for (let s = 0; s < sizes.length; s++) {
      const m = sizes[s] as number;
      bent += ((counts[s] as number) * m) / (1 + m * ratio);
    }
    return bent;
  };
  const zero = at(0);
  if (zero === undefined) return undefined;
  // Every place where the criterion stops falling, between ratios of e⁻¹⁵ and e³⁰.
  let [ratio, least] = [0, zero.criterion];
  let before = bentAt(lowest);
  for (let log = lowest; log < highest; log += step) {
    const next = bentAt(log + step);
    if (before < 0 && next >= 0) {
      const there = Math.exp(findRoot(bentAt, log, log + step, before, next));
      const criterion = at(there)?.criterion ?? Number.POSITIVE_INFINITY;
      if (criterion < least) [ratio, least] = [there, criterion];
    }
    before = next;
  }
  const best = before < 0 ? undefined : at(ratio, roomFor(size));
  if (best === undefined) return undefined;
  const { profile, logDeterminant } = best;
  return {
    ratio,
    profile,
    logDeterminant,
    df: (combinations) => {
      if (ratio === 0) return combinations.map(() => freedom);
      lay(ratio);
      // The matrix itself is in the profile: its room is free.
      const second = matrix;
      let ofGroups = 0;
      for (let s = 0; s < sizes.length; s++) {
        const m = sizes[s] as number;
        const own = between[s] as Float64Array;
        const w = m / (1 + m * ratio);
        ofGroups -= (counts[s] as number) * w * w;
        const bend = (2 * w * w) / (1 + m * ratio);
        for (let i = 0; i < second.length; i++)
          second[i] = (s === 0 ? 0 : (second[i] as number)) + bend * (own[i] as number);
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

/**
 * Cross-products within groups, and between them gathered by the groups' sizes; the response's column is the last. Few and
 * long lists: to lay one out takes as long as to add up sixty numbers.
 */
function gather({ columns, response }: FixedPart, of: Int32Array, groups: number) {
  const all = [...columns, response];
  const size = all.length;
  const n = response.length;
  const numbers = new Float64Array(groups);
  for (let i = 0; i < n; i++) numbers[of[i] as number] = (numbers[of[i] as number] as number) + 1;
  // Column after column: the means of its groups, and what each row has beside its group's.
  const means = new Float64Array(size * groups);
  const off = new Float64Array(size * n);
  for (let a = 0; a < size; a++) {
    const column = all[a] as Float64Array;
    const from = a * groups;
    for (let i = 0; i < n; i++) {
      const at = from + (of[i] as number);
      means[at] = (means[at] as number) + (column[i] as number);
    }
    for (let g = 0; g < groups; g++) means[from + g] = (means[from + g] as number) / (numbers[g] as number);
    for (let i = 0; i < n; i++)
      off[a * n + i] = (column[i] as number) - (means[from + (of[i] as number)] as number);
  }
  const sizes: number[] = [];
  const counts: number[] = [];
  const places = new Int32Array(groups);
  for (let g = 0; g < groups; g++) {
    const known = sizes.indexOf(numbers[g] as number);
    const place = known >= 0 ? known : sizes.push(numbers[g] as number) - 1;
    places[g] = place;
    counts[place] = (counts[place] ?? 0) + 1;
  }
  const within = new Float64Array(size * size);
  const between = sizes.map(() => new Float64Array(size * size));
  for (let a = 0; a < size; a++)
    for (let b = 0; b <= a; b++) {
      let total = 0;
      for (let i = 0; i < n; i++) total += (off[a * n + i] as number) * (off[b * n + i] as number);
      within[a * size + b] = total;
      within[b * size + a] = total;
      for (let g = 0; g < groups; g++) {
        const own = between[places[g] as number] as Float64Array;
        const [u, v] = [means[a * groups + g] as number, means[b * groups + g] as number];
        own[a * size + b] = (own[a * size + b] as number) + (numbers[g] as number) * u * v;
        own[b * size + a] = own[a * size + b] as number;
      }
    }
  return { within, sizes, between, counts, size };
}
