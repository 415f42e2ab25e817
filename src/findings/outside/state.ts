import { estimateText, pText, roughPercent, uncertaintyOf } from "../mattered/say.ts";
import type { JudgedClaim, PooledSeries } from "../outside-types.ts";
import { forceFigures, percentText } from "../rounding.ts";
import type { Finding } from "../types.ts";
import { counted, listed } from "../words.ts";

const basisWords = {
  force: "",
  "rated single line": " of one line’s rated strength",
  "rated, all legs": " of the rated strength of all legs",
  "measured single line": " of one line as its source measured it",
} as const;

/** A claim against the pulls, in one sentence. */
export function stateClaim(one: JudgedClaim): Finding {
  const opening = `Claimed: “${one.statement}” (${one.source})`;
  const about = one.against === "all pulls" ? "" : ` for ${one.against}`;
  const shared = { id: `claim-${one.claimId}`, pulls: one.pulls, warnings: one.warnings };
  if (!one.judged.ok)
    return {
      ...shared,
      sentence: `${opening}. It cannot be set against these pulls${about}: ${one.judged.problems[0]?.message ?? ""}`,
      method: "A refusal with its reason, where claim and pulls cannot be brought to one basis.",
    };
  const { verdict, meaning, claimed, mean, onLegs } = one.judged.value;
  const u = uncertaintyOf(mean);
  const figure = (value: number) =>
    one.basis === "force" ? `${forceFigures(value, u).kN} kN` : percentText(value, u);
  const asked =
    one.basis === "force"
      ? `${Number((claimed / 1000).toPrecision(4))} kN`
      : `${Number((100 * claimed).toPrecision(4))} %`;
  const found = `${figure(mean.value)} (95 % interval ${figure(mean.interval[0])} to ${figure(mean.interval[1])})`;
  const legs =
    onLegs === undefined || one.basis === "rated, all legs"
      ? ""
      : ` Of all legs’ rated strength that is ${percentText(onLegs.mean.value, uncertaintyOf(onLegs.mean))} against ${percentText(onLegs.claimed, uncertaintyOf(onLegs.mean))} claimed.`;
  const words = {
    supported: "these pulls support it",
    contradicted: "these pulls contradict it",
    undecided: "these pulls do not settle it",
  }[verdict];
  return {
    ...shared,
    sentence: `${opening}: ${asked}${basisWords[one.basis]} as ${one.kind === "mean" ? "a mean" : "a least value"}. The mean${about} here is ${found}; ${words}. ${meaning}${legs} n = ${one.n}.`,
    method:
      one.kind === "mean"
        ? "t test against the figure and two one-sided t tests for lying within the margin, for normally scattered strengths."
        : "Share of a normal population above the figure, with its interval from the non-central t.",
  };
}

/** Several series together, in one sentence. */
export function statePool(one: PooledSeries, at: number): Finding {
  const about = one.about === "all pulls" ? "" : ` (${one.about})`;
  const left = one.leftOut.map(({ name, why }) => ` ${name} stays out. ${why}`).join("");
  const shared = { id: `pool-${at + 1}`, pulls: one.pulls, warnings: one.warnings };
  const names = listed(one.sources.map(({ name, n }) => `${name} (n = ${n})`));
  if (!one.pooled.ok)
    return {
      ...shared,
      sentence: `These pulls${about} are not pooled with others. ${one.pooled.problems[0]?.message ?? ""}${left}`,
      method: "A refusal with its reason.",
    };
  const { mean, nextSeries, betweenSd, i2, p } = one.pooled.value;
  const u = uncertaintyOf(mean);
  const alike = one.samePopulation.ok
    ? one.samePopulation.value.p < 0.05
      ? ` The pulls themselves must not be thrown together as one sample (Anderson and Darling, ${pText(one.samePopulation.value.p)}).`
      : ` That the pulls come from different populations is not shown (Anderson and Darling, ${pText(one.samePopulation.value.p)}), which with so few is no proof that they do not.`
    : "";
  return {
    ...shared,
    sentence: `${counted(one.sources.length, "series", "series")} together${about}, ${names}: the mean leg efficiency is ${estimateText(mean)}; that of the next bench would lie between ${percentText(nextSeries[0], u)} and ${percentText(nextSeries[1], u)}. Between benches the means scatter by ${roughPercent(betweenSd)} (${Math.round(100 * i2)} % of what is seen between them is more than chance within them; ${pText(p)}).${alike}${left}`,
    method:
      "Random effects on strength / (legs × rated strength): restricted maximum likelihood, interval by Hartung and Knapp, the next bench by the confidence distribution of the scatter between benches (docs/methods/pool.md).",
  };
}
