import type { Result, Warning } from "../problem/mod.ts";

/** A value with its 95 % interval. */
export type Estimate = { readonly value: number; readonly interval: readonly [low: number, high: number] };

/** What strengths are compared by: newtons on one rope and number of legs, else strength / (legs × rated strength). */
export type ComparedBy = "strength" | "leg efficiency";

/** One level of a factor in numbers. */
export type LevelShown = {
  readonly label: string;
  readonly n: number;
  /** Newtons, or a fraction for a leg efficiency. */
  readonly mean: number;
};

/** Two levels of a factor side by side: the second against the first. */
export type LevelDifference = {
  readonly from: string;
  readonly to: string;
  /** In newtons, or as a fraction where leg efficiencies are compared. */
  readonly difference: Estimate;
  /** Ratio of the levels' typical strengths (of geometric means) less 1, as a fraction. */
  readonly relative: Estimate;
  readonly p: number;
  /** The least true relative difference that such pulls would show with a chance of 80 %. */
  readonly wouldSee: number;
};

/** How a p came about. */
export type Significance = {
  readonly by: "permutation" | "F law" | "mixed model";
  readonly p: number;
  /** With the other questions asked of this series counted in, by Holm. */
  readonly pOfAll: number;
  /** For a permutation: whether all arrangements were looked at, and how many. */
  readonly exact?: boolean;
  readonly arrangements?: number;
};

/** What one factor of the plan did. */
export type FactorEffect = {
  readonly factor: string;
  readonly by: ComparedBy;
  readonly n: number;
  readonly pulls: readonly string[];
  readonly levels: readonly LevelShown[];
  readonly pairs: readonly LevelDifference[];
  /** What was kept apart while levels were compared: other factors, rope, spool, maker. */
  readonly blockedBy: readonly string[];
  /** Which kinds stand as random parts in the model. */
  readonly randomParts: readonly string[];
  readonly significance: Significance;
  readonly warnings: readonly Warning[];
};

/** Whether the effect of one factor depends on the level of another. */
export type Interaction = {
  readonly factors: readonly [first: string, second: string];
  readonly n: number;
  readonly pulls: readonly string[];
  readonly f: number;
  readonly df: readonly [between: number, within: number];
  readonly significance: Significance;
  /** Where both have two levels: the effect of the first at the second's second level over that at its first, less 1. */
  readonly relative?: Estimate;
};

/** Whether strength went up or down as the series was pulled. */
export type OrderTrend = {
  readonly n: number;
  readonly pulls: readonly string[];
  /** Relative change over ten pulls. */
  readonly perTenPulls: Estimate;
  readonly significance: Significance;
  /** The least true change over ten pulls that would show with a chance of 80 %. */
  readonly wouldSee: number;
};

/** One part of the scatter. */
export type ScatterPart = {
  /** "rope", "spool", "maker", "spool and maker" where they go together; "pull to pull" for the rest. */
  readonly name: string;
  readonly groups?: number;
  /** Standard deviation relative to the strength, as a fraction. */
  readonly sd: number;
  /** Of the variance. */
  readonly share: number;
  readonly interval: Result<readonly [low: number, high: number]>;
};

export type ScatterParts = {
  readonly by: ComparedBy;
  readonly n: number;
  readonly pulls: readonly string[];
  /** The factors whose effect was taken out first. */
  readonly without: readonly string[];
  readonly parts: readonly ScatterPart[];
  readonly warnings: readonly Warning[];
};

/** Where pulls failed, level by level of one factor (or cell by cell). */
export type FailurePlaces = {
  readonly factor: string;
  readonly places: readonly string[];
  readonly rows: readonly {
    readonly label: string;
    readonly n: number;
    readonly counts: readonly { readonly place: string; readonly count: number; readonly share: Estimate }[];
  }[];
  readonly pulls: readonly string[];
  /** That places and levels have nothing to do with each other; refused where there is one place or one level only. */
  readonly test: Result<{ readonly p: number; readonly exact: boolean; readonly tables: number }>;
};

/** Strength against the logarithm of the loading rate. */
export type RateEffect = {
  readonly n: number;
  readonly pulls: readonly string[];
  /** Relative change of strength for ten times the rate. */
  readonly perTenfold: Estimate;
  readonly significance: Significance;
  readonly wouldSee: number;
  /** Least and greatest rate in newtons in a second. */
  readonly ratesNPerS: readonly [low: number, high: number];
  readonly warnings: readonly Warning[];
};

/** Settling at a hold: the part of the force lost in each tenfold of time. */
export type SettlingShown = {
  readonly n: number;
  readonly pulls: readonly string[];
  /** Over all pulls, by random effects. */
  readonly mean: Estimate;
  /** Where that of the next pull would lie. */
  readonly nextPull: readonly [low: number, high: number];
  readonly bySize: readonly { readonly diameterMm: number; readonly n: number; readonly mean: Estimate }[];
  /** Change of that part for each tenfold of the share of rated strength that was held. */
  readonly perTenfoldForce: Result<Estimate>;
  readonly perTenfoldDiameter: Result<Estimate>;
};
