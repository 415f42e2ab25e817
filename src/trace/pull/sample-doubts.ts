import type { Warning } from "../../problem/mod.ts";
import type { ReadingContext } from "../calibration.ts";
import type { PullReading } from "../reading.ts";
import { extremesOf, pyramidOf } from "../samples/pyramid.ts";
import { rowOf, type Samples, timeOf } from "../samples/samples.ts";
import type { Sampling } from "../samples/sampling.ts";
import { upsideDown } from "../samples/sign.ts";
import type { CellFit } from "./cell-fit.ts";

type Looked = {
  readonly recorded: Samples;
  readonly sampling: Sampling;
  readonly spikes: readonly number[];
  readonly pulls: readonly PullReading[];
  readonly context: ReadingContext;
  readonly cell: CellFit | undefined;
  readonly hasTime: boolean;
  /** What the layout says of the sign, and whether the record itself turned it. */
  readonly inverted: boolean | undefined;
  readonly turned: boolean;
};

/** What speaks against the samples as a whole, a sentence each (rules R-SPIKE to R-POSITION). */
export function checkSamples(looked: Looked): Warning[] {
  return [
    spiked(looked),
    coarseSteps(looked),
    offsetAtRest(looked),
    upsideDownDoubt(looked),
    likePosition(looked),
    aboveCapacity(looked),
    ...certificateDoubts(looked),
  ].filter((warning) => warning !== undefined);
}

function spiked({ recorded, spikes, hasTime }: Looked): Warning | undefined {
  const [first] = spikes;
  if (first === undefined) return undefined;
  const place = (at: number) => {
    const time = timeOf(recorded, at);
    return hasTime && time !== undefined ? `${figure(time)} s` : `row ${rowOf(recorded, at) + 1}`;
  };
  const listed = spikes.slice(0, 5).map(place).join(", ");
  return {
    code: "READING_SPIKES",
    message:
      `${spikes.length === 1 ? "One sample stands" : `${spikes.length} samples stand`} alone, far from both neighbours, at ` +
      `${listed}${spikes.length > 5 ? " and elsewhere" : ""}: left out of peak and figures, kept in the data.`,
    where: { row: rowOf(recorded, first) + 1 },
    found: `${figure(recorded.force[first] as number)} N between ${figure(recorded.force[first - 1] as number)} N and ${figure(recorded.force[first + 1] as number)} N`,
  };
}

function netOf(pulls: readonly PullReading[]): number {
  const nets = pulls.map((pull) => pull.netPeakN ?? pull.peakN).filter((net) => net > 0);
  return nets.length === 0 ? 0 : Math.min(...nets);
}

/** Steps of more than this part of the net peak, and rests that lie this part of it off zero. */
const coarsePart = 0.0065;
const offsetPart = 0.018;

function coarseSteps({ pulls, sampling }: Looked): Warning | undefined {
  const net = netOf(pulls);
  if (net === 0 || sampling.stepN < coarsePart * net) return undefined;
  return {
    code: "READING_COARSE_STEPS",
    message: `The force comes in steps of ${figure(sampling.stepN)} N, ${percent(sampling.stepN / net)} of the net peak.`,
    found: `steps of ${figure(sampling.stepN)} N`,
    expected: "steps below half a per cent of the peak",
    wayOut: "Log with more digits, or use a cell whose range fits the force.",
  };
}

function offsetAtRest({ pulls }: Looked): Warning | undefined {
  const worst = pulls.reduce<PullReading | undefined>((a, b) => {
    const part = (pull: PullReading) =>
      Math.abs(pull.restN ?? 0) / Math.max(pull.netPeakN ?? 0, Number.MIN_VALUE);
    return b.restN === undefined || (a !== undefined && part(a) >= part(b)) ? a : b;
  }, undefined);
  const net = netOf(pulls);
  if (worst?.restN === undefined || net === 0 || Math.abs(worst.restN) < offsetPart * net) return undefined;
  return {
    code: "READING_OFFSET",
    message: `The unloaded cell shows ${figure(worst.restN)} N before pull ${worst.index}; it is taken off the net peak.`,
    where: { row: worst.startRow },
    found: `${figure(worst.restN)} N at rest`,
    expected: "a cell that was set to zero",
  };
}

/** Rule R-SIGN: the sign was turned round by what the whole record shows, or stands against what it shows. */
function upsideDownDoubt({ recorded, inverted, turned }: Looked): Warning | undefined {
  if (turned)
    return {
      code: "READING_INVERTED",
      message: "A pull is negative in this file, as the whole record shows: the sign is turned round.",
      found: "a force that goes down",
      wayOut: "If it is right as it stands in the file, import again with --inverted no.",
    };
  const range = upsideDown(recorded.force);
  if (range === undefined) return undefined;
  return {
    code: "READING_INVERTED",
    message: `The force goes down to ${figure(range.lowest)} N and hardly up: its sign looks upside down.`,
    found: `${figure(range.lowest)} N to ${figure(range.highest)} N`,
    wayOut: `To read it the right way up, import again with --inverted ${inverted === true ? "no" : "yes"}.`,
  };
}

/** The ram's travel stays where it was when the specimen is gone, and shows no noise of a cell. */
function likePosition({ recorded, pulls }: Looked): Warning | undefined {
  const { force } = recorded;
  const count = force.length;
  const [pull] = pulls;
  if (count < 30 || pulls.length > 1) return undefined;
  const first = force[0] as number;
  const [, highest] = extremesOf(force, pyramidOf(force), 0, count);
  const span = highest - first;
  const last = force[count - 1] as number;
  if (!(span > 0) || last - first < 0.5 * span || (pull !== undefined && pull.end !== "cut-off"))
    return undefined;
  const tail = trailingEqual(force);
  if (tail < Math.max(8, 0.01 * count)) return undefined;
  let equal = 0;
  let risen = 0;
  for (let at = 1; at < count; at++) {
    const step = (force[at] as number) - (force[at - 1] as number);
    if (step === 0) equal++;
    if (step > 0) risen++;
  }
  if (equal < 0.02 * count || risen < 5) return undefined;
  return {
    code: "READING_LOOKS_LIKE_POSITION",
    message:
      "The column rises, stays exactly where it was to the end, and shows no noise: it looks like the ram's travel, not a force.",
    found: `the last ${tail} values all ${figure(last)}`,
    wayOut: "Name the column of force with --force-column.",
  };
}

function trailingEqual(force: Float64Array): number {
  const last = force[force.length - 1];
  let equal = 0;
  while (equal < force.length && force[force.length - 1 - equal] === last) equal++;
  return equal;
}

/** A cell shows at most about half more than its capacity before it is destroyed. */
const aboveCapacityPart = 1.4;

function aboveCapacity({ pulls, context }: Looked): Warning | undefined {
  const capacityN = context.calibration?.capacityN;
  if (capacityN === undefined) return undefined;
  const highest = Math.max(0, ...pulls.map((pull) => pull.peakN));
  if (highest < aboveCapacityPart * capacityN) return undefined;
  return {
    code: "READING_ABOVE_CAPACITY",
    message: `The force reaches ${figure(highest)} N, far above the cell's capacity of ${figure(capacityN)} N: is the unit right?`,
    found: `${figure(highest)} N`,
    expected: `at most about ${figure(capacityN)} N`,
    wayOut: "Import again with the unit in which the logger counted, with --force-unit.",
  };
}

/** A certificate is looked at again after a year (common practice, no published source). */
const certificateDays = 366;

function certificateDoubts({ pulls, context, cell }: Looked): Warning[] {
  const { calibration, today } = context;
  const verified = cell?.verified;
  if (calibration === undefined || verified === undefined) return [];
  const doubts: Warning[] = [];
  const highest = Math.max(0, ...pulls.map((pull) => pull.netPeakN ?? pull.peakN));
  if (highest > 1.02 * verified.highestN)
    doubts.push({
      code: "READING_CELL_RANGE",
      message: `The highest peak, ${figure(highest)} N, lies above the highest force of the cell's certificate, ${figure(verified.highestN)} N.`,
      found: `${figure(highest)} N`,
      expected: `${figure(verified.lowestN)} N to ${figure(verified.highestN)} N`,
    });
  if (verified.points === 1)
    doubts.push({
      code: "READING_CELL_ONE_POINT",
      message: "The cell's certificate has one point only: how its error changes with force is not known.",
      found: "1 point",
      expected: "5 or more, spread over the range",
    });
  const calibrated = Date.parse(calibration.calibratedOn ?? "");
  const days = (Date.parse(today ?? "") - calibrated) / 86_400_000;
  if (days > certificateDays)
    doubts.push({
      code: "READING_CELL_OUT_OF_DATE",
      message: `The cell was calibrated on ${calibration.calibratedOn}, more than a year before this reading.`,
      found: `${calibration.calibratedOn}`,
      expected: "a calibration within the last year",
    });
  return doubts;
}

function figure(value: number): string {
  return String(Number(value.toPrecision(4)));
}

function percent(part: number): string {
  return `${Number((100 * part).toPrecision(2))} %`;
}
