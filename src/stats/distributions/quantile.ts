import { findRootFrom } from "../numeric/root.ts";
import type { Tails } from "../special/gamma.ts";

/**
 * The value of a positive variable below which the share p lies, found from its two tails.
 * The search runs over the logarithm of the value and of the tail, so that neither a share of 1e-300 nor a value of
 * 1e-100 is out of reach.
 */
export function positiveQuantile(tails: (x: number) => Tails, p: number, guess: number): number {
  if (p <= 0) return 0;
  if (p >= 1) return Number.POSITIVE_INFINITY;
  const aim = p <= 0.5 ? Math.log(p) : Math.log1p(-p);
  const offTarget = (logX: number) => {
    const { lower, upper } = tails(Math.exp(logX));
    return p <= 0.5 ? logOf(lower) - aim : aim - logOf(upper);
  };
  return Math.exp(findRootFrom(offTarget, Math.log(guess), 0.25));
}

/** The value of a variable on the whole line below which the share p lies, found from its two tails. */
export function realQuantile(tails: (x: number) => Tails, p: number, guess: number, scale: number): number {
  if (p <= 0) return Number.NEGATIVE_INFINITY;
  if (p >= 1) return Number.POSITIVE_INFINITY;
  const aim = p <= 0.5 ? Math.log(p) : Math.log1p(-p);
  const offTarget = (x: number) => {
    const { lower, upper } = tails(x);
    return p <= 0.5 ? logOf(lower) - aim : aim - logOf(upper);
  };
  return findRootFrom(offTarget, guess, scale);
}

/** An underflowed tail counts as smaller than any share that is asked for. */
function logOf(share: number): number {
  return share > 0 ? Math.log(share) : -1e4;
}
