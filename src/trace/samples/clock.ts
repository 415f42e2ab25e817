import type { Warning } from "../../problem/mod.ts";
import { stepRange } from "../kernel/steps.ts";
import { middleOf, stepsIn } from "./middle.ts";
import { medianInPlace } from "./select.ts";

/** A restart is followed by this many stamps that also lie before it; a single stamp out of order is not. */
const stampsOfARestart = 3;

/**
 * The rows, from 0, at which a clock starts again: it falls by more than half of what it had counted since it last
 * began, and goes on from there. A stamp after which the clock goes on as before is one out of order.
 */
export function clockResets(timeS: Float64Array): number[] {
  const resets: number[] = [];
  let began = 0;
  for (let row = 1; row < timeS.length; row++) {
    const before = timeS[row - 1] as number;
    const fall = before - (timeS[row] as number);
    if (fall <= 0 || fall <= 0.5 * (before - (timeS[began] as number))) continue;
    let stays = row + 1 < timeS.length;
    for (let next = row + 1; next < Math.min(timeS.length, row + stampsOfARestart); next++)
      if ((timeS[next] as number) >= before) stays = false;
    if (!stays) continue;
    resets.push(row);
    began = row;
  }
  return resets;
}

/** A record's clock as it ran, and as it may be counted on. */
export type Clock = {
  /** Usual time from sample to sample. */
  readonly intervalS?: number;
  /** Seconds of each row: the file's, but for stamps that are repeated, batched or out of order. */
  readonly timeS?: Float64Array;
  /** The rows, from 0, before which nothing was recorded for 2 s and more, and the usual step four times. */
  readonly pauses: readonly number[];
  /** The rows at which it starts again. */
  readonly resets: readonly number[];
  readonly warnings: readonly Warning[];
};

/** With this share of stamps repeated, rows come in batches. */
const batchedShare = 0.4;
/** A gap is this many usual steps, and this much longer than one. */
/** A logger that recorded nothing for so long had paused: between two pulls a rest lasts as long (R-PULL). */
const pauseS = 2;
const gapSteps = 4;
const gapS = 0.05;
/** Steps that scatter by more than this part of a usual one. */
const jitterPart = 0.15;

/** Stamps that are closer than this are the same. */
const sameS = 1e-9;

/** Rule R-CLOCK: what is wrong with a clock, and a clock on which moments can be placed. */
export function readClock(fileS: Float64Array | undefined): Clock {
  if (fileS === undefined || fileS.length < 2) return { pauses: [], resets: [], warnings: [] };
  const count = fileS.length - 1;
  const { repeated, firstRepeated, forward, shortest, longest } = lookAtSteps(fileS);
  if (forward === 0)
    return { intervalS: 0, timeS: fileS, pauses: [], resets: clockResets(fileS), warnings: [] };
  const allForward = forward === count;
  const middle = medianInPlace(stepsIn(fileS));
  const usualS = allForward ? middle : middleForward(fileS, forward);
  const batched = repeated >= batchedShare * count;
  const intervalS = batched ? (usualS * forward) / count : middle;
  // A clock whose steps all lie near the usual one has neither gaps nor jitter: the spread is at most half the range.
  const gapped = longest >= gapSteps * usualS && longest >= usualS + gapS;
  const even = allForward && longest - shortest < jitterPart * usualS;
  // Only stamps that run backward can start again.
  const resets = shortest < 0 ? clockResets(fileS) : [];
  const warnings = [
    gapped ? gapsIn(fileS, usualS) : undefined,
    repeatedIn(repeated, firstRepeated, count, batched),
    batched || repeated >= 2 || even ? undefined : jitterIn(fileS, usualS),
  ].filter((warning) => warning !== undefined);
  return {
    intervalS,
    timeS: shortest > sameS ? fileS : putRight(fileS, { intervalS, batched, repeated, resets }),
    pauses: gapped && longest >= pauseS ? pausesIn(fileS, usualS) : [],
    resets,
    warnings,
  };
}

/** How many steps there are of each kind. Mostly all of them go forward, and their range says so. */
function lookAtSteps(fileS: Float64Array) {
  const { shortest, longest } = stepRange(fileS);
  let repeated = 0;
  let firstRepeated = -1;
  if (shortest > sameS) return { repeated, firstRepeated, forward: fileS.length - 1, shortest, longest };
  let forward = 0;
  for (let row = 1; row < fileS.length; row++) {
    const step = (fileS[row] as number) - (fileS[row - 1] as number);
    if (step > sameS) forward++;
    else if (step >= -sameS) {
      repeated++;
      if (firstRepeated < 0) firstRepeated = row + 1;
    }
  }
  return { repeated, firstRepeated, forward, shortest, longest };
}

/** The median of the steps without those that repeat a stamp or run backward. */
function middleForward(fileS: Float64Array, forward: number): number {
  const steps = new Float64Array(forward);
  let kept = 0;
  for (let row = 1; row < fileS.length; row++) {
    const step = (fileS[row] as number) - (fileS[row - 1] as number);
    if (step > sameS) steps[kept++] = step;
  }
  return middleOf(forward, (at) => steps[at] as number);
}

function pausesIn(fileS: Float64Array, usualS: number): number[] {
  const least = Math.max(pauseS, gapSteps * usualS);
  const pauses: number[] = [];
  for (let row = 1; row < fileS.length; row++)
    if ((fileS[row] as number) - (fileS[row - 1] as number) >= least) pauses.push(row);
  return pauses;
}

function gapsIn(fileS: Float64Array, usualS: number): Warning | undefined {
  let gaps = 0;
  let longest = 0;
  let longestS = (fileS[1] as number) - (fileS[0] as number);
  for (let at = 0; at + 1 < fileS.length; at++) {
    const step = (fileS[at + 1] as number) - (fileS[at] as number);
    if (step < gapSteps * usualS || step < usualS + gapS) continue;
    gaps++;
    if (step > longestS) {
      longest = at;
      longestS = step;
    }
  }
  if (gaps === 0) return undefined;
  return {
    code: "READING_CLOCK_GAP",
    message:
      `The clock jumps ahead ${gaps === 1 ? "once" : `${gaps} times`}: for ${figure(longestS)} s ` +
      `from ${figure(fileS[longest] as number)} s (row ${longest + 1}) nothing was recorded. No line is drawn over it.`,
    where: { row: longest + 1 },
    found: `${figure(longestS)} s between two rows`,
    expected: `about ${figure(usualS)} s`,
  };
}

function repeatedIn(
  repeated: number,
  firstRow: number,
  count: number,
  batched: boolean,
): Warning | undefined {
  if (repeated < 2) return undefined;
  if (batched)
    return {
      code: "READING_CLOCK_BATCHED",
      message:
        "Rows come in batches that share one stamp each: their moments are spread evenly, and no time is better than a batch.",
      where: { row: firstRow },
      found: `${repeated} of ${count} stamps as the row before`,
    };
  return {
    code: "READING_CLOCK_REPEATED",
    message: `${repeated} rows carry the same stamp as the row before, first in row ${firstRow}.`,
    where: { row: firstRow },
    found: `${repeated} of ${count}`,
  };
}

function jitterIn(fileS: Float64Array, usualS: number): Warning | undefined {
  let seen = 0;
  let sum = 0;
  let squares = 0;
  for (let row = 1; row < fileS.length; row++) {
    const step = (fileS[row] as number) - (fileS[row - 1] as number);
    if (step <= sameS || step >= 3 * usualS) continue;
    seen++;
    sum += step - usualS;
    squares += (step - usualS) ** 2;
  }
  if (seen < 20) return undefined;
  const spread = Math.sqrt(Math.max(0, squares / seen - (sum / seen) ** 2)) / usualS;
  if (spread < jitterPart) return undefined;
  return {
    code: "READING_CLOCK_JITTER",
    message: `The steps of the clock scatter by ${Math.round(100 * spread)} % of a step: rates over few samples are rough.`,
    found: `standard deviation ${figure(spread * usualS)} s`,
    expected: `even steps of ${figure(usualS)} s`,
  };
}

/** The file's stamps, with those that are repeated or out of order placed between their neighbours. */
function putRight(
  fileS: Float64Array,
  {
    intervalS,
    batched,
    repeated,
    ...found
  }: { intervalS: number; batched: boolean; repeated: number; resets: readonly number[] },
): Float64Array {
  const resets = new Set(found.resets);
  const backward = hasBackward(fileS, resets);
  if (repeated === 0 && !backward) return fileS;
  const timeS = fileS.slice();
  const count = timeS.length;
  for (let row = 1; row < count - 1; row++) {
    if (resets.has(row) || resets.has(row + 1)) continue;
    const before = timeS[row - 1] as number;
    const after = timeS[row + 1] as number;
    if ((timeS[row] as number) < before && after > before) timeS[row] = (before + after) / 2;
  }
  if (repeated === 0) return timeS;
  for (let from = 0; from < count; ) {
    let to = from;
    while (
      to + 1 < count &&
      Math.abs((timeS[to + 1] as number) - (timeS[from] as number)) <= sameS &&
      !resets.has(to + 1)
    )
      to++;
    const stamp = timeS[from] as number;
    const rows = to - from + 1;
    if (rows > 1 && batched) {
      // A batch carries the moment at which its last row came.
      const before = from === 0 || resets.has(from) ? Number.NaN : (timeS[from - 1] as number);
      const usual = stamp - before <= 3 * rows * intervalS;
      const step = usual ? (stamp - before) / rows : intervalS;
      for (let row = from; row <= to; row++) timeS[row] = stamp - (to - row) * step;
    } else if (rows > 1) {
      const after = timeS[to + 1] ?? stamp + rows * intervalS;
      const step =
        after > stamp && after - stamp <= 3 * rows * intervalS ? (after - stamp) / rows : intervalS / rows;
      for (let row = from; row <= to; row++) timeS[row] = stamp + (row - from) * step;
    }
    from = to + 1;
  }
  return timeS;
}

function hasBackward(fileS: Float64Array, resets: ReadonlySet<number>): boolean {
  for (let row = 1; row < fileS.length; row++)
    if ((fileS[row] as number) < (fileS[row - 1] as number) && !resets.has(row)) return true;
  return false;
}

function figure(value: number): string {
  return String(Number(value.toPrecision(4)));
}
