import type { OutcomeEvidence } from "../reading-parts.ts";

/** What a record shows of how a pull ended, as far as it speaks for one outcome or another. */
export type EndFacts = {
  /** Net force at the top from which it fell for good, and what was left after the fall. */
  readonly fromN: number;
  readonly leftN: number;
  /** From 90 % to 10 % of the fall, in seconds. */
  readonly fallS: number;
  /** From the last rise of the force to where a tenth of the fall is over. */
  readonly lingerS: number;
  /** The largest part of the fall that came within 0.08 s, or within what the sampling can resolve. */
  readonly suddenPart: number;
  /** Interval between samples, times the readings that each averages. */
  readonly resolutionS: number;
  readonly slips: number;
  /** The top was cut off at the cell's limit: how long the force stood there says nothing of the drive. */
  readonly clipped: boolean;
};

/**
 * Weights of a multinomial logistic regression on the features below, in the order broke, slipped, stopped (stopped is
 * the one against which the others are weighed). Found by test/accuracy/fit-outcome.ts on simulated recordings of seeds
 * 900,000,001 and on, which the benchmark does not use.
 */
const weights: Readonly<Record<"broke" | "slipped", readonly number[]>> = {
  // biome-ignore lint/suspicious/noApproximativeNumericConstant: a fitted weight, not π
  broke: [-9.022, -32.297, 11.19, -7.716, 13.378, -20.954, 8.437, 3.141],
  slipped: [-8.91, -7.183, 10.807, -9.76, 3.924, -24.656, -7.993, 1.98],
};

/** The features of a pull's end, each of the order of 1. */
export function endFeatures(facts: EndFacts): number[] {
  const { fallS, lingerS, suddenPart, resolutionS, leftN, fromN, clipped } = facts;
  const fall = Math.log10(Math.max(fallS, 0.003));
  const linger = clipped ? 0 : Math.log10(Math.max(lingerS, 0.01));
  const resolution = Math.log10(Math.max(resolutionS, 0.003));
  const left = Math.min(0.5, Math.max(0, leftN / fromN));
  return [1, fall, suddenPart, linger, resolution, suddenPart * resolution, left, clipped ? 1 : 0];
}

/** No record proves what a specimen did: a probability is kept this far from 0 and 1. */
const leastDoubt = 0.002;

/**
 * Rule R-OUTCOME: what the end of the force speaks for, with the reasons in words. A break falls at once; a splice that
 * draws out falls in part and runs out; a load that is let off lingers and falls smoothly.
 */
export function weighOutcome(facts: EndFacts, inWords: (newtons: number) => string): OutcomeEvidence {
  const features = endFeatures(facts);
  const score = (row: readonly number[]) =>
    row.reduce((sum, weight, at) => sum + weight * (features[at] ?? 0), 0);
  const scores = { broke: score(weights.broke), slipped: score(weights.slipped), stopped: 0 };
  const highest = Math.max(scores.broke, scores.slipped, 0);
  const raw = {
    broke: Math.exp(scores.broke - highest),
    slipped: Math.exp(scores.slipped - highest),
    stopped: Math.exp(-highest),
  };
  const sum = raw.broke + raw.slipped + raw.stopped;
  const tempered = (value: number) => leastDoubt + (1 - 3 * leastDoubt) * (value / sum);
  const probabilities = {
    broke: tempered(raw.broke),
    slipped: tempered(raw.slipped),
    stopped: tempered(raw.stopped),
  };
  const likeliest = (["broke", "slipped", "stopped"] as const).reduce((best, one) =>
    probabilities[one] > probabilities[best] ? one : best,
  );
  return { probabilities, likeliest, reasons: reasonsFor(facts, inWords) };
}

function reasonsFor(facts: EndFacts, inWords: (newtons: number) => string): string[] {
  const { fromN, leftN, fallS, lingerS, suddenPart, resolutionS, slips, clipped } = facts;
  const from = inWords(fromN);
  const left = inWords(Math.max(0, leftN));
  const reasons: string[] = [];
  if (fallS <= 2 * resolutionS) reasons.push(`The force fell from ${from} to ${left} within two samples.`);
  else reasons.push(`The force fell from ${from} to ${left}, nine tenths to one tenth in ${seconds(fallS)}.`);
  if (suddenPart >= 0.25 && suddenPart < 0.85)
    reasons.push(
      `${Math.round(100 * suddenPart)} % of the fall came at once, and the rest ran out more slowly.`,
    );
  if (lingerS >= 0.3 && suddenPart < 0.85 && !clipped)
    reasons.push(`The force had stopped rising ${seconds(lingerS)} before it fell.`);
  if (leftN >= 0.03 * fromN) reasons.push(`${left} was left after the fall, as where a strand holds on.`);
  if (slips > 0)
    reasons.push(
      `The splice had slipped and gripped again ${slips === 1 ? "once" : `${slips} times`} before.`,
    );
  return reasons;
}

function seconds(value: number): string {
  return `${Number(value.toPrecision(2))} s`;
}
