import type { Problem } from "../../problem/mod.ts";

/** How the bench's drive pulls. */
export type DriveSpec =
  /** A powered pump: the pin travels at a constant rate. */
  | { readonly kind: "steady"; readonly speedMPerS: number }
  /** A hand pump: strokes that ease in and out, and between them pauses in which `pauseLoss` of the force settles or leaks. */
  | {
      readonly kind: "strokes";
      readonly strokeM: number;
      readonly riseS: number;
      readonly pauseS: number;
      readonly pauseLoss: number;
      /** In rising order of force, each met once. */
      readonly restrokes?: readonly Restroke[];
    };

/**
 * The jack has come to the end of its travel: the ram gives way, force falls by a part of itself, ever faster, and rests
 * until the operator has reset it. Judged from recordings of hand jacks: up to a third, in 0.1 s to 0.35 s.
 */
export type Restroke = {
  readonly atN: number;
  readonly fallPart: number;
  readonly fallS: number;
  readonly pauseS: number;
};

/** What one specimen can hold and how it stretches. */
export type SpecimenSpec = {
  readonly breakN: number;
  /** Absent: the splice never slips. */
  readonly slip?: {
    /** The highest force that the splice carries while it slips. Above `breakN` the rope breaks first. */
    readonly strengthN: number;
    /** The first slip comes at this part of `strengthN`: a splice may slip, grip again and go on. */
    readonly firstPart: number;
    /** Slips until the tail is drawn out; 1 means that the first slip is the end. */
    readonly teeth: number;
  };
  readonly stiffnessNPerM: number;
  readonly toeM: number;
  readonly slackM: number;
  /** Strands that part on the way up, shortly before the break. */
  readonly strandBreaks?: number;
  /** At the peak some strands part, and the rest goes somewhat later at a lower force. */
  readonly partsInTwoSteps?: boolean;
  /** This part of the force at the break stays on strands that hold, until the operator lets off. */
  readonly strandsHoldPart?: number;
};

/** One pull on the bench. */
export type PullSpec = {
  readonly specimen: SpecimenSpec;
  readonly drive: DriveSpec;
  readonly bedding?: { readonly cycles: number; readonly toN: number };
  /** The set: a load that is put on and held, in which force settles by r per tenfold of time. */
  readonly set?: { readonly forceN: number; readonly holdS: number; readonly settlingPerDecade: number };
  /** The operator stops here. */
  readonly stopAtN?: number;
  /** The bench's own hardware gives way here, which makes the pull void. */
  readonly yieldAtN?: number;
  /** A tug of this force while the specimen is hung on, in the middle of the first rest. */
  readonly tug?: { readonly forceN: number; readonly lastsS: number };
  /** Somebody handles the line after the end: one load of this force, in the middle of the tail. */
  readonly handledAfter?: { readonly forceN: number; readonly lastsS: number };
  readonly restS: number;
  readonly tailS: number;
};

/**
 * How a cell's figure differs from the force on it: by a part of the force, and by a bow that is 0 at both ends of a
 * range and greatest (`bow` times a quarter of the range) in its middle.
 */
export type CellError = { readonly slope: number; readonly bow: number; readonly rangeN: number };

/** What a cell shows of a force, but for its offset. */
export function shownBy({ slope, bow, rangeN }: CellError, forceN: number): number {
  return forceN * (1 + slope + bow * (1 - forceN / rangeN));
}

/** Load cell, amplifier and clock. */
export type LoggerSpec = {
  readonly rateHz: number;
  /** Standard deviation of a sample's time about its even place, in seconds; the stamp is the true time. */
  readonly jitterS: number;
  /** The cell shows from minus this to plus this, in 2^bits steps; beyond it the signal is clipped. */
  readonly capacityN: number;
  readonly bits: number;
  /** Standard deviation of the white noise. */
  readonly noiseN: number;
  /** What the cell shows of nothing. */
  readonly offsetN: number;
  readonly driftNPerMinute: number;
  /** A slow swing besides the steady drift: a sine of this amplitude and period, 0 at the start. */
  readonly swing?: { readonly amplitudeN: number; readonly periodS: number };
  /** Left out: the cell shows the true force. */
  readonly cellError?: CellError;
  /** The amplifier gives the mean of its last so many samples, which smears a collapse over as many. */
  readonly averagedSamples?: number;
  /** Also records the drive's position. */
  readonly displacement?: boolean;
};

/** A file's worth: one pull or several, with handling loads of up to `handlingN` between them. */
export type RecordingSpec = {
  readonly pulls: readonly [PullSpec, ...PullSpec[]];
  readonly logger: LoggerSpec;
  readonly gapS?: number;
  readonly handlingN?: number;
};

/** Everything in a spec that no bench could do, or that would never end. Empty where the spec is sound. */
export function specProblems(spec: RecordingSpec): Problem[] {
  const { logger } = spec;
  const ranges: Range[] = [
    ["logger.rateHz", logger.rateHz, 2, 5000],
    ["logger.jitterS", logger.jitterS, 0, 1],
    ["logger.capacityN", logger.capacityN, 1, 1e9],
    ["logger.bits", logger.bits, 8, 24],
    ["logger.noiseN", logger.noiseN, 0, 1e6],
    ["logger.offsetN", logger.offsetN, -1e6, 1e6],
    ["logger.driftNPerMinute", logger.driftNPerMinute, -1e6, 1e6],
    ["logger.swing.amplitudeN", logger.swing?.amplitudeN ?? 0, 0, 1e6],
    ["logger.swing.periodS", logger.swing?.periodS ?? 1, 1, 1e6],
    ["logger.averagedSamples", logger.averagedSamples ?? 1, 1, 64],
    ["logger.cellError.slope", logger.cellError?.slope ?? 0, -0.1, 0.1],
    ["logger.cellError.bow", logger.cellError?.bow ?? 0, -0.1, 0.1],
    ["logger.cellError.rangeN", logger.cellError?.rangeN ?? 1, 1, 1e9],
    ["gapS", spec.gapS ?? 1, 0.1, 3600],
    ["handlingN", spec.handlingN ?? 0, 0, 1e6],
    ...spec.pulls.flatMap((pull, index) => pullRanges(pull, `pulls[${index}]`)),
  ];
  return ranges.flatMap(([field, value, lowest, highest]) =>
    value >= lowest && value <= highest
      ? []
      : [
          {
            code: "INPUT_FIELD" as const,
            message: "This pull cannot be simulated.",
            where: { field },
            found: String(value),
            expected: `a number from ${lowest} to ${highest}`,
          },
        ],
  );
}

type Range = readonly [field: string, value: number, lowest: number, highest: number];

function pullRanges(pull: PullSpec, at: string): Range[] {
  const { specimen, drive, bedding, set } = pull;
  const ranges: Range[] = [
    [`${at}.specimen.breakN`, specimen.breakN, 1, 1e9],
    [`${at}.specimen.stiffnessNPerM`, specimen.stiffnessNPerM, 1, 1e12],
    [`${at}.specimen.toeM`, specimen.toeM, 0, 100],
    [`${at}.specimen.slackM`, specimen.slackM, 0, 100],
    [`${at}.specimen.strandBreaks`, specimen.strandBreaks ?? 0, 0, 12],
    [`${at}.specimen.strandsHoldPart`, specimen.strandsHoldPart ?? 0, 0, 0.5],
    [`${at}.tug.lastsS`, pull.tug?.lastsS ?? 0, 0, pull.restS],
    [`${at}.handledAfter.lastsS`, pull.handledAfter?.lastsS ?? 0, 0, pull.tailS],
    [`${at}.stopAtN`, pull.stopAtN ?? 1, 1, 1e9],
    [`${at}.yieldAtN`, pull.yieldAtN ?? 1, 1, 1e9],
    [`${at}.restS`, pull.restS, 0, 3600],
    [`${at}.tailS`, pull.tailS, 0, 3600],
  ];
  if (specimen.slip !== undefined) {
    ranges.push(
      [`${at}.specimen.slip.strengthN`, specimen.slip.strengthN, 1, 1e9],
      [`${at}.specimen.slip.firstPart`, specimen.slip.firstPart, 0.5, 1],
      [`${at}.specimen.slip.teeth`, specimen.slip.teeth, 1, 100],
    );
  }
  if (bedding !== undefined) {
    ranges.push([`${at}.bedding.cycles`, bedding.cycles, 0, 100], [`${at}.bedding.toN`, bedding.toN, 1, 1e9]);
  }
  if (set !== undefined) {
    ranges.push(
      [`${at}.set.forceN`, set.forceN, 1, 1e9],
      [`${at}.set.holdS`, set.holdS, 0, 1e5],
      [`${at}.set.settlingPerDecade`, set.settlingPerDecade, 0, 0.15],
    );
  }
  if (drive.kind === "steady") {
    ranges.push([`${at}.drive.speedMPerS`, drive.speedMPerS, 1e-6, 10]);
  } else {
    const highestN = Math.min(specimen.breakN, pull.stopAtN ?? Infinity, pull.yieldAtN ?? Infinity);
    ranges.push(
      // A stroke must win at least four times what a pause loses, or the force is never reached.
      [`${at}.drive.strokeM`, drive.strokeM, (4 * drive.pauseLoss * highestN) / specimen.stiffnessNPerM, 1],
      [`${at}.drive.riseS`, drive.riseS, 0.05, 60],
      [`${at}.drive.pauseS`, drive.pauseS, 0, 60],
      [`${at}.drive.pauseLoss`, drive.pauseLoss, 0, 0.2],
    );
    for (const [index, restroke] of (drive.restrokes ?? []).entries()) {
      ranges.push(
        [`${at}.drive.restrokes[${index}].fallPart`, restroke.fallPart, 0, 0.5],
        [`${at}.drive.restrokes[${index}].fallS`, restroke.fallS, 0.01, 60],
        [`${at}.drive.restrokes[${index}].pauseS`, restroke.pauseS, 0, 60],
      );
    }
  }
  return ranges;
}
