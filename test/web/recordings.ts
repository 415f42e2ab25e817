/** A pull made for a test, with its truth: the peak above the rest. */
export type MadePull = { readonly peakN: number; readonly restN?: number; readonly hz?: number };

type Sample = { readonly timeS: number; readonly forceN: number };

/**
 * One pull with known truth: two seconds at rest, a straight ramp of eight seconds to the peak, a fall within one sample,
 * and two seconds at rest. A small ripple stands for the cell's noise; it is zero at the peak, so that the peak is exact.
 */
export function pullSamples({ peakN, restN = 0, hz = 250 }: MadePull): readonly Sample[] {
  const samples: Sample[] = [];
  const rampFrom = 2 * hz;
  const rampTo = 10 * hz;
  for (let at = 0; at <= 12 * hz; at++) {
    const share = at < rampFrom || at > rampTo ? 0 : (at - rampFrom) / (rampTo - rampFrom);
    const ripple = at === rampTo ? 0 : Math.sin(at * 12.9898) * peakN * 0.0004;
    samples.push({ timeS: at / hz, forceN: restN + share * peakN + ripple });
  }
  return samples;
}

/** Three loggers' ways of writing the same thing. */
export const dialects = {
  /** Commas, CRLF, units in the header, milliseconds and newtons. */
  commas: (samples: readonly Sample[]): string =>
    [
      "time_ms,force_N",
      ...samples.map((s) => `${Math.round(s.timeS * 1000)},${s.forceN.toFixed(3)}`),
      "",
    ].join("\r\n"),
  /** Semicolons, decimal commas, lines before the header, and no word on the unit of force: kilonewtons. */
  semicolons: (samples: readonly Sample[]): string =>
    [
      "Logger 7;serial 0042",
      "",
      "Time [s];Load",
      ...samples.map((s) => `${s.timeS.toFixed(3)};${(s.forceN / 1000).toFixed(5)}`.replaceAll(".", ",")),
      "",
    ].join("\n"),
  /** Tabs, a row of units below the header, pounds-force. */
  tabs: (samples: readonly Sample[]): string =>
    [
      "Elapsed\tTension",
      "s\tlbf",
      // 4.4482216152605 N to the pound-force: NIST SP 811, appendix B.
      ...samples.map((s) => `${s.timeS.toFixed(3)}\t${(s.forceN / 4.4482216152605).toFixed(4)}`),
      "",
    ].join("\n"),
} as const;
