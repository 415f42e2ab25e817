import type { Fault, FaultKind } from "./faults.ts";
import type { LoggerTruth, RecordingTruth } from "./recording-truth.ts";
import type { Rows } from "./spoil.ts";

/** What was done to a recording, or is seen only with the truth in hand. */
export type Deeds = {
  readonly spiked: readonly number[];
  readonly stepped: readonly number[];
  readonly inverted: boolean;
  readonly unitLabel: boolean;
  /** What the cell showed of no load at each pull's start and end. */
  readonly rests: readonly { readonly beforeN: number; readonly afterN: number }[];
  /** The highest part of a pull's peak by which it lies over the cell's limit; 0 where none does. */
  readonly clippedPart: number;
};

/**
 * The faults that a recording ends up with, measured on the rows as they stand in the file: what was planted may come
 * out mild, and what was not may have come about, such as coarse steps of a small cell's 10 bits.
 */
export function findFaults(
  rows: Rows,
  truth: Omit<RecordingTruth, "faults">,
  deeds: Deeds,
): readonly Fault[] {
  if (!truth.isForce) return [{ kind: "position" }];
  if (deeds.unitLabel) return [{ kind: "unit-label" }];
  const netN = Math.min(...truth.pulls.map((pull) => pull.peakN));
  const [first] = truth.pulls;
  const driftN = Math.max(...deeds.rests.map(({ beforeN, afterN }) => Math.abs(afterN - beforeN)));
  const offsetN = Math.max(...deeds.rests.map(({ beforeN }) => Math.abs(beforeN)));
  const { stepN } = truth.logger;
  const faults: (Fault | undefined)[] = [
    at("spikes", deeds.spiked),
    ...missing(rows, truth),
    ...clock(rows, truth.logger, deeds),
    clipped(truth, deeds.clippedPart),
    deeds.inverted ? { kind: "inverted" } : undefined,
    graded("offset", { size: offsetN / netN, from: 0.01, full: 0.03, shown: stepN / 2 / netN }),
    graded("drift", { size: driftN / netN, from: 0.006, full: 0.015, shown: stepN / netN }),
    first?.startCut === true ? { kind: "starts-loaded" } : undefined,
    truth.pulls.at(-1)?.endCut === true ? { kind: "ends-early" } : undefined,
    graded("coarse-steps", { size: stepN / netN, from: 0.004, full: 0.01 }),
  ];
  // At a few samples a second a hand on the line is one sample that stands alone.
  if (deeds.spiked.length === 0 && truth.logger.rateHz <= 20) faults.push({ kind: "spikes", mild: true });
  return faults.filter((fault) => fault !== undefined);
}

/** Plain where the peak lies 1 % above the limit and three samples show it. */
function clipped({ pulls }: Omit<RecordingTruth, "faults">, size: number): Fault | undefined {
  if (pulls.every((pull) => pull.clipped === "no")) return undefined;
  const plain = pulls.some((pull) => pull.clipped === "plainly");
  return { kind: "clipped", size, ...mildUnless(plain && size >= 0.01) };
}

function missing(rows: Rows, { pulls, logger }: Omit<RecordingTruth, "faults">): (Fault | undefined)[] {
  const lost = [...rows.forceN.keys()].filter((row) => Number.isNaN(rows.forceN[row] as number));
  if (lost.length === 0) return [];
  const near = { certain: false, possible: false };
  for (const pull of pulls) {
    const from = rowAt(rows.timeS, pull.startS);
    const to = rowAt(rows.timeS, pull.endS);
    const highestN = highestOf(rows.forceN, from, to);
    const hiddenN = Math.max(6 * logger.noiseN, 1.5 * logger.stepN);
    const peaks = rowsFrom(highestN - hiddenN, rows.forceN, from, to);
    const away = (peak: number) => Math.min(...lost.map((row) => Math.abs(row - peak)));
    const first = peaks.find((row) => rows.forceN[row] === highestN);
    if (peaks.some((peak) => away(peak) <= 8)) near.possible = true;
    // Near the true peak, and near the sample that anybody would take for it.
    if (first !== undefined && Math.max(away(first), away(rowAt(rows.timeS, pull.peakTimeS))) <= 4)
      near.certain = true;
  }
  return [
    at("missing", lost),
    near.possible ? { kind: "missing-near-peak", ...mildUnless(near.certain) } : undefined,
  ];
}

/** The rows with at least this force. */
function rowsFrom(leastN: number, forceN: Float64Array, from: number, to: number): number[] {
  const rows: number[] = [];
  for (let row = from; row <= to; row++) if ((forceN[row] as number) >= leastN) rows.push(row);
  return rows;
}

function highestOf(forceN: Float64Array, from: number, to: number): number {
  let highestN = Number.NEGATIVE_INFINITY;
  for (let row = from; row <= to; row++)
    if ((forceN[row] as number) > highestN) highestN = forceN[row] as number;
  return highestN;
}

/** The first row at or after a moment. */
export function rowAt(timeS: Float64Array, momentS: number): number {
  const row = timeS.findIndex((stampS) => stampS >= momentS);
  return row < 0 ? timeS.length - 1 : row;
}

function clock({ timeS }: Rows, { batchS }: LoggerTruth, { stepped }: Deeds): (Fault | undefined)[] {
  if (batchS > 0) return [{ kind: "clock-batched", size: batchS }];
  const steps = Array.from(
    { length: timeS.length - 1 },
    (_, row) => (timeS[row + 1] as number) - (timeS[row] as number),
  );
  const forward = steps.filter((step) => step > standsStillS).sort((a, b) => a - b);
  const usualS = forward[Math.floor(forward.length / 2)] as number;
  const longestS = forward.at(-1) as number;
  const repeated = steps.flatMap((step, row) => (Math.abs(step) <= standsStillS ? [row + 1] : []));
  const gap = longestS >= 5 * usualS && longestS - usualS >= 0.05;
  // After a stamp that was repeated comes a step of twice the length: not the clock's own jitter.
  const scattered = graded("clock-jitter", { size: scatterOf(forward, usualS), from: 0.08, full: 0.2 });
  return [
    longestS < 3 * usualS ? undefined : { kind: "clock-gap", size: longestS, ...mildUnless(gap) },
    repeated.length === 0
      ? undefined
      : {
          kind: "clock-repeated",
          rows: listed(repeated),
          ...mildUnless(repeated.length >= Math.max(3, 0.01 * timeS.length)),
        },
    at("clock-backward", stepped),
    scattered === undefined ? undefined : { ...scattered, ...(repeated.length > 0 ? mildUnless(false) : {}) },
  ];
}

/** Steps of the clock shorter than this are none, but the rounding of a sum. */
const standsStillS = 1e-9;

/** Standard deviation of the steps that are no gaps, as a part of the usual step. */
function scatterOf(steps: readonly number[], usualS: number): number {
  const even = steps.filter((step) => step < 3 * usualS);
  const mean = even.reduce((sum, step) => sum + step, 0) / even.length;
  return Math.sqrt(even.reduce((sum, step) => sum + (step - mean) ** 2, 0) / even.length) / usualS;
}

function mildUnless(full: boolean): { mild?: true } {
  return full ? {} : { mild: true };
}

function listed(rows: readonly number[]): number[] {
  return rows.slice(0, 100).map((row) => row + 1);
}

function at(kind: FaultKind, rows: readonly number[]): Fault | undefined {
  return rows.length === 0 ? undefined : { kind, rows: listed(rows) };
}

/**
 * No fault up to one bound, a mild one up to the other. `shown` is what steps may add to the size as the file shows it.
 */
function graded(
  kind: FaultKind,
  { size, from, full, shown = 0 }: { size: number; from: number; full: number; shown?: number },
): Fault | undefined {
  if (size + shown <= from) return undefined;
  return { kind, size, ...mildUnless(size >= full) };
}
