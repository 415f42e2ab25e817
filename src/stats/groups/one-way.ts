import { fTails } from "../distributions/f.ts";
import { moments, scaleToWhole } from "../numeric/moments.ts";
import type { Groups } from "./groups.ts";

export type OneWay = {
  readonly f: number;
  readonly p: number;
  readonly dfBetween: number;
  readonly dfWithin: number;
  readonly ssBetween: number;
  readonly ssWithin: number;
  readonly msBetween: number;
  readonly msWithin: number;
};

/**
 * The one-way analysis of variance. Sums run over the values as the decimals they were typed as, so that a scatter of a
 * tenth about 1e12 keeps its digits (NIST StRD SmLs07 to SmLs09). f is infinite where nothing scatters within groups.
 */
export function oneWay(groups: Groups): OneWay {
  const all = groups.flat();
  const { scaled, unit } = scaleToWhole(all);
  // About a common whole number, so that group means are small and exact to the last digit.
  const pivot = Math.round(moments(scaled).mean);
  const shifted = scaled.map((value) => value - pivot);
  let next = 0;
  const within = groups.map(({ length }) => {
    const from = next;
    next += length;
    return moments(shifted.subarray(from, next));
  });
  const { mean } = moments(shifted);
  const ssWithin = unit.toSquare(within.reduce((sum, { sumOfSquares }) => sum + sumOfSquares, 0));
  const ssBetween = unit.toSquare(within.reduce((sum, group) => sum + group.n * (group.mean - mean) ** 2, 0));
  const dfBetween = groups.length - 1;
  const dfWithin = all.length - groups.length;
  const msBetween = ssBetween / dfBetween;
  const msWithin = ssWithin / dfWithin;
  const f = msBetween / msWithin;
  return {
    f,
    p: fTails(f, dfBetween, dfWithin).upper,
    dfBetween,
    dfWithin,
    ssBetween,
    ssWithin,
    msBetween,
    msWithin,
  };
}
