import type { Signal } from "../samples/signal.ts";
import { longestWindowS } from "../samples/top.ts";

export type RisingLine = {
  readonly slope: number;
  at(place: number): number;
  /** Standard error of the line at a place, from the noise of its samples. */
  errorAt(place: number): number;
  readonly count: number;
};

/** A line through the samples before an end: six tenths as long as would still fit within the noise. */
export function bestLine(signal: Signal, end: number, from: number): RisingLine {
  const { force, place, sampling } = signal;
  const sigma = Math.hypot(sampling.noiseN, sampling.stepN / Math.sqrt(12));
  let longest = 2;
  let best = fitLine(signal, Math.max(from, end - 1), end);
  for (let count = 3; count <= 128; count = Math.ceil(count * 1.35)) {
    const start = end - count + 1;
    if (start < from || place(end) - place(start) > longestWindowS) break;
    const next = fitLine(signal, start, end);
    const allowed = 1 + 1.2 / Math.sqrt(count);
    if (next.misfit > allowed * sigma || Math.abs(next.atEnd - (force[end] as number)) > 4 * sigma) break;
    longest = count;
  }
  if (longest > 2) best = fitLine(signal, end - Math.max(3, Math.round(0.6 * longest)) + 1, end);
  const wide = sigma * Math.sqrt(sampling.averaged);
  const { meanPlace, meanForce, slope, across, count } = best;
  return {
    slope,
    at: (where) => meanForce + slope * (where - meanPlace),
    errorAt: (where) => wide * Math.sqrt(1 / count + (across > 0 ? (where - meanPlace) ** 2 / across : 0)),
    count,
  };
}

function fitLine({ force, place }: Signal, from: number, to: number) {
  const count = to - from + 1;
  let meanPlace = 0;
  let meanForce = 0;
  for (let at = from; at <= to; at++) {
    meanPlace += place(at) / count;
    meanForce += (force[at] as number) / count;
  }
  let across = 0;
  let along = 0;
  for (let at = from; at <= to; at++) {
    across += (place(at) - meanPlace) ** 2;
    along += (place(at) - meanPlace) * ((force[at] as number) - meanForce);
  }
  const slope = across > 0 ? along / across : 0;
  let squares = 0;
  for (let at = from; at <= to; at++)
    squares += ((force[at] as number) - meanForce - slope * (place(at) - meanPlace)) ** 2;
  return {
    count,
    meanPlace,
    meanForce,
    slope,
    across,
    misfit: Math.sqrt(squares / Math.max(1, count - 2)),
    atEnd: meanForce + slope * (place(to) - meanPlace),
  };
}
