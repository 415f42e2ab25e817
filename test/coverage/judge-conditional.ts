import { type LowerBoundMethod, lowerBound } from "../../src/stats/mod.ts";
import type { Draw } from "./draw.ts";
import { careful, carefulError, quickConfidence, rough, roughError } from "./quick-confidence.ts";

type Asked = {
  readonly method: LowerBoundMethod & ("normal" | "lognormal" | "weibull");
  readonly contents: readonly number[];
  readonly confidence: number;
  /** The value that each share of the population exceeds. */
  readonly truths: readonly number[];
};

/**
 * Whether a conditional bound lies at or below the truth, for each content; undefined where it is refused.
 *
 * By quick sums where they can tell and by the calculation where they cannot. Of the first draw and of every 25,000th
 * after it the calculation's own bound is held against the sums: they must give it the confidence asked for.
 */
export function judgeConditional(asked: Asked): (draw: Draw) => readonly (boolean | undefined)[] {
  const { method, contents, confidence, truths } = asked;
  const law = method === "weibull" ? "weibull" : "normal";
  const scale = method === "normal" ? (value: number) => value : Math.log;
  const places = truths.map(scale);
  let seen = 0;
  return (draw) => {
    const readings = {
      measured: draw.values.filter((_, i) => draw.censored[i] !== true).map(scale),
      atLeast: draw.values.filter((_, i) => draw.censored[i] === true).map(scale),
    };
    const full = () => contents.map((content) => boundOf(draw, { method, content, confidence }));
    if (seen++ % 25_000 === 0) check(full());
    if (readings.measured.length < 2) return contents.map(() => undefined);
    let found = quickConfidence(law, readings, contents, places, rough[law]);
    if (found.some((value) => Math.abs(value - confidence) < roughError))
      found = quickConfidence(law, readings, contents, places, careful);
    if (found.some((value) => Math.abs(value - confidence) < carefulError))
      return full().map((bound, i) => bound !== undefined && bound <= (truths[i] as number));
    return found.map((value) => value <= confidence);

    function check(bounds: readonly (number | undefined)[]) {
      const refused = bounds.some((bound) => bound === undefined);
      if (refused !== readings.measured.length < 2)
        throw new Error(`${method}: ${readings.measured.length} measured values, refused: ${refused}`);
      // A bound below zero has no logarithm; there is none to be had of the two laws that use them.
      const at = bounds.flatMap((bound) => (bound === undefined ? [] : [scale(bound)]));
      for (const [care, error] of [
        [rough[law], roughError],
        [careful, carefulError],
      ] as const)
        for (const value of refused ? [] : quickConfidence(law, readings, contents, at, care))
          if (!(Math.abs(value - confidence) < error))
            throw new Error(`${method}: the quick way gives its bound ${value} for ${confidence}`);
    }
  };
}

function boundOf(
  { values, censored }: Draw,
  asked: { readonly method: LowerBoundMethod; readonly content: number; readonly confidence: number },
): number | undefined {
  const answer = lowerBound({ ...asked, values, ...(censored.some(Boolean) && { censored }) });
  return answer.ok ? answer.value.bound : undefined;
}
