import { proportion } from "../../stats/mod.ts";
import type { CountStatement, PullsToSettle, SlipOrBreakPull } from "./types.ts";

/**
 * What counts of outcomes say without any law of growth, if a longer bury slips no more often: of the pulls up to a bury,
 * each slips at least as often as one at that bury, so their exact upper bound (Clopper and Pearson) holds there and beyond;
 * and the other way round. Of both the most telling is given; a statement that says nothing (0 or 1) is left out.
 */
export function stateCounts(pulls: readonly SlipOrBreakPull[], confidence: number): CountStatement[] {
  const ended = pulls.filter(({ outcome }) => outcome !== "stopped");
  const buries = [...new Set(ended.map(({ buryDiameters }) => buryDiameters))].sort((a, b) => a - b);
  const count = (those: readonly SlipOrBreakPull[]) => ({
    ended: those.length,
    slipped: those.filter(({ outcome }) => outcome === "slipped").length,
  });
  // Two-sided at this level has the stated confidence on one side.
  const bounds = (slipped: number, n: number) => {
    const answer = proportion({ successes: slipped, n, confidence: 2 * confidence - 1 });
    return answer.ok ? answer.value.exactInterval : ([0, 1] as const);
  };
  const upper = buries.map((bury): CountStatement => {
    const here = count(ended.filter(({ buryDiameters }) => buryDiameters <= bury));
    return { kind: "at most", buryDiameters: bury, ...here, chance: bounds(here.slipped, here.ended)[1] };
  });
  const lower = buries.map((bury): CountStatement => {
    const here = count(ended.filter(({ buryDiameters }) => buryDiameters >= bury));
    return { kind: "at least", buryDiameters: bury, ...here, chance: bounds(here.slipped, here.ended)[0] };
  });
  const best = (list: readonly CountStatement[], better: (a: number, b: number) => boolean) =>
    list.reduce<CountStatement | undefined>(
      (found, one) => (found === undefined || better(one.chance, found.chance) ? one : found),
      undefined,
    );
  const most = best(upper, (a, b) => a < b);
  const least = best(lower, (a, b) => a > b);
  return [
    ...(most !== undefined && most.chance < 1 ? [most] : []),
    ...(least !== undefined && least.chance > 0 ? [least] : []),
  ];
}

/** Which buries would bring what is missing: slips at two buries or more, and breaks. Rounded to whole diameters. */
export function whatWouldSettle(pulls: readonly SlipOrBreakPull[]): PullsToSettle | undefined {
  const slips = pulls
    .filter(({ outcome }) => outcome === "slipped")
    .map(({ buryDiameters }) => buryDiameters);
  const breaks = pulls.filter(({ outcome }) => outcome === "broke").length;
  const all = pulls.map(({ buryDiameters }) => buryDiameters);
  const shortest = Math.min(...all);
  const longest = Math.max(...all);
  const slipBuries = [...new Set(slips)].sort((a, b) => a - b);
  if (breaks < 2 && slips.length === 0)
    return {
      buryDiameters: [],
      reason: "nearly all pulls were stopped: a stronger bench or a thinner rope has to bring them to an end",
    };
  if (breaks < 2)
    return {
      buryDiameters: rounded([1.25, 1.5, 2].map((times) => times * longest)),
      reason: "hardly any pull broke: longer buries show where breaking sets in",
    };
  if (slips.length === 0)
    return {
      buryDiameters: rounded([0.8, 0.65, 0.5].map((times) => times * shortest)),
      reason: "no pull slipped: shorter buries show where slipping sets in",
    };
  if (slipBuries.length > 1 && slips.length > 2) return undefined;
  const slipBury = slipBuries[0] as number;
  const next = all.filter((bury) => bury > slipBury).sort((a, b) => a - b)[0];
  const between = next === undefined ? [1.2 * slipBury] : [(slipBury + next) / 2];
  return {
    buryDiameters: rounded([0.75 * slipBury, 0.9 * slipBury, ...between]),
    reason: `${slipBuries.length === 1 ? "all slips lie at one bury" : "too few pulls slipped"}: slips at two buries or more show how the slip strength grows`,
  };
}

function rounded(buries: readonly number[]): number[] {
  const whole = buries.map((bury) => Math.max(1, Math.round(bury)));
  return [...new Set(whole)].sort((a, b) => a - b);
}
