import type { DeepReading, DrawnPull, LoggerTruth, PullReading } from "../../src/trace/mod.ts";
import { type JudgedBoundary, judgeBoundaries, type TrueForce, trueBoundaries } from "./boundaries.ts";

export type DeepPull = PullReading & { readonly deep?: DeepReading };

export const outcomes = ["broke", "slipped", "stopped"] as const;
export type Outcome = (typeof outcomes)[number];

/** What else a reading says of a pull; told beside the targets. */
export const quantities = [
  "bedding cycles counted",
  "hand pump told from a steady drive",
  "force left on strands within 2 % of the peak",
  "energy to the peak within 2 %",
] as const;
export type Quantity = (typeof quantities)[number];

/** One pull of the truth, judged against what was read of it. Absent: there was nothing to judge. */
export type JudgedPull = {
  readonly found: boolean;
  readonly peak?: JudgedPeak;
  readonly boundaries?: readonly JudgedBoundary[];
  readonly settling?: { readonly given: boolean; readonly inside: boolean };
  /** In pulls whose slips all stand out of the noise: whether they were found, each and no other. */
  readonly slips?: { readonly wanted: number; readonly read: number; readonly exact: boolean };
  readonly quantities?: readonly { readonly name: Quantity; readonly right: boolean }[];
  readonly byHand: boolean;
  /** Slips that never were; absent where slips are not given. */
  readonly falseSlips?: number;
  readonly outcome?: {
    readonly truth: Outcome;
    readonly likeliest?: Outcome;
    readonly probabilities?: Readonly<Record<Outcome, number>>;
  };
};

export type JudgedPeak = {
  /** A peak that was cut off is right as a lower bound that says so; "point" is any other. */
  readonly kind: "point" | "lower bound";
  readonly given: boolean;
  readonly right: boolean;
  /** Error over standard uncertainty. */
  readonly z?: number;
  readonly errorPart?: number;
};

/** How finely slips and boundaries must be placed in time, in seconds. */
export type Tolerance = { readonly before: number; readonly after: number };

/** max(0.1 s, 2 samples, a batch of equal stamps); later also by what an averaging amplifier lags behind. */
export function toleranceOf({ rateHz, averagedSamples, batchS }: LoggerTruth): Tolerance {
  const before = Math.max(0.1, 2 / rateHz, batchS);
  return { before, after: before + (averagedSamples - 1) / rateHz };
}

/** Judges one pull by the rules of docs/accuracy.md. */
export function judgePull(
  truth: DrawnPull,
  read: DeepPull | undefined,
  known: {
    readonly logger: LoggerTruth;
    readonly force: TrueForce;
    readonly forceIsTrue: boolean;
    readonly position?: boolean;
  },
): JudgedPull {
  const { logger, force } = known;
  const tolerance = toleranceOf(logger);
  const deep = read?.deep;
  const byHand = truth.drive === "strokes";
  const slips = judgeSlips(truth, deep, logger, tolerance);
  return {
    found: read !== undefined,
    ...(known.forceIsTrue && truth.clipped !== "barely" ? { peak: judgePeak(truth, deep) } : {}),
    boundaries: judgeBoundaries(deep?.phases ?? [], trueBoundaries(truth, force, logger), truth, tolerance),
    ...judgeSettling(truth, deep),
    ...(slips.judged === undefined ? {} : { slips: slips.judged }),
    ...(deep === undefined ? {} : { quantities: judgeQuantities(truth, deep, known) }),
    byHand,
    ...(slips.falseOnes === undefined ? {} : { falseSlips: slips.falseOnes }),
    ...judgeOutcome(truth, deep),
  };
}

function judgePeak(truth: DrawnPull, deep: DeepReading | undefined): JudgedPeak {
  const kind = truth.clipped === "plainly" || truth.endCut ? "lower bound" : "point";
  const peak = deep?.peak;
  if (peak === undefined) return { kind, given: false, right: false };
  const { valueN, expandedN, standardN, lowerBound } = peak;
  const errorN = valueN - truth.peakN;
  const right =
    kind === "point" ? !lowerBound && Math.abs(errorN) <= expandedN : lowerBound && errorN <= expandedN;
  return { kind, given: true, right, z: errorN / standardN, errorPart: errorN / truth.peakN };
}

function judgeSettling(truth: DrawnPull, deep: DeepReading | undefined): Pick<JudgedPull, "settling"> {
  if (truth.hold === undefined) return {};
  const interval = deep?.hold?.settling?.perDecade.interval;
  if (interval === undefined) return { settling: { given: false, inside: false } };
  const r = truth.hold.settlingPerDecade;
  return { settling: { given: true, inside: r >= interval[0] && r <= interval[1] } };
}

/** The smallest slip that must be counted, in standard deviations of the noise, of which steps are a part. */
const standsOut = 5;
/** Slips must lie this many samples apart, or no sample shows the force between them regained. */
const samplesApart = 4;

/** Whether the samples can show each slip of a pull by itself. */
function areShown(
  { slips, strandBreaks, endingTimeS }: DrawnPull,
  { noiseN, stepN, rateHz }: LoggerTruth,
): boolean {
  const scatterN = Math.hypot(noiseN, stepN / Math.sqrt(12));
  const others = [...slips, ...strandBreaks].map(({ timeS }) => timeS);
  return slips.every(
    ({ fromN, toN, timeS }) =>
      fromN - toN > standsOut * scatterN &&
      [...others, endingTimeS].every(
        (atS) => atS === timeS || Math.abs(atS - timeS) >= samplesApart / rateHz,
      ),
  );
}

function judgeSlips(
  truth: DrawnPull,
  deep: DeepReading | undefined,
  logger: LoggerTruth,
  tolerance: Tolerance,
) {
  const judge = truth.slips.length > 0 && areShown(truth, logger) && truth.clipped === "no";
  if (deep === undefined)
    return { judged: judge ? { wanted: truth.slips.length, read: 0, exact: false } : undefined };
  const near = (a: number | undefined, b: number) =>
    a !== undefined && a - b >= -tolerance.before && a - b <= tolerance.after;
  const left = deep.slips.slice();
  let found = 0;
  for (const { timeS } of truth.slips) {
    const at = left.findIndex((slip) => near(slip.timeS, timeS));
    if (at < 0) continue;
    left.splice(at, 1);
    found++;
  }
  // Strands that part look like slips: one that was read there is neither wanted nor wrong.
  const falseOnes = left.filter(
    (slip) => !truth.strandBreaks.some(({ timeS }) => near(slip.timeS, timeS)),
  ).length;
  return {
    judged: judge
      ? {
          wanted: truth.slips.length,
          read: found + falseOnes,
          exact: found === truth.slips.length && falseOnes === 0,
        }
      : undefined,
    falseOnes,
  };
}

function judgeQuantities(
  truth: DrawnPull,
  deep: DeepReading,
  known: { readonly logger: LoggerTruth; readonly forceIsTrue: boolean; readonly position?: boolean },
): { name: Quantity; right: boolean }[] {
  const judged: { name: Quantity; right: boolean }[] = [];
  const add = (name: Quantity, right: boolean) => judged.push({ name, right });
  const near = (read: number | undefined, wanted: number, within: number) =>
    read !== undefined && Math.abs(read - wanted) <= within;
  if (!truth.startCut) {
    add("bedding cycles counted", (deep.bedding?.cycles ?? 0) === truth.beddingCycles);
    // With fewer samples the strokes of a fast hand fall between them.
    if (known.logger.rateHz >= 20)
      add("hand pump told from a steady drive", deep.strokes > 0 === (truth.drive === "strokes"));
  }
  if (!known.forceIsTrue || truth.endCut || truth.clipped !== "no") return judged;
  if (truth.residualN !== undefined)
    add(
      "force left on strands within 2 % of the peak",
      near(deep.residualN, truth.residualN, 0.02 * truth.peakN),
    );
  if (known.position === true && !truth.startCut)
    add(
      "energy to the peak within 2 %",
      near(deep.energyToPeakJ, truth.workToPeakJ, 0.02 * truth.workToPeakJ),
    );
  return judged;
}

function judgeOutcome(truth: DrawnPull, deep: DeepReading | undefined): Pick<JudgedPull, "outcome"> {
  const wanted = outcomes.find((outcome) => outcome === truth.outcome);
  if (wanted === undefined || truth.endCut) return {};
  const evidence = deep?.outcome;
  if (evidence === undefined) return { outcome: { truth: wanted } };
  const { likeliest, probabilities } = evidence;
  return { outcome: { truth: wanted, likeliest, probabilities } };
}
