import type { Random } from "../../src/stats/mod.ts";

/** One of the numbers of a result, and how near R's must lie. */
export type Output = {
  /** The number or numbers; undefined where this result has none. */
  readonly pick: (value: never) => number | readonly number[] | undefined;
  /** Relative to the larger of the two, or to `size` where both are smaller than that. */
  readonly tolerance: number;
  readonly size?: number | ((input: never) => number);
  /** Why the tolerance is wider than rounding explains. */
  readonly why?: string;
};

/** Random cases of a calculation, and what of their results R works out as well. */
export type Spec = {
  /** Of the R function, and in the report. */
  readonly name: string;
  readonly calculation: string;
  /** The R script: test/reference/r/GROUP.R, one process each. */
  readonly group:
    | "base"
    | "bounds"
    | "groups"
    | "survival"
    | "lme4"
    | "metafor"
    | "multcomp"
    | "nortest"
    | "kSamples"
    | "car";
  readonly draw: (random: Random) => object;
  readonly outputs: Readonly<Record<string, Output>>;
  /** A tenth of a second or more each: a fifth of the cases is drawn. */
  readonly costly?: true;
  /** What R does to answer. */
  readonly inR: string;
};

/** Rounding, and the order in which sums are taken. */
export const exact = 1e-9;

/** An output that is picked by a typed function: results come from the registry as plain objects. */
export function output<Value>(
  pick: (value: Value) => number | readonly number[] | undefined,
  tolerance: number = exact,
  more: { readonly size?: number | ((input: never) => number); readonly why?: string } = {},
): Output {
  return { pick: pick as Output["pick"], tolerance, ...more };
}

export function whole(random: Random, from: number, to: number): number {
  return from + random.below(to - from + 1);
}

export function between(random: Random, from: number, to: number): number {
  return from + (to - from) * random.uniform();
}

export function oneOf<T>(random: Random, list: readonly T[]): T {
  return list[random.below(list.length)] as T;
}

/** A confidence or content as people ask for it, or any. */
export function level(random: Random): number {
  return random.uniform() < 0.7 ? oneOf(random, [0.5, 0.8, 0.9, 0.95, 0.99]) : between(random, 0.5, 0.995);
}

/** Breaking forces: of any size, coefficients of variation of 1 to 20 %, half of them rounded so that ties occur. */
export function forces(random: Random, n: number, size = 10 ** between(random, 0.5, 3)): number[] {
  const spread = between(random, 0.01, 0.2);
  const shape = random.below(3);
  const places = random.uniform() < 0.5 ? 15 : Math.max(0, 1 - Math.floor(Math.log10(size * spread)));
  const draw = () => {
    const z = random.normal();
    const value =
      shape === 0
        ? 1 + spread * z
        : shape === 1
          ? Math.exp(spread * z)
          : (-Math.log1p(-random.uniform())) ** spread;
    return Math.max(size * value, size / 100);
  };
  for (;;) {
    const values = Array.from({ length: n }, () => (places === 15 ? draw() : Number(draw().toFixed(places))));
    // What does not scatter is refused, and looked at by the tests.
    if (n < 2 || new Set(values).size > 1) return values;
  }
}

/** Marks some as lower bounds, but leaves two measured values that differ. */
export function marks(random: Random, values: readonly number[]): boolean[] {
  const share = oneOf(random, [0, 0, 0.2, 0.4]);
  for (;;) {
    const censored = values.map(() => random.uniform() < share);
    if (new Set(values.filter((_, i) => !censored[i])).size > 1) return censored;
  }
}
