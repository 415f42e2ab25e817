import type { Random } from "../../stats/mod.ts";

/** True with this probability. */
export function chance(random: Random, probability: number): boolean {
  return random.uniform() < probability;
}

/** A number whose logarithm is drawn evenly from a range. */
export function logBetween(random: Random, lowest: number, highest: number): number {
  return lowest * (highest / lowest) ** random.uniform();
}

/** One of several things, each with its weight. */
export function oneOf<T>(random: Random, choices: readonly (readonly [weight: number, value: T])[]): T {
  let left = random.uniform() * choices.reduce((sum, [weight]) => sum + weight, 0);
  for (const [weight, value] of choices) {
    left -= weight;
    if (left < 0) return value;
  }
  return (choices[choices.length - 1] as readonly [number, T])[1]; // choices are written out, never empty
}
