import type { OutcomeKind } from "../../series/mod.ts";

/** How slip strength grows with bury: its logarithm in a straight line, or the strength itself. */
export const growths = ["exponential", "linear"] as const;
export type Growth = (typeof growths)[number];

/** Which of the two strengths a covariate moves. */
export const movedStrengths = ["both", "slip", "break"] as const;
export type MovedStrength = (typeof movedStrengths)[number];

export type SlipOrBreakPull = {
  /** The bury as made, in nominal diameters of the rope. */
  readonly buryDiameters: number;
  /** Above 0, all in one unit and on one basis, such as a fraction of legs × rated strength. */
  readonly strength: number;
  readonly outcome: Exclude<OutcomeKind, "void">;
  readonly covariates?: Readonly<Record<string, number>>;
};

export type SlipOrBreakInput = {
  readonly pulls: readonly SlipOrBreakPull[];
  /** "auto" (unless said): both laws, weighed by how well they fit. */
  readonly growth?: Growth | "auto";
  /** How unlikely slipping first is to be at the bury to state; 0.05 unless said. */
  readonly chance?: number;
  /** 0.95 unless said. */
  readonly confidence?: number;
  readonly refits?: number;
  readonly seed?: number;
  /** Which strengths each covariate moves; both unless said. */
  readonly covariates?: Readonly<Record<string, MovedStrength>>;
  /** Values of covariates at which the length is wanted as well; one that is not named stands at its mean. */
  readonly at?: readonly Readonly<Record<string, number>>[];
};

/** A figure with its standard error, which is absent where the likelihood has no curvature there. */
export type Estimated = { readonly value: number; readonly standardError?: number };

/** One law of growth as it was fitted. */
export type FittedGrowth = {
  readonly growth: Growth;
  /** Exponential: of the strength's logarithm; linear: of the median strength. At a bury of no length. */
  readonly intercept: Estimated;
  /** Per diameter of bury, likewise. */
  readonly slope: Estimated;
  /** Standard deviation of the logarithm of the slip strength at one bury. */
  readonly scatter: Estimated;
  /** By covariate: what one unit of it adds to the logarithm of the slip strength. */
  readonly effects: Readonly<Record<string, Estimated>>;
  readonly logLikelihood: number;
  readonly aicc?: number;
  /** How much it counts beside the other law, from 0 to 1. */
  readonly weight: number;
};

export type FittedBreak = {
  /** Of the logarithm of the break strength. */
  readonly mean: Estimated;
  readonly scatter: Estimated;
  readonly effects: Readonly<Record<string, Estimated>>;
  /** The median break strength, in the unit of the pulls, with its interval; none where the pulls leave it without end. */
  readonly plateau: { readonly strength: number; readonly interval?: readonly [number, number] };
};

/** The bury at which slipping first has a chance. */
export type LengthAtChance = {
  readonly chance: number;
  /** In diameters; absent where the pulls give none. */
  readonly estimate?: number;
  /** The upper confidence bound; absent where the pulls put no end to it. */
  readonly upper?: number;
};

export type CurvePoint = {
  readonly buryDiameters: number;
  /** Of slipping first. */
  readonly probability: number;
  /** One-sided bounds, each with the stated confidence. */
  readonly lower: number;
  readonly upper: number;
  /** The median slip strength, in the unit of the pulls. */
  readonly slipStrength: number;
};

/** The bury at which slipping first has the chance asked for, and the median break strength, at values of the covariates. */
export type LengthAtCovariates = LengthAtChance & {
  readonly covariates: Readonly<Record<string, number>>;
  readonly plateau: number;
};

/** What counts of outcomes alone say, whatever the law of growth, if a longer bury slips no more often. */
export type CountStatement = {
  readonly kind: "at most" | "at least";
  /** "At most" holds at this bury and all longer ones, "at least" at it and all shorter ones. */
  readonly buryDiameters: number;
  readonly slipped: number;
  readonly ended: number;
  /** Of slipping first, with the stated confidence. */
  readonly chance: number;
};

/** Buries that should be pulled next, and why. */
export type PullsToSettle = { readonly buryDiameters: readonly number[]; readonly reason: string };

export type SlipOrBreak = {
  readonly n: number;
  readonly slipped: number;
  readonly broke: number;
  readonly stopped: number;
  readonly buries: readonly [shortest: number, longest: number];
  /**
   * What could be given: "length" an estimate and its bound, "bound" a bound alone (all slips at one bury), "counts" only
   * what counts of outcomes say.
   */
  readonly given: "length" | "bound" | "counts";
  /** The law that fits better, and whether the pulls can tell (AICc differs by 4 or more, or the law was chosen by hand). */
  readonly growth?: Growth;
  readonly growthDecided?: boolean;
  readonly growths: readonly FittedGrowth[];
  readonly slip?: FittedGrowth;
  readonly break?: FittedBreak;
  readonly curve: readonly CurvePoint[];
  /** At the chance asked for. */
  readonly length: LengthAtChance;
  /** At 50, 5 and 1 %. */
  readonly lengths: readonly LengthAtChance[];
  /** At the values of covariates that were asked for, in their order. */
  readonly lengthsAt: readonly LengthAtCovariates[];
  readonly confidence: number;
  readonly counts: readonly CountStatement[];
  readonly toSettle?: PullsToSettle;
  readonly refits: { readonly made: number; readonly settled: number; readonly seed: number };
};
