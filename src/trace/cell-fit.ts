import type { CellCalibration } from "./calibration.ts";

/** What a certificate says of a cell: how its net forces are corrected, and what is not known of that. */
export type CellFit = {
  /** Net force applied, from net force indicated. */
  correct(netN: number): number;
  uncertaintyAt(netN: number): number;
  readonly basis: string;
  /** The lowest and highest force that was applied; absent without points. */
  readonly verified?: { readonly lowestN: number; readonly highestN: number; readonly points: number };
};

/**
 * Rule R-CELL. The ratio of applied to indicated force, as a straight line in the indicated force by least squares through
 * the certificate's points (above zero): a cell errs by a part of what it shows, and bends a little. With two points or one
 * the ratio is their mean, and its scatter is not known. The standard uncertainty is the line's, joined with the accuracy
 * class where that is all there is (rectangular: over √3). Absent where neither points nor class are known.
 *
 * @example
 * fitCell({ points: [{ appliedN: 500, indicatedN: 510 }, { appliedN: 1000, indicatedN: 1020 }] })?.correct(510) // 500
 */
export function fitCell({ points, accuracyClass, resolutionN }: CellCalibration): CellFit | undefined {
  const usable = points.filter(({ appliedN, indicatedN }) => appliedN > 0 && indicatedN > 0);
  const classPart = (accuracyClass ?? 0) / 100 / Math.sqrt(3);
  if (usable.length === 0) {
    if (accuracyClass === undefined) return undefined;
    return {
      correct: (netN) => netN,
      uncertaintyAt: (netN) => classPart * Math.abs(netN),
      basis: `accuracy class ${accuracyClass}, rectangular`,
    };
  }
  const count = usable.length;
  const ratios = usable.map(({ appliedN, indicatedN }) => appliedN / indicatedN);
  const meanX = usable.reduce((sum, { indicatedN }) => sum + indicatedN, 0) / count;
  const meanRatio = ratios.reduce((sum, ratio) => sum + ratio, 0) / count;
  const across = usable.reduce((sum, { indicatedN }) => sum + (indicatedN - meanX) ** 2, 0);
  const along = usable.reduce(
    (sum, { indicatedN }, at) => sum + (indicatedN - meanX) * ((ratios[at] as number) - meanRatio),
    0,
  );
  const bends = count >= 3 && across > 0;
  const slope = bends ? along / across : 0;
  const squares = usable.reduce(
    (sum, { indicatedN }, at) =>
      sum + ((ratios[at] as number) - meanRatio - slope * (indicatedN - meanX)) ** 2,
    0,
  );
  const scatter = bends ? Math.sqrt(squares / (count - 2)) : 0;
  const applied = usable.map(({ appliedN }) => appliedN);
  return {
    correct: (netN) => netN * (meanRatio + slope * (netN - meanX)),
    uncertaintyAt: (netN) =>
      Math.hypot(
        Math.abs(netN) * scatter * Math.sqrt(1 / count + (bends ? (netN - meanX) ** 2 / across : 0)),
        bends ? 0 : classPart * Math.abs(netN),
        (resolutionN ?? 0) / Math.sqrt(12),
      ),
    basis: `${count} point${count === 1 ? "" : "s"} of the certificate`,
    verified: { lowestN: Math.min(...applied), highestN: Math.max(...applied), points: count },
  };
}
