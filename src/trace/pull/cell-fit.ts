import { studentTQuantile } from "../../stats/mod.ts";
import type { CalibrationPoint, CellCalibration } from "../calibration.ts";

/** What a certificate says of a cell: how its net forces are corrected, and what is not known of that. */
export type CellFit = {
  /** Net force applied, from net force indicated. */
  correct(netN: number): number;
  /** Newtons applied for one more newton indicated: what a small error of the indicated force is worth. */
  slopeAt(netN: number): number;
  uncertaintyAt(netN: number): number;
  readonly basis: string;
  /** What the cell showed of no force while it was calibrated: net forces are indicated less this. */
  readonly zeroN: number;
  /** The lowest and highest force that was applied; absent without points. */
  readonly verified?: { readonly lowestN: number; readonly highestN: number; readonly points: number };
};

/** An offset that nobody wrote down is seen in the points with no less confidence than this (two-sided). */
const offsetConfidence = 0.999;
const fewestForAnOffset = 5;

/**
 * Rule R-CELL. What the certificate's cell showed of no force is taken off its points, as the rest is taken off a
 * recording: a point with nothing applied says it, or the other points do where they show it plainly. The ratio of
 * applied to indicated force is then a straight line in the indicated force by least squares: a cell errs by a part of
 * what it shows, and bends a little. With two points or one the ratio is their mean, and its scatter is not known. The
 * standard uncertainty is the line's, joined with the accuracy class where that is all there is (rectangular: over √3).
 * Absent where neither points nor class are known.
 *
 * @example
 * fitCell({ points: [{ appliedN: 500, indicatedN: 510 }, { appliedN: 1000, indicatedN: 1020 }] })?.correct(510) // 500
 */
export function fitCell({ points, accuracyClass, resolutionN }: CellCalibration): CellFit | undefined {
  const classPart = (accuracyClass ?? 0) / 100 / Math.sqrt(3);
  const zero = shownOfNothing(points);
  const usable = points
    .map(({ appliedN, indicatedN }) => ({ appliedN, indicatedN: indicatedN - zero.indicatedN }))
    .filter(({ appliedN, indicatedN }) => appliedN > 0 && indicatedN > 0);
  if (usable.length === 0) {
    if (accuracyClass === undefined) return undefined;
    return {
      correct: (netN) => netN,
      slopeAt: () => 1,
      uncertaintyAt: (netN) => classPart * Math.abs(netN),
      basis: `accuracy class ${accuracyClass}, rectangular`,
      zeroN: zero.indicatedN,
    };
  }
  const count = usable.length;
  const line = ratioLine(usable);
  const { meanX, meanRatio, across } = line;
  const bends = count >= 3 && across > 0;
  const slope = bends ? line.slope : 0;
  const scatter = bends ? Math.sqrt(line.squares / (count - (zero.fitted ? 3 : 2))) : 0;
  const forces = usable.map(({ appliedN }) => appliedN);
  return {
    correct: (netN) => netN * (meanRatio + slope * (netN - meanX)),
    slopeAt: (netN) => meanRatio + slope * (2 * netN - meanX),
    uncertaintyAt: (netN) =>
      Math.hypot(
        Math.abs(netN) * scatter * Math.sqrt(1 / count + (bends ? (netN - meanX) ** 2 / across : 0)),
        bends ? 0 : classPart * Math.abs(netN),
        (resolutionN ?? 0) / Math.sqrt(12),
        zero.errorN,
      ),
    basis: `${count} point${count === 1 ? "" : "s"} of the certificate`,
    zeroN: zero.indicatedN,
    verified: { lowestN: Math.min(...forces), highestN: Math.max(...forces), points: count },
  };
}

/** A net force as the certificate has it; as it is where nothing is known of the cell. */
export function applied(cell: CellFit | undefined, netN: number): number {
  return cell === undefined ? netN : cell.correct(netN);
}

/** The straight line of applied over indicated force in the indicated force, about the means. */
function ratioLine(points: readonly CalibrationPoint[]) {
  const count = points.length;
  const ratios = points.map(({ appliedN, indicatedN }) => appliedN / indicatedN);
  const meanX = points.reduce((sum, { indicatedN }) => sum + indicatedN, 0) / count;
  const meanRatio = ratios.reduce((sum, ratio) => sum + ratio, 0) / count;
  const across = points.reduce((sum, { indicatedN }) => sum + (indicatedN - meanX) ** 2, 0);
  const along = points.reduce(
    (sum, { indicatedN }, at) => sum + (indicatedN - meanX) * ((ratios[at] as number) - meanRatio),
    0,
  );
  const slope = across > 0 ? along / across : 0;
  const left = points.map(
    ({ indicatedN }, at) => (ratios[at] as number) - meanRatio - slope * (indicatedN - meanX),
  );
  return { meanX, meanRatio, across, slope, left, squares: left.reduce((sum, value) => sum + value ** 2, 0) };
}

/**
 * What the cell showed of no force while it was calibrated. Without a point that says so it is looked for in the others:
 * an offset bends the ratio as one over the indicated force does. It is taken where Student's t of that term is plain.
 */
function shownOfNothing(points: readonly CalibrationPoint[]): {
  readonly indicatedN: number;
  readonly errorN: number;
  readonly fitted: boolean;
} {
  const unloaded = points.filter(({ appliedN }) => appliedN === 0);
  if (unloaded.length > 0) {
    const sum = unloaded.reduce((total, { indicatedN }) => total + indicatedN, 0);
    return { indicatedN: sum / unloaded.length, errorN: 0, fitted: false };
  }
  const none = { indicatedN: 0, errorN: 0, fitted: false };
  const usable = points.filter(({ appliedN, indicatedN }) => appliedN > 0 && indicatedN > 0);
  const degrees = usable.length - 3;
  if (usable.length < fewestForAnOffset) return none;
  const line = ratioLine(usable);
  // What of 1 / indicated is no straight line, from the same fit: as if the applied forces were all 1.
  const bow = ratioLine(usable.map(({ indicatedN }) => ({ appliedN: 1, indicatedN }))).left;
  const bowed = bow.reduce((sum, value) => sum + value ** 2, 0);
  if (!(bowed > 0)) return none;
  const offsetN = bow.reduce((sum, value, at) => sum + value * (line.left[at] as number), 0) / bowed;
  const errorN = Math.sqrt(Math.max(0, line.squares - offsetN ** 2 * bowed) / degrees / bowed);
  if (Math.abs(offsetN) <= studentTQuantile((1 + offsetConfidence) / 2, degrees) * errorN) return none;
  // Applied = offset + ratio · indicated + bend · indicated²: where nothing is applied the cell shows the smaller root.
  const rest = ratioLine(
    usable.map(({ appliedN, indicatedN }) => ({ appliedN: appliedN - offsetN, indicatedN })),
  );
  const ratio = rest.meanRatio - rest.slope * rest.meanX;
  const root = ratio ** 2 - 4 * offsetN * rest.slope;
  if (!(ratio > 0) || !(root > 0)) return none;
  return { indicatedN: (-2 * offsetN) / (ratio + Math.sqrt(root)), errorN, fitted: true };
}
