import type { JudgedPull, LeftOutAs, PullToJudge } from "./types.ts";

/**
 * Says of one pull whether it counts, and of what its strength is a share.
 *
 * Broke and slipped count: both are the greatest force that the specimen bore. Stopped is a lower bound: it would have
 * borne more; so is a pull whose peak the recording does not show, however it ended. Void, another load, not yet judged, and without a readable strength are left out, each with its reason.
 * Line efficiency = strength / rated strength; leg efficiency = strength / (legs × rated strength), both as fractions and
 * absent where the rated strength or the legs are not known. A void pull has none: its force is not the specimen's.
 *
 * @example
 * judgePull({ pullId: "p1", levels: {}, strengthSource: "typed", strengthN: 51_000, ratedStrengthN: 30_000, legs: 2,
 *   outcome: { kind: "broke", place: "throat" }, warnings: [] }).legEfficiency // 0.85
 */
export function judgePull(pull: PullToJudge): JudgedPull {
  const leftOut = whyLeftOut(pull);
  if (leftOut !== undefined) return joined(pull, { use: "left out", ...leftOut });
  return joined(pull, {
    ...efficiencies(pull),
    ...relativeRate(pull),
    ...(differs(pull) ? { outcomeDiffers: true } : {}),
    use: pull.outcome?.kind === "stopped" || pull.peakCutOff === true ? "lower bound" : "counted",
  });
}

/**
 * Not by a spread: the engine gives each object that is spread from so many fields a layout of its own, and whoever then reads
 * pull after pull looks every field up by its name. Drawing 200 marks takes a fifth less so.
 */
function joined<Judged>(pull: PullToJudge, judged: Judged): PullToJudge & Judged {
  return Object.assign({}, pull, judged);
}

/** What to call a pull in a sentence: its specimen's label, or its own id where nobody said the specimen. */
export function pullName(pull: Pick<PullToJudge, "specimenLabel" | "pullId">): string {
  return pull.specimenLabel ?? pull.pullId;
}

/** True where a strength was read that a bench can have: finite and above 0. */
export function hasStrength<P extends PullToJudge>(pull: P): pull is P & { readonly strengthN: number } {
  return isPositive(pull.strengthN);
}

function whyLeftOut(pull: PullToJudge): { leftOutAs: LeftOutAs; whyLeftOut: string } | undefined {
  if (pull.otherLoad !== undefined)
    return { leftOutAs: "no pull", whyLeftOut: `no pull but another load: ${pull.otherLoad}` };
  if (pull.outcome?.kind === "void") return { leftOutAs: "void", whyLeftOut: `void: ${pull.outcome.reason}` };
  if (pull.outcome === undefined)
    return { leftOutAs: "not judged", whyLeftOut: "not yet judged: nobody has said how it ended" };
  if (!hasStrength(pull)) return { leftOutAs: "no strength", whyLeftOut: "no strength could be read" };
  return undefined;
}

function efficiencies(pull: PullToJudge): { lineEfficiency?: number; legEfficiency?: number } {
  const { ratedStrengthN, legs } = pull;
  if (!hasStrength(pull) || !isPositive(ratedStrengthN)) return {};
  const lineEfficiency = pull.strengthN / ratedStrengthN;
  return isPositive(legs)
    ? { lineEfficiency, legEfficiency: pull.strengthN / (legs * ratedStrengthN) }
    : { lineEfficiency };
}

function relativeRate({ loadingRateNPerS, ratedStrengthN }: PullToJudge) {
  return loadingRateNPerS === undefined || !isPositive(ratedStrengthN)
    ? {}
    : { loadingRateRatedPerMin: (loadingRateNPerS * 60) / ratedStrengthN };
}

function differs({ outcome, evidence }: PullToJudge): boolean {
  return (
    outcome !== undefined &&
    outcome.kind !== "void" &&
    evidence !== undefined &&
    evidence.likeliest !== outcome.kind
  );
}

function isPositive(value: number | undefined): value is number {
  return value !== undefined && Number.isFinite(value) && value > 0;
}
