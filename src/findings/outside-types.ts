import type { Result, Warning } from "../problem/mod.ts";
import type { ClaimFields, LevelValue } from "../series/mod.ts";
import type { Estimate } from "./effect-types.ts";

/** What the pulls say of a claim, on the claim's own basis. */
export type ClaimVerdict = {
  readonly verdict: "supported" | "contradicted" | "undecided";
  /** In words, with the figures. */
  readonly meaning: string;
  /** The claimed figure and the pulls' mean: newtons where the basis is a force, else fractions of the basis. */
  readonly claimed: number;
  readonly mean: Estimate;
  /** For a mean: that it is the one claimed, and that it is within the margin (small where shown). */
  readonly p?: number;
  readonly equivalenceP?: number;
  /** For a least value: the share of specimens above it. */
  readonly shareAbove?: Estimate;
  readonly countBelow?: number;
  /** All brought to strength / (legs × rated strength), where it can be. */
  readonly onLegs?: { readonly claimed: number; readonly mean: Estimate };
};

export type JudgedClaim = {
  readonly claimId: string;
  readonly statement: string;
  readonly source: string;
  readonly kind: ClaimFields["kind"];
  readonly basis: ClaimFields["basis"];
  /** Which pulls it was set against, in words: "bury 60 d", "all pulls". */
  readonly against: string;
  readonly n: number;
  readonly pulls: readonly string[];
  /** Refused where pulls and claim cannot be brought to one basis. */
  readonly judged: Result<ClaimVerdict>;
  readonly warnings: readonly Warning[];
};

/** One row of a forest figure: leg efficiency as a fraction. */
export type PooledSource = {
  readonly name: string;
  readonly of: "this series" | "another series of the book" | "published figures";
  readonly n: number;
  readonly mean: Estimate;
  readonly standardError: number;
  /** Its share of the pooled mean; absent where nothing was pooled. */
  readonly weight?: number;
  readonly source: string;
};

/** Several series together, by random effects. */
export type PooledSeries = {
  /** Which pulls of this series are pooled, in words. */
  readonly about: string;
  readonly levels: Readonly<Record<string, LevelValue>>;
  readonly sources: readonly PooledSource[];
  /** Those that must not be pooled with these pulls, and why. */
  readonly leftOut: readonly { readonly name: string; readonly why: string }[];
  readonly pooled: Result<{
    readonly mean: Estimate;
    /** Where the true mean of the next bench would lie. */
    readonly nextSeries: readonly [low: number, high: number];
    /** Standard deviation between the true means of the sources. */
    readonly betweenSd: number;
    /** Share of the scatter between sources that is more than their errors explain, and the p of none. */
    readonly i2: number;
    readonly p: number;
  }>;
  /** Anderson and Darling's test, where the pulls of two sources or more are at hand; refused otherwise. */
  readonly samePopulation: Result<{
    readonly p: number;
    readonly statistic: number;
    readonly groups: number;
  }>;
  readonly pulls: readonly string[];
  readonly warnings: readonly Warning[];
};
