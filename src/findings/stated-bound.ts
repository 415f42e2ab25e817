import { ok, type Result } from "../problem/mod.ts";
import type { SeriesFields } from "../series/mod.ts";
import { type LowerBoundMethod, lowerBound } from "../stats/mod.ts";
import type { StatedBound, StatedBy } from "./types.ts";

/** What a series says of the bound by which its strengths are stated. */
export type BoundAsked = Pick<SeriesFields, "boundMethod" | "boundContent" | "boundConfidence">;

/** What each method is called, in a few words. */
export const boundMethodWords: Readonly<Record<LowerBoundMethod, string>> = {
  normal: "normal tolerance bound",
  lognormal: "log-normal tolerance bound",
  weibull: "Weibull tolerance bound",
  "distribution-free": "distribution-free, an order statistic",
  "hanson-koopmans": "Hanson-Koopmans, nearly distribution-free",
  "mean-3sd": "mean − 3 SD",
  lowest: "lowest of n",
};

const shortWords: Readonly<Record<LowerBoundMethod, string>> = {
  normal: "normal bound",
  lognormal: "log-normal bound",
  weibull: "Weibull bound",
  "distribution-free": "distribution-free bound",
  "hanson-koopmans": "Hanson-Koopmans bound",
  "mean-3sd": "mean − 3 SD",
  lowest: "lowest of n",
};

/**
 * The bound that a series keeps, with its name over a column: content and confidence in per cent before the method; a
 * custom that asks for no confidence has none before it.
 *
 * @example
 * statedBy({ boundMethod: "weibull", boundContent: 0.9, boundConfidence: 0.95 }).name // "90/95 Weibull bound"
 */
export function statedBy({ boundMethod, boundContent, boundConfidence }: BoundAsked): StatedBy {
  const shares = [boundContent, boundConfidence].map((share) => String(Number((100 * share).toPrecision(6))));
  const custom = boundMethod === "lowest" || boundMethod === "mean-3sd";
  return {
    method: boundMethod,
    content: boundContent,
    confidence: boundConfidence,
    name: custom ? shortWords[boundMethod] : `${shares.join("/")} ${shortWords[boundMethod]}`,
  };
}

/**
 * The strength that is stated of a cell, by the method that its series keeps, with the sentence of what it claims.
 *
 * Forces in newtons. broken: pulls that went to their end. stopped: pulls that bore at least this much; they are counted as
 * that where the method can, and refused where it cannot.
 * Source: docs/methods/lower-bound.md.
 *
 * @example
 * const asked = { boundMethod: "lowest", boundContent: 0.95, boundConfidence: 0.95 } as const;
 * const stated = statedBound([48_000, 52_000], [50_000], asked);
 * stated.ok && [stated.value.boundN, stated.value.n, stated.value.stopped] // [48000, 3, 1]
 */
export function statedBound(
  broken: readonly number[],
  stopped: readonly number[],
  asked: BoundAsked,
): Result<StatedBound> {
  const found = lowerBound({
    values: [...broken, ...stopped],
    ...(stopped.length > 0 && { censored: [...broken.map(() => false), ...stopped.map(() => true)] }),
    method: asked.boundMethod,
    content: asked.boundContent,
    confidence: asked.boundConfidence,
  });
  if (!found.ok) return found;
  const { bound, method, content, confidence, n, censoredCount, meaning } = found.value;
  return ok(
    { boundN: bound, method, content, confidence, n, stopped: censoredCount, meaning },
    found.warnings,
  );
}
