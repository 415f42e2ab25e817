import type { Signal } from "../samples/signal.ts";
import { findDrops } from "./drops.ts";

/** A fall of force within a pull, in samples from 0. */
export type Fall = {
  /** The last sample that still stands at the level from which the force fell. */
  readonly top: number;
  /** The first sample after it at which nine tenths of the fall are over. */
  readonly bottom: number;
  readonly low: number;
  readonly fromN: number;
  readonly toN: number;
  /** How long the middle half of the fall took, read between the samples; rows where there is no clock. */
  readonly lasted: number;
  /** How long after the bottom the force began to rise again; absent where it never did. */
  readonly resumedAfter?: number;
};

/** Falls smaller than this part of the net peak are not looked at. */
const smallestPart = 0.02;

/** Samples further apart than this show a slip less deep than it was: the drive goes on between them. */
const farApartS = 0.03;
const smallestPartFarApart = 0.006;

/**
 * The falls of a pull, the last of which may be its end: from a running maximum by max(2 % of the net peak, 6 noises,
 * 1.6 steps), until the force has recovered by as much.
 */
export function findFalls(
  signal: Signal,
  from: number,
  to: number,
  netN: number,
  smallest = smallestPart,
): Fall[] {
  const { noiseN, stepN } = signal.sampling;
  const threshold = Math.max(smallest * netN, 6 * noiseN, 1.6 * stepN);
  return findDrops(signal.force, from, to, threshold).map(({ fromIndex, lowIndex }) =>
    describeFall(signal, fromIndex, lowIndex, to, netN),
  );
}

function describeFall(signal: Signal, highest: number, low: number, to: number, netN: number): Fall {
  const { force, place } = signal;
  const { noiseN, stepN } = signal.sampling;
  const fromN = force[highest] as number;
  const toN = force[low] as number;
  const edge = Math.min(0.25 * (fromN - toN), Math.max(6.5 * noiseN, 1.3 * stepN, 0.004 * netN));
  let top = low;
  // One interval may hold the fall: what came before it is a pause of the pump.
  const most = 0.7 * (fromN - toN);
  const isSudden = (at: number) => (force[at - 1] as number) - (force[at] as number) > most;
  while (top > highest && (force[top] as number) < fromN - edge) {
    top--;
    if (isSudden(top + 1)) break;
  }
  const size = (force[top] as number) - toN;
  const crossing = (level: number): { at: number; index: number } => {
    let index = top + 1;
    while (index < low && (force[index] as number) > level) index++;
    const before = force[index - 1] as number;
    const after = force[index] as number;
    const part = before > after ? Math.min(1, Math.max(0, (before - level) / (before - after))) : 1;
    return { at: place(index - 1) + part * (place(index) - place(index - 1)), index };
  };
  const high = crossing((force[top] as number) - 0.25 * size);
  const half = crossing(toN + 0.25 * size);
  const one = crossing(toN + 0.1 * size);
  const resumedAfter = resumption(signal, one.index, to, size, netN);
  return {
    top,
    bottom: one.index,
    low,
    fromN,
    toN,
    lasted: Math.max(0, half.at - high.at),
    ...(resumedAfter === undefined ? {} : { resumedAfter }),
  };
}

/** How long after the bottom of a fall the force first stands clearly above its lowest since. */
function resumption(
  signal: Signal,
  bottom: number,
  to: number,
  size: number,
  netN: number,
): number | undefined {
  const { force, place } = signal;
  const { noiseN, stepN } = signal.sampling;
  const clear = Math.max(6 * noiseN, Math.min(0.08 * size, 0.002 * netN));
  let lowest = force[bottom] as number;
  for (let index = bottom; index < to; index++) {
    const value = force[index] as number;
    if (value < lowest) lowest = value;
    else if (value > lowest + clear && isOffStep(force, { index, to, lowest, stepN }))
      return place(index) - place(bottom);
  }
  return undefined;
}

/** A force that rises slowly stands on every step: one of them is a rise when the next samples keep it. */
function isOffStep(
  force: Float64Array,
  { index, to, lowest, stepN }: { index: number; to: number; lowest: number; stepN: number },
): boolean {
  if ((force[index] as number) > lowest + 1.6 * stepN) return true;
  const kept = Math.min(to - 1, index + 2);
  for (let at = index; at <= kept; at++) if ((force[at] as number) < lowest + 0.9 * stepN) return false;
  return kept > index;
}

/** The falls among which slips are looked for: smaller ones too where samples lie so far apart that they show less. */
export function fallsForSlips(
  signal: Signal,
  falls: readonly Fall[],
  { from, to, netN }: { from: number; to: number; netN: number },
): readonly Fall[] {
  return (signal.intervalS ?? 0) > farApartS
    ? findFalls(signal, from, to, netN, smallestPartFarApart)
    : falls;
}

/** A slip lets go within some hundredths of a second; a jack that gives way takes longer (R-SLIP). */
const slipS = 0.028;
/** Samples this close show by themselves how long a fall took. */
const closeS = 0.021;
/** An operator who resets a jack needs this long before the force rises again. */
const resetS = 0.75;
/** A force that rises as soon as this after its fall was taken up by a drive that never stopped. */
const atOnceS = 0.15;
/** However much an amplifier smears it, the middle half of a slip takes no longer than this. */
const smearedS = 0.1;
/** A fall over so many steps of the force shows when it turns. */
const finelyStepped = 12;

/**
 * Rule R-SLIP: whether a fall is a slip, from which the splice gripped again, or a jack that was reset. A slip is sudden
 * within what the sampling can resolve, and the drive takes it up at once.
 */
export function isSlip(signal: Signal, fall: Fall, netN: number): boolean {
  const { intervalS, zeroN } = signal;
  const size = fall.fromN - fall.toN + riseBetween(signal, fall);
  const netFromN = Math.max(fall.fromN - zeroN, Number.MIN_VALUE);
  const part = size / netFromN;
  if (fall.fromN - fall.toN < pausePart * netFromN) return false;
  if (part < 0.04 || part > 0.75 || size < 0.02 * netN) return false;
  if (intervalS === undefined) return fall.lasted <= 2;
  const resolution = intervalS * signal.sampling.averaged;
  const { lasted, resumedAfter = Number.POSITIVE_INFINITY } = fall;
  if (resolution <= closeS && lasted <= slipS) return true;
  const fine = signal.sampling.stepN * finelyStepped < size;
  if (intervalS <= closeS && resumedAfter <= atOnceS && lasted <= smearedS && fine) return true;
  if (resolution <= 0.016) return false;
  return lasted <= slipS + 1.2 * resolution && resumedAfter < resetS;
}

/** A pump that pauses between strokes loses up to this part of the force (common practice, no published source). */
const pausePart = 0.014;

/** What the drive put on between two samples far apart, which hides as much of a slip: the smaller rise of those beside it. */
function riseBetween({ force, intervalS }: Signal, { top, bottom }: Fall): number {
  if (intervalS === undefined || intervalS <= farApartS) return 0;
  const rise = (at: number) => (force[at] ?? 0) - (force[at - 1] ?? 0);
  return Math.max(0, Math.min(rise(top), rise(bottom + 1)));
}
