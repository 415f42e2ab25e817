import type { Warning } from "../../problem/mod.ts";
import type { LevelValue } from "../../series/mod.ts";
import type { Finding } from "../types.ts";
import type { Growth, LengthAtChance, SlipOrBreak, SlipOrBreakInput, SlipOrBreakPull } from "./types.ts";

/** One pull as a point of the figure: which it is, its bury, its strength as a share of legs × rated strength. */
export type SlipOrBreakPoint = Pick<SlipOrBreakPull, "buryDiameters" | "strength" | "outcome"> & {
  readonly pullId: string;
  readonly name: string;
  /** Whether the bury is the specimen's as it was made, or the one that the plan says. */
  readonly buryFrom: "as made" | "plan";
};

export type LeftOutPull = { readonly pullId: string; readonly name: string; readonly why: string };

/** What was done about a factor of the plan beside the bury. */
export type OtherFactor = {
  readonly factor: string;
  /** Its effect on both strengths was fitted, or its levels were counted together. */
  readonly as: "fitted" | "counted together";
  readonly why?: string;
};

/** One level of a factor whose effect is fitted, as the calculation takes it. */
export type FittedLevel = {
  readonly factor: string;
  readonly level: LevelValue;
  readonly unit: string;
  /** Pulls at it that the fit rests on. */
  readonly pulls: readonly string[];
  readonly at: Readonly<Record<string, number>>;
};

/** The bury at which slipping first has the chance asked for, at one level of another factor. */
export type LengthAtLevel = LengthAtChance & Omit<FittedLevel, "at"> & { readonly plateau: number };

/** What is asked of a series; each has its default. */
export type SlipOrBreakAsked = {
  readonly chance?: number;
  readonly confidence?: number;
  readonly growth?: Growth | "auto";
  readonly refits?: number;
  /** Unless said, one that follows from the series' id: the same series gives the same answer. */
  readonly seed?: number;
};

/** The pulls of a series as the calculation takes them, and what it cannot take. */
export type SlipOrBreakOfSeries = {
  readonly seriesId: string;
  readonly input: SlipOrBreakInput;
  readonly points: readonly SlipOrBreakPoint[];
  readonly leftOut: readonly LeftOutPull[];
  readonly otherFactors: readonly OtherFactor[];
  /** The levels of those that are fitted, in the order of the input's `at`. */
  readonly levels: readonly FittedLevel[];
};

/** Whether the bury of a series is long enough: the answer, the pulls it rests on, and the sentences. */
export type SeriesSlipOrBreak = {
  readonly method: { readonly name: "slip-or-break"; readonly version: string };
  readonly seriesId: string;
  readonly asked: Required<SlipOrBreakAsked>;
  readonly answer: SlipOrBreak;
  readonly points: readonly SlipOrBreakPoint[];
  readonly leftOut: readonly LeftOutPull[];
  readonly otherFactors: readonly OtherFactor[];
  /** At each level of a factor that is fitted, the others at the mean of their pulls. */
  readonly byLevel: readonly LengthAtLevel[];
  readonly findings: readonly Finding[];
  readonly warnings: readonly Warning[];
};
