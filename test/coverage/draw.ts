import type { Random } from "../../src/stats/mod.ts";
import { bisect, type Law } from "./laws.ts";

/** A handful of pulls: the values, and which of them are lower bounds only. */
export type Draw = { readonly values: readonly number[]; readonly censored: readonly boolean[] };

/**
 * A way to draw n pulls of which, on average, the given share is stopped by something else failing first.
 *
 * That something (a shackle, a pin, the end of the stroke) is as strong as a specimen of the same law, drawn on its own,
 * and then made stronger or weaker by one number: stretched where the law is of ratios, shifted where it is of differences.
 * That number is chosen so that the share comes out; how many are stopped in one draw is left to chance.
 */
export function drawing(law: Law, n: number, share: number): (random: Random) => Draw {
  if (share === 0) {
    const none = new Array<boolean>(n).fill(false);
    return (random) => ({ values: Array.from({ length: n }, () => law.draw(random)), censored: none });
  }
  const moved = movedBy(law, share);
  return (random) => {
    const values: number[] = [];
    const censored: boolean[] = [];
    for (let i = 0; i < n; i++) {
      const strength = law.draw(random);
      const limit = moved(law.draw(random));
      values.push(Math.min(strength, limit));
      censored.push(limit < strength);
    }
    return { values, censored };
  };
}

function movedBy(law: Law, share: number): (value: number) => number {
  const move = law.stretches
    ? (by: number) => (value: number) => value * by
    : (by: number) => (value: number) => value + by;
  const steps = 2000;
  const places = Array.from({ length: steps }, (_, i) => law.quantile((i + 0.5) / steps));
  // The share of specimens stronger than what stops them, over all that may stop them.
  const stopped = (by: number) =>
    places.reduce((sum, value) => sum + 1 - law.cdf(move(by)(value)), 0) / steps;
  const [low, high] = law.stretches ? [0.5, 2] : [-40, 40];
  return move(bisect((by) => share - stopped(by), low, high));
}
