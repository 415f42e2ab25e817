import { hasStrength, type JudgedPull, singlePullUncertainty } from "../../findings/mod.ts";
import { type SharedForces, sharedForces, sharedPercents } from "../shared-digits.ts";

/** How the figures of the table of pulls are written, so that each kind of figure has the same digits in every row. */
export type PullDigits = {
  readonly force: SharedForces;
  readonly percent: (fraction: number) => string;
  /** Of newtons in a second. */
  readonly rate: SharedForces;
};

/** The digits of the table of pulls, from each pull's own uncertainty, or 1 % of a strength that has none. */
export function pullDigits(pulls: readonly JudgedPull[]): PullDigits {
  const relative = ({ strengthN = 0, strengthExpandedN }: JudgedPull) =>
    strengthN > 0 && strengthExpandedN !== undefined && strengthExpandedN > 0
      ? strengthExpandedN / 2 / strengthN
      : singlePullUncertainty(1);
  const column = (of: (pull: JudgedPull) => number | undefined, share = relative) =>
    pulls.flatMap((pull) => {
      const value = of(pull);
      return value === undefined ? [] : [{ value, uncertainty: Math.abs(value) * share(pull) }];
    });
  // Efficiencies rest on a rated strength that is hardly known to better than 1 %, whatever the pull was read to.
  const onePerCent = () => singlePullUncertainty(1);
  return {
    force: sharedForces([
      column((pull) => (hasStrength(pull) ? pull.strengthN : undefined)),
      column(({ firstSlipN }) => firstSlipN, onePerCent),
    ]),
    percent: sharedPercents([
      column(({ lineEfficiency }) => lineEfficiency, onePerCent),
      column(({ legEfficiency }) => legEfficiency, onePerCent),
    ]),
    // A rate is a mean over a stretch that is chosen by rule: 5 % of it is taken, and a tenth of that is not told apart.
    rate: sharedForces([
      column(
        ({ loadingRateNPerS }) => loadingRateNPerS,
        () => 0.05,
      ).map((rate) => ({ ...rate, tell: rate.uncertainty / 10 })),
    ]),
  };
}
