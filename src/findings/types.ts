import type { Result, Warning } from "../problem/mod.ts";
import type { ClaimFields, LevelValue, Outcome, OutcomeKind, PooledSeriesFields } from "../series/mod.ts";
import type { RopeFields } from "../splice/mod.ts";
import type { LowerBoundMethod } from "../stats/mod.ts";
import type {
  FactorEffect,
  FailurePlaces,
  Interaction,
  OrderTrend,
  RateEffect,
  ScatterParts,
  SettlingShown,
} from "./effect-types.ts";
import type { JudgedClaim, PooledSeries } from "./outside-types.ts";

/** One pull with all that a judgement needs of it, gathered from the book. Forces are at the specimen. */
export type PullToJudge = {
  readonly pullId: string;
  readonly order?: number;
  readonly specimenLabel?: string;
  readonly levels: Readonly<Record<string, LevelValue>>;
  readonly ropeName?: string;
  readonly construction?: string;
  readonly recipeName?: string;
  readonly nominalDiameterMm?: number;
  readonly ratedStrengthN?: number;
  readonly ratedStrengthBasis?: RopeFields["ratedStrengthBasis"];
  readonly ratedStrengthEnds?: RopeFields["ratedStrengthEnds"];
  readonly ratedStrengthSource?: string;
  readonly legs?: number;
  readonly maker?: string;
  readonly spoolName?: string;
  readonly buryFullMm?: number;
  readonly buryTaperMm?: number;
  /** Where the specimen was made otherwise than by its recipe, each in words: "bury 24.5 d, recipe 30 d". */
  readonly outOfRecipe?: readonly string[];
  readonly outcome?: Outcome;
  /** The specimen's peak force with the rest level taken off; absent where nothing could be read. */
  readonly strengthN?: number;
  readonly strengthSource: "reading" | "typed" | "none";
  /** Expanded uncertainty of the strength (k = 2), where the reading gives it. */
  readonly strengthExpandedN?: number;
  /** True where the recording does not show the peak itself: the cell was at its limit, or the record ends before it. */
  readonly peakCutOff?: boolean;
  readonly loadingRateNPerS?: number;
  readonly firstSlipN?: number;
  /** The part of the force at its start that a hold loses in each tenfold of time, with its 95 % interval. */
  readonly settlingPerDecade?: { readonly value: number; readonly interval: readonly [number, number] };
  /** Force at the start of that hold. */
  readonly holdN?: number;
  /** What the recording says of how it ended; the person's outcome is final. */
  readonly evidence?: Evidence;
  /** Who said that this is no pull but another load, and why. */
  readonly otherLoad?: string;
  /** Doubts from reading that touch this pull's strength. */
  readonly warnings: readonly Warning[];
};

/** What a recording says of how a pull ended. */
export type Evidence = {
  readonly likeliest: Exclude<OutcomeKind, "void">;
  /** Of the likeliest, from 0 to 1. */
  readonly probability: number;
  readonly reasons: readonly string[];
};

/** Why a pull does not count, as a word to count by; the reason in full stands beside it. */
export type LeftOutAs = "void" | "not judged" | "no strength" | "no pull";

/** One pull as it was judged: its efficiencies, and whether it counts. */
export type JudgedPull = PullToJudge & {
  /** strength / rated strength, as a fraction. */
  readonly lineEfficiency?: number;
  /** strength / (legs × rated strength), as a fraction. */
  readonly legEfficiency?: number;
  /** The loading rate as a share of the rated strength in each minute. */
  readonly loadingRateRatedPerMin?: number;
  /** True where the recording says another end than the person; both stand. */
  readonly outcomeDiffers?: boolean;
  readonly use: "counted" | "lower bound" | "left out";
  readonly leftOutAs?: LeftOutAs;
  readonly whyLeftOut?: string;
};

/**
 * How a cell came about: a combination of levels that the plan names, one that it does not name, pulls that lack a
 * level, or pulls of which nobody said the specimen.
 */
export type CellKind = "planned" | "outside the plan" | "level missing" | "no specimen";

/** By which bound the strengths of a series are stated, and what that is called over a column. */
export type StatedBy = {
  readonly method: LowerBoundMethod;
  readonly content: number;
  readonly confidence: number;
  readonly name: string;
};

/** A strength that most specimens exceed, with what is claimed of it. */
export type StatedBound = {
  readonly boundN: number;
  readonly method: LowerBoundMethod;
  readonly content: number;
  /** For `lowest` and `mean-3sd` the one that they really have at this n. */
  readonly confidence: number;
  /** Pulls in it, those that were stopped among them. */
  readonly n: number;
  readonly stopped: number;
  /** What is claimed, in one sentence. */
  readonly meaning: string;
};

/** Statistics of one cell of the plan; each is a value with its doubts or a refusal with its reason. */
export type CellFindings = {
  readonly kind: CellKind;
  readonly levels: Readonly<Record<string, LevelValue>>;
  readonly label: string;
  readonly pulls: readonly string[];
  readonly n: number;
  /** How many are lower bounds: stopped, or with a peak that the recording does not show. */
  readonly stopped: number;
  readonly leftOut: number;
  readonly outcomes: Readonly<Record<OutcomeKind, number>>;
  readonly places: Readonly<Record<string, number>>;
  readonly meanN: Result<number>;
  readonly sdN: Result<number>;
  readonly cv: Result<number>;
  readonly lowestN: Result<number>;
  readonly meanIntervalN: Result<readonly [number, number]>;
  readonly meanMinus3SdN: Result<number>;
  /** The strength that is stated, by the bound that the series keeps; stopped pulls count in it. */
  readonly bound: Result<StatedBound>;
  readonly meanLineEfficiency: Result<number>;
  readonly meanLineEfficiencyInterval: Result<readonly [number, number]>;
  readonly meanLegEfficiency: Result<number>;
  readonly meanLegEfficiencyInterval: Result<readonly [number, number]>;
  /** Doubts that touch every figure of this cell. */
  readonly warnings: readonly Warning[];
};

/** A statement computed from a series: a sentence, its numbers, and the pulls that it rests on. */
export type Finding = {
  readonly id: string;
  readonly sentence: string;
  readonly method: string;
  readonly pulls: readonly string[];
  readonly warnings: readonly Warning[];
};

/** A published figure to be set against the pulls. */
export type ClaimToJudge = ClaimFields & { readonly id: string };

/** Another series to be pooled; `other` where it is one of the book. */
export type SeriesToPool = PooledSeriesFields & {
  readonly id: string;
  readonly other?: { readonly title: string; readonly pulls: readonly PullToJudge[] };
};

/** What comes from outside the series and is set beside it. */
export type Outside = {
  readonly claims: readonly ClaimToJudge[];
  readonly pooled: readonly SeriesToPool[];
};

/** What a series shows of causes: its factors, their interactions, order, rate, settling, and the parts of the scatter. */
export type WhatMattered = {
  readonly effects: readonly { readonly factor: string; readonly effect: Result<FactorEffect> }[];
  readonly interactions: readonly Interaction[];
  readonly orderTrend: Result<OrderTrend>;
  readonly scatterParts: Result<ScatterParts>;
  readonly failurePlaces: readonly FailurePlaces[];
  readonly rateEffect: Result<RateEffect>;
  readonly settling: Result<SettlingShown>;
};

/** What a series shows. */
export type SeriesFindings = {
  readonly method: { readonly name: "series-findings"; readonly version: string };
  readonly seriesId: string;
  readonly pulls: readonly JudgedPull[];
  readonly statedBy: StatedBy;
  readonly cells: readonly CellFindings[];
  readonly outcomes: Readonly<Record<OutcomeKind, number>>;
  readonly places: Readonly<Record<string, number>>;
  readonly mattered: WhatMattered;
  /** Published figures set against the pulls. */
  readonly claims: readonly JudgedClaim[];
  /** This series pooled with others: one entry for each set of levels that these name. */
  readonly pooled: readonly PooledSeries[];
  readonly findings: readonly Finding[];
  /** Every doubt of the series and of its cells, each once. */
  readonly warnings: readonly Warning[];
};
