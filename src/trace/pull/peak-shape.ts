import type { Signal } from "../samples/signal.ts";
import { coarseS, risesLookedAt, type TopEstimate } from "../samples/top.ts";
import { corner } from "./corner.ts";
import { bestLine, type RisingLine } from "./rising-line.ts";

/** A fall that starts within this time counts as sudden: slips and breaks do, a load let off does not. */
const suddenS = 0.1;
/** A slip takes this long to fall clear of the noise; until then a sample may stand on either side of the top. */
const unsureS = 0.012;

/**
 * Rule R-TOP. The top of a load before a sudden fall lies on the line through the samples before it, at a moment between
 * the last sample that is still on that line and the first one off it; without a sudden fall it is the corner of two
 * lines, one through the samples before it and one through those after. The lines are as long as the noise allows: until
 * they no longer fit.
 */
export function estimateTop(
  signal: Signal,
  peak: number,
  from: number,
  to: number,
  netN: number,
): TopEstimate {
  const { force, place, intervalS, sampling } = signal;
  const { noiseN, stepN, averaged } = sampling;
  const highest = force[peak] as number;
  const near = Math.max(6.5 * noiseN, 1.3 * stepN);
  let last = peak;
  for (let at = peak; at < to && (force[at] as number) >= highest - near; at++) last = at;
  const dt = intervalS ?? 1;
  if (last >= to - 1) return onTheRise(signal, from, last);
  let low = last + 1;
  const limit =
    place(last) +
    Math.max(intervalS === undefined ? 0 : suddenS, (averaged + (dt < coarseS * 1.5 ? 1.1 : 0.6)) * dt);
  for (let at = last + 1; at < to && place(at) <= limit; at++)
    if ((force[at] as number) < (force[low] as number)) low = at;
  // Steps or noise may hide where a slow let-off begins: it is then under way when it is seen.
  const sudden = near > 0.01 * netN ? near + 0.045 * netN : 0.035 * netN;
  if (highest - (force[low] as number) < sudden) return corner(signal, peak, { from, to, netN });

  const top = beforeSuddenFall(signal, { last, from, highest, low });
  // A quiet force stands on the step that is nearest to it.
  return noiseN < 0.4 * stepN ? { ...top, valueN: Math.max(top.valueN, highest - 0.3 * stepN) } : top;
}

function beforeSuddenFall(
  signal: Signal,
  { last, from, highest, low }: { last: number; from: number; highest: number; low: number },
): TopEstimate {
  const { force, place, intervalS, sampling } = signal;
  const { noiseN, stepN } = sampling;
  const dt = intervalS ?? 1;
  const sigma = Math.hypot(noiseN, stepN / Math.sqrt(12));
  const { averaged } = sampling;
  const end = Math.max(from, last - (intervalS === undefined ? 0 : Math.floor(unsureS / dt)));
  const line = bestLine(signal, end, from);
  // Back from the fall: the samples that lie below the line without one on it between. One that noise threw off is not.
  let off = last + 1;
  while (off - 1 > end && (force[off - 1] as number) < line.at(place(off - 1)) - 2 * sigma) off--;
  const began = beganToSlip(signal, { last, low, line, end });
  while (began !== undefined && off - 1 > end && place(off - 1) > began.at) off--;
  const sure = off - 1;
  const gap = place(off) - place(sure);
  const slope = Math.max(0, line.slope);
  const unsureN = slope * (began?.unsureS ?? 0);
  const lag = ((averaged - 1) / 2) * dt;
  if (line.count >= 6 || gap < 0.6 * dt)
    return {
      valueN: Math.max(line.at(place(sure)) + slope * (gap / 2 + lag), highest - 3 * sigma),
      noiseN: line.errorAt(place(sure) + gap / 2),
      betweenN: Math.hypot((slope * gap) / Math.sqrt(12), 0.2 * slope * lag, unsureN),
      basis: "rise to a sudden fall",
    };
  // Too few samples lie on one line: by how much the force rises between two is taken from the rises before. A fall comes
  // in a rise by the more likelihood the larger it is, and anywhere in it.
  let first = 0;
  let second = 0;
  let third = 0;
  for (let at = last; at > from && at > last - risesLookedAt; at--) {
    const rise = Math.max(0, (force[at] as number) - (force[at - 1] as number));
    first += rise;
    second += rise ** 2;
    third += rise ** 3;
  }
  const mean = first > 0 ? second / first : 0;
  const square = first > 0 ? third / first : 0;
  const steps = gap / dt;
  return {
    valueN: (force[last] as number) + (steps * mean) / 2 + (mean * lag) / dt,
    noiseN: sigma,
    betweenN: 1.3 * steps * Math.sqrt(Math.max(0, square / 3 - mean ** 2 / 4)) + (0.3 * mean * lag) / dt,
    basis: "rise to a sudden fall",
  };
}

/** Three tenths of a break are over sooner than this; those of a slip, some hundredths of a second long, are not. */
const breaksS = 0.003;

/**
 * When a slip began, where its samples show how it fell: it gathers way as a cosine does, so that a tenth and four tenths
 * of it lie 0.3218 and 0.6847 radians of a half-wave after its start. Absent where it fell within two samples, as a break does.
 */
function beganToSlip(
  { force, place, intervalS, sampling }: Signal,
  { last, low, line, end }: { last: number; low: number; line: RisingLine; end: number },
): { at: number; unsureS: number } | undefined {
  if (intervalS === undefined || sampling.averaged > 1) return undefined;
  const topN = line.at(place(last));
  const size = topN - (force[low] as number);
  const crossing = (part: number) => {
    const wanted = topN - part * size;
    let at = end + 1;
    while (at < low && (force[at] as number) > wanted) at++;
    const [before, after] = [force[at - 1] as number, force[at] as number];
    const within = before > after ? Math.min(1, Math.max(0, (before - wanted) / (before - after))) : 1;
    return place(at - 1) + within * (place(at) - place(at - 1));
  };
  const [tenth, fourTenths] = [crossing(0.1), crossing(0.4)];
  const took = fourTenths - tenth;
  if (took < Math.max(breaksS, 2 * intervalS)) return undefined;
  return { at: tenth - (0.3218 / (0.6847 - 0.3218)) * took, unsureS: 0.2 * took };
}

function onTheRise(signal: Signal, from: number, last: number): TopEstimate {
  const line = bestLine(signal, last, from);
  return {
    valueN: line.at(signal.place(last)),
    noiseN: line.errorAt(signal.place(last)),
    betweenN: 0,
    basis: "last sample",
  };
}
