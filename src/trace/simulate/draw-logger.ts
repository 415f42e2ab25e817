import type { Random } from "../../stats/mod.ts";
import { between } from "./bench-acts.ts";
import { chance, logBetween, oneOf } from "./chances.ts";
import type { Bench } from "./draw-pull.ts";
import type { FaultKind } from "./faults.ts";
import type { LoggerSpec, PullSpec } from "./spec.ts";

/** A recording is kept to about this many rows, by a lower rate where it is long. */
const mostRows = 50_000;
const rates = [10, 12.5, 20, 25, 40, 50, 62.5, 80, 100, 125, 200, 250, 400, 500, 1000, 2000, 5000];

/** A rate that the style is logged at: 2.9 Hz for a day's log, 500 Hz and more for a burst, else 10 Hz to 1 kHz. */
export function drawRate(random: Random, bench: Bench, lengthS: number): number {
  if (bench.style === "day") return 2.9;
  const fits = rates.filter(
    (rate) => rate * lengthS <= mostRows && (bench.style === "burst" || rate <= 1000),
  );
  const fast = fits.filter((rate) => rate >= 500);
  const chosen = bench.style === "burst" && fast.length > 0 ? fast : fits;
  return chosen[random.below(chosen.length)] ?? 10;
}

/** About how long a recording of these pulls is, in seconds. */
export function lengthOf(pulls: readonly PullSpec[], bench: Bench, gapS: number): number {
  let lengthS = gapS * (pulls.length - 1);
  for (const { restS, tailS, set, bedding, specimen, drive } of pulls) {
    const resets = drive.kind === "strokes" ? (drive.restrokes ?? []) : [];
    lengthS += restS + tailS + bench.pullS * (specimen.slip === undefined ? 1.3 : 2.5) + 4;
    lengthS += (set?.holdS ?? 0) + (bedding?.cycles ?? 0) * (0.6 * bench.pullS + 2) + 4 * resets.length;
  }
  return lengthS;
}

/** Cell, amplifier and clock for pulls of up to `peakN`, sound but for the faults that were asked for. */
export function drawLogger(
  random: Random,
  known: {
    readonly rateHz: number;
    readonly peakN: number;
    readonly lengthS: number;
    readonly faults: readonly FaultKind[];
  },
): LoggerSpec {
  const { rateHz, peakN, lengthS, faults } = known;
  const has = (kind: FaultKind) => faults.includes(kind);
  const coarse = has("coarse-steps");
  const bits = coarse
    ? 8 + random.below(2)
    : oneOf(random, [
        [40, 24],
        [30, 16],
        [10, 20],
        [12, 12],
        [8, 10],
      ]);
  // Steps of at least 1.2 % of the peak where coarse ones are wanted: 2 · capacity / 2^bits.
  const capacityN =
    peakN * (coarse ? 0.006 * 2 ** bits * between(random, 1, 2) : logBetween(random, 1.25, 4));
  const sign = chance(random, 0.5) ? 1 : -1;
  const driftsN = has("drift")
    ? sign * peakN * between(random, 0.03, 0.08)
    : chance(random, 0.3)
      ? sign * peakN * between(random, 0, 0.003)
      : 0;
  const curved = chance(random, 0.4);
  // A swing ends at its crest, so that it has moved by all of its amplitude when the record ends.
  const swing = { amplitudeN: Math.abs(driftsN), periodS: 4 * lengthS };
  const offsetN = has("offset")
    ? sign * peakN * between(random, 0.04, 0.15)
    : sign * peakN * 0.008 * random.uniform() ** 2;
  return {
    rateHz,
    jitterS:
      (has("clock-jitter") ? between(random, 0.2, 0.35) : chance(random, 0.3) ? 0.05 * random.uniform() : 0) /
      rateHz,
    capacityN,
    bits,
    noiseN: peakN * logBetween(random, 2e-5, 2e-3),
    offsetN,
    driftNPerMinute: curved ? 0 : (60 * driftsN) / lengthS,
    ...(curved && driftsN !== 0 ? { swing } : {}),
    // Amplifiers average over a tenth of a second or so, not over the seconds between a slow log's rows.
    ...(chance(random, 0.14) && rateHz >= 40 ? { averagedSamples: 2 + random.below(5) } : {}),
    ...(chance(random, 0.25) || has("position") ? { displacement: true } : {}),
  };
}
