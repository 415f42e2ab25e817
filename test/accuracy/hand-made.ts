import type { DeepReading, DrawnPull, LoggerTruth, Phase, PhaseName } from "../../src/trace/mod.ts";
import type { DeepPull } from "./judge-pull.ts";

// One pull drawn by hand, for the tests of the matching rules: rest to 10 s, a straight ramp of 1 kN/s to 10 kN at 20 s,
// nothing from 20.01 s on; 100 samples a second, noise of 2 N, steps of 1 N.

export const logger: LoggerTruth = {
  rateHz: 100,
  noiseN: 2,
  stepN: 1,
  capacityN: 50_000,
  averagedSamples: 1,
  batchS: 0,
};

export const pull: DrawnPull = {
  startS: 10,
  endS: 20.03,
  peakN: 10_000,
  peakTimeS: 20,
  restN: 0,
  outcome: "broke",
  endingTimeS: 20,
  endingFromN: 10_000,
  slips: [],
  strandBreaks: [],
  restrokes: [],
  beddingCycles: 0,
  workToPeakJ: 500,
  phases: [
    { phase: "rest", startS: 0, endS: 10 },
    { phase: "ramp", startS: 10, endS: 20 },
    { phase: "collapse", startS: 20, endS: 20.03 },
    { phase: "tail", startS: 20.03, endS: 30 },
  ],
  drive: "steady",
  clipped: "no",
  startCut: false,
  endCut: false,
};

/** The true force by a formula, at 100 Hz from 0 s to 30 s. */
export function forceOf(newtonsAt: (second: number) => number) {
  const timeS = Float64Array.from({ length: 3001 }, (_, row) => row / 100);
  return { timeS, forceN: timeS.map(newtonsAt) };
}

export const force = forceOf((s) => (s < 10 || s >= 20.01 ? 0 : 1000 * (s - 10)));

/** Phases from "ramp 10, collapse 20, tail 20.03": each ends where the next begins. */
export function phases(text: string): Phase[] {
  const parts = text.split(", ").map((part) => part.split(" ") as [PhaseName, string]);
  return parts.map(([name, from], at) => {
    const fromS = Number(from);
    const toS = Number(parts[at + 1]?.[1] ?? 30);
    return { name, fromS, toS, fromRow: Math.round(100 * fromS) + 1, toRow: Math.round(100 * toS) + 1 };
  });
}

/** A pull as read, right in every way but for what is changed. */
export function reading(changed: Partial<DeepReading> = {}): DeepPull {
  return {
    index: 1,
    startRow: 1001,
    endRow: 2003,
    startS: 10,
    endS: 20.02,
    peakN: 10_000,
    peakRow: 2001,
    peakTimeS: 20,
    drops: [],
    end: "collapse",
    noiseN: 2,
    warnings: [],
    deep: {
      phases: phases("rest 0, ramp 10, collapse 20, tail 20.03"),
      strokes: 0,
      slips: [],
      peak: { valueN: 10_001, standardN: 2, expandedN: 4, parts: [], lowerBound: false },
      outcome: {
        probabilities: { broke: 0.9, slipped: 0.08, stopped: 0.02 },
        likeliest: "broke",
        reasons: [],
      },
      ...changed,
    },
  };
}
