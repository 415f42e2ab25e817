import type { Random } from "../../stats/mod.ts";
import { between } from "./bench-acts.ts";
import { chance } from "./chances.ts";
import type { WrittenSamples } from "./write-recording.ts";

/** What is about to be written, row by row; each act below gives it anew. */
export type Rows = WrittenSamples & { readonly forceN: Float64Array; readonly timeS: Float64Array };

/** What the acts must know to stay clear of what matters. */
export type Surroundings = {
  readonly intervalS: number;
  /** A spike is at least this high to be seen as one. */
  readonly leastSpikeN: number;
  /** Moments at which something happens, in seconds. */
  readonly eventsS: readonly number[];
};

/** Only the rows that a test passes. */
export function keepRows(rows: Rows, keep: (row: number) => boolean): Rows {
  const kept = [...rows.timeS.keys()].filter(keep);
  const pick = (values: Float64Array) => Float64Array.from(kept, (row) => values[row] as number);
  return {
    timeS: pick(rows.timeS),
    forceN: pick(rows.forceN),
    ...(rows.displacementM === undefined ? {} : { displacementM: pick(rows.displacementM) }),
    ...(rows.segment === undefined
      ? {}
      : { segment: Int32Array.from(kept, (row) => rows.segment?.[row] as number) }),
  };
}

/** One to six samples thrown far off, each alone. Gives the rows that were. */
export function addSpikes(rows: Rows, random: Random, known: Surroundings): { rows: Rows; spiked: number[] } {
  const forceN = rows.forceN.slice();
  const spiked: number[] = [];
  const wanted = 1 + random.below(6);
  for (let tries = 0; tries < 200 && spiked.length < wanted; tries++) {
    const row = 3 + random.below(forceN.length - 6);
    const atN = rows.forceN[row] as number;
    if (spiked.some((other) => Math.abs(other - row) < 12) || !isCalm(rows, row, known, 6)) continue;
    const steepN = Math.max(
      Math.abs((rows.forceN[row + 2] as number) - atN),
      Math.abs(atN - (rows.forceN[row - 2] as number)),
    );
    const heightN = Math.max(known.leastSpikeN, 3 * steepN) * between(random, 1, 8);
    forceN[row] = atN + (chance(random, 0.6) ? heightN : -heightN);
    spiked.push(row);
  }
  return { rows: { ...rows, forceN }, spiked };
}

/** Forces that are not there: some singly, or a run of them away from all events. */
export function loseValues(rows: Rows, random: Random, known: Surroundings): { rows: Rows; lost: number[] } {
  const count = rows.forceN.length;
  const lost: number[] = [];
  if (chance(random, 0.5)) {
    const wanted = Math.max(1, Math.round(count * between(random, 0.0005, 0.02)));
    for (let at = 0; at < wanted; at++) lost.push(1 + random.below(count - 2));
  } else {
    const from = calmRun(rows, random, known, 3 + random.below(Math.max(4, Math.floor(count / 50))));
    lost.push(...(from ?? [1]));
  }
  return withoutForce(rows, lost);
}

/** One to three forces that are not there within five rows of `peakRow`, but not the peak's own. */
export function loseNear(rows: Rows, random: Random, peakRow: number): { rows: Rows; lost: number[] } {
  const near = [-4, -3, -2, -1, 1, 2, 3, 4].map((step) => peakRow + step);
  const inside = near.filter((row) => row > 0 && row < rows.forceN.length - 1);
  return withoutForce(rows, random.shuffle(inside).slice(0, 1 + random.below(3)));
}

/** Rows that were never written, in one or two runs away from all events, while the clock went on. */
export function dropRows(rows: Rows, random: Random, known: Surroundings): Rows {
  const dropped = new Set<number>();
  const least = Math.max(7, Math.ceil(0.08 / known.intervalS));
  for (let runs = 1 + random.below(2); runs > 0; runs--) {
    const length = least + random.below(2 * least);
    for (const row of calmRun(rows, random, known, length) ?? []) dropped.add(row);
  }
  return dropped.size === 0 ? rows : keepRows(rows, (row) => !dropped.has(row));
}

/** A few rows in a hundred carry the stamp of the row before. */
export function repeatStamps(rows: Rows, random: Random): Rows {
  const timeS = rows.timeS.slice();
  const wanted = Math.max(4, Math.ceil(timeS.length * between(random, 0.012, 0.06)));
  for (let at = 0; at < wanted; at++) {
    const row = 1 + random.below(timeS.length - 1);
    timeS[row] = rows.timeS[row - 1] as number;
  }
  // The row before may itself carry an older stamp; the clock must not run backward by that.
  for (let row = 1; row < timeS.length; row++)
    if ((timeS[row] as number) < (timeS[row - 1] as number)) timeS[row] = timeS[row - 1] as number;
  return { ...rows, timeS };
}

/** Rows come in batches, each stamped with the moment its last row came. Gives how long a batch is. */
export function batchStamps(rows: Rows, random: Random, intervalS: number): { rows: Rows; batchS: number } {
  const size = Math.max(4, Math.min(20, Math.floor(between(random, 0.05, 0.2) / intervalS)));
  const count = rows.timeS.length;
  const timeS = rows.timeS.map(
    (_, row) => rows.timeS[Math.min(count - 1, row - (row % size) + size - 1)] as number,
  );
  return { rows: { ...rows, timeS }, batchS: size * intervalS };
}

/** One to three stamps lie some intervals before the row above them. */
export function stepBack(rows: Rows, random: Random, intervalS: number): { rows: Rows; stepped: number[] } {
  const timeS = rows.timeS.slice();
  const stepped: number[] = [];
  const wanted = 1 + random.below(3);
  while (stepped.length < wanted) {
    const row = 10 + random.below(timeS.length - 20);
    if (stepped.some((other) => Math.abs(other - row) < 10)) continue;
    timeS[row] = (rows.timeS[row - 1] as number) - Math.max(0.002, intervalS * between(random, 1.5, 4));
    stepped.push(row);
  }
  return { rows: { ...rows, timeS }, stepped };
}

function withoutForce(rows: Rows, lost: number[]): { rows: Rows; lost: number[] } {
  const forceN = rows.forceN.slice();
  for (const row of lost) forceN[row] = Number.NaN;
  return { rows: { ...rows, forceN }, lost: [...new Set(lost)].sort((a, b) => a - b) };
}

/** Rows one after another with no event among them or near; none where no such place was found. */
function calmRun(rows: Rows, random: Random, known: Surroundings, length: number): number[] | undefined {
  const count = rows.timeS.length;
  for (let tries = 0; tries < 300; tries++) {
    // Shorter and shorter, so that a place is found in a busy record as well.
    const now = Math.max(7, Math.floor(length * 0.99 ** tries));
    if (count < now + 20) return undefined;
    const from = 8 + random.below(count - now - 16);
    const fromS = (rows.timeS[from - 1] as number) - marginS(known, 5);
    const toS = (rows.timeS[from + now] as number) + marginS(known, 5);
    if (known.eventsS.some((atS) => atS > fromS && atS < toS)) continue;
    return Array.from({ length: now }, (_, at) => from + at);
  }
  return undefined;
}

function isCalm(rows: Rows, row: number, known: Surroundings, intervals: number): boolean {
  const atS = rows.timeS[row] as number;
  return known.eventsS.every((eventS) => Math.abs(eventS - atS) > marginS(known, intervals));
}

function marginS({ intervalS }: Surroundings, intervals: number): number {
  return Math.max(0.3, intervals * intervalS);
}
