import type { DeepReading, PullReading, TraceWindow } from "../../trace/mod.ts";
import { present } from "./judge.ts";

/** A curve shows the specimen's force, as the strengths beside it do. */
export function windowAtSpecimen(window: TraceWindow, factor: number): TraceWindow {
  if (factor === 1) return window;
  const scaled = (values: readonly (number | null)[]) =>
    values.map((value) => (value === null ? null : value * factor));
  return { ...window, lowN: scaled(window.lowN), highN: scaled(window.highN) };
}

/** A reading at the cell as one at the specimen: every force in it times the same factor. */
export function readingAtSpecimen(reading: PullReading, factor: number): PullReading {
  if (factor === 1) return reading;
  const times = timesBy(factor);
  return {
    ...reading,
    peakN: reading.peakN * factor,
    noiseN: reading.noiseN * factor,
    drops: reading.drops.map(fall(factor)),
    ...present({
      restN: times(reading.restN),
      netPeakN: times(reading.netPeakN),
      loadingRateNPerS: times(reading.loadingRateNPerS),
      collapse: reading.collapse === undefined ? undefined : fall(factor)(reading.collapse),
      deep: reading.deep === undefined ? undefined : deepAtSpecimen(reading.deep, factor),
    }),
  };
}

function deepAtSpecimen(deep: DeepReading, factor: number): DeepReading {
  const { bedding, hold, peak } = deep;
  const times = timesBy(factor);
  return {
    ...deep,
    slips: deep.slips.map(fall(factor)),
    ...present({
      bedding: bedding && {
        ...bedding,
        lowestN: bedding.lowestN * factor,
        highestN: bedding.highestN * factor,
      },
      hold: hold && { ...hold, startN: hold.startN * factor, endN: hold.endN * factor },
      firstSlipN: times(deep.firstSlipN),
      residualN: times(deep.residualN),
      stiffnessNPerM: times(deep.stiffnessNPerM),
      energyToPeakJ: times(deep.energyToPeakJ),
      peak: peak && {
        ...peak,
        valueN: peak.valueN * factor,
        standardN: peak.standardN * factor,
        expandedN: peak.expandedN * factor,
        parts: peak.parts.map((part) => ({ ...part, standardN: part.standardN * factor })),
      },
    }),
  };
}

function timesBy(factor: number) {
  return (value: number | undefined) => (value === undefined ? undefined : value * factor);
}

function fall(factor: number) {
  return <T extends { readonly fromN: number; readonly toN: number }>(one: T): T => ({
    ...one,
    fromN: one.fromN * factor,
    toN: one.toN * factor,
  });
}
