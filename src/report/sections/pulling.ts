import { decimalsFor, forceText, toUncertainty } from "../../findings/mod.ts";
import type { PullReading } from "../../trace/mod.ts";
import { type Markup, markup } from "../markup.ts";
import { computed, facts } from "../page-parts.ts";
import { toDecimals } from "../shared-digits.ts";
import type { ReportInput } from "../types.ts";

/** How the specimens were pulled, as their recordings show it: rate, hold, bedding in, time to the peak. */
export function pullingSection({ findings, readings = {} }: ReportInput): Markup {
  const used = findings.pulls.filter(({ use }) => use !== "left out");
  const read = used.flatMap(({ pullId }) => readings[pullId] ?? []);
  const rates = used.flatMap(({ loadingRateNPerS }) => loadingRateNPerS ?? []);
  const shares = used.flatMap(({ loadingRateRatedPerMin }) => loadingRateRatedPerMin ?? []);
  if (rates.length === 0 && read.length === 0) return markup``;
  const strokes = read.flatMap(({ deep }) => (deep === undefined ? [] : [deep.strokes]));
  return markup`<h3>The pulls, as the recordings show them</h3>${facts([
    ["Loading rate", computed(rateText(rates, shares))],
    ["Hold before the last ramp", computed(holdText(read))],
    ["Bedding cycles", beddingText(read)],
    ["Pump strokes on the last ramp", strokes.some((count) => count > 0) ? spanOf(strokes, 0) : ""],
    ["Time to the peak", timeText(read)],
  ])}`;
}

function rateText(rates: readonly number[], shares: readonly number[]): string {
  if (rates.length === 0) return "";
  // 5 %: a mean over a stretch that is chosen by rule.
  const kN = (rate: number) => toUncertainty(rate / 1000, rate / 20_000);
  const [low, high] = [Math.min(...rates), Math.max(...rates)];
  const percent = (share: number) => toUncertainty(share * 100, share * 5);
  const ofRated =
    shares.length === 0
      ? ""
      : `; ${between(percent(Math.min(...shares)), percent(Math.max(...shares)))} % of the rated strength in each minute`;
  return `${between(kN(low), kN(high))} kN/s${ofRated}`;
}

function holdText(read: readonly PullReading[]): string {
  const holds = read.flatMap(({ deep }) => deep?.hold ?? []);
  if (holds.length === 0)
    return read.some(({ deep }) => deep !== undefined) ? "none that the recordings show" : "";
  const forces = holds.map(({ startN }) => startN).sort((a, b) => a - b);
  const times = holds.flatMap(({ fromS, toS }) =>
    fromS === undefined || toS === undefined ? [] : [toS - fromS],
  );
  const [low = 0, high = 0] = [forces[0], forces.at(-1)];
  const text = (forceN: number) => forceText(forceN, forceN / 100);
  const at = text(low) === text(high) ? text(low) : `${text(low)} to ${text(high)}`;
  const long = times.length === 0 ? "" : `, ${spanOf(times, 0.05 * Math.min(...times))} s long`;
  return `${holds.length} of ${read.length} pulls held, at ${at}${long}`;
}

function beddingText(read: readonly PullReading[]): string {
  const known = read.flatMap(({ deep }) => (deep === undefined ? [] : [deep.bedding?.cycles ?? 0]));
  if (known.length === 0) return "";
  return known.every((cycles) => cycles === 0) ? "none that the recordings show" : spanOf(known, 0);
}

function timeText(read: readonly PullReading[]): string {
  const times = read.flatMap(({ deep }) => deep?.timeToPeakS ?? []);
  return times.length === 0 ? "" : `${spanOf(times, 0.05 * Math.min(...times))} s from the first load on`;
}

function spanOf(values: readonly number[], uncertainty: number): string {
  const text = (value: number) =>
    uncertainty > 0 ? toDecimals(value, Math.min(decimalsFor(uncertainty), 2)) : String(value);
  return between(text(Math.min(...values)), text(Math.max(...values)));
}

function between(low: string, high: string): string {
  return low === high ? low : `${low} to ${high}`;
}
