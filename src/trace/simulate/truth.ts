import type { PhaseName } from "../reading-parts.ts";

/**
 * What the bench was doing: the reading's names where they mean the same, and what only the truth knows. "slack" is
 * taken up at no force before the load comes on; "release" is a load let off or a bench that gives way, where nothing of
 * the specimen's failed; "handling" is somebody's hand on the line between pulls.
 */
export type TruthPhase = PhaseName | "slack" | "release" | "handling";

export type PhaseSpan = { readonly phase: TruthPhase; readonly startS: number; readonly endS: number };

/** A fall of force from which the pull went on: when it began, from which force, to which force. */
export type ForceFall = { readonly timeS: number; readonly fromN: number; readonly toN: number };

/** A hold at constant length, in which force settles as F(t) = F1[1 − r log10(1 + t/t1)], t from the hold's start. */
export type HoldTruth = {
  readonly startS: number;
  readonly endS: number;
  /** F1, the force at the hold's start, in newtons. */
  readonly forceN: number;
  /** r, the part of F1 that is lost in each tenfold of time. */
  readonly settlingPerDecade: number;
  /** t1 in seconds. */
  readonly referenceS: number;
};

export const pullEndings = ["broke", "slipped", "stopped", "void"] as const;
export type PullEnding = (typeof pullEndings)[number];

/**
 * What really happened in one simulated pull. Forces are the specimen's: the cell's offset, its noise and its steps are
 * not in them, so the recorded peak is near `peakN + restN`. Times are the logger's, in seconds from its start.
 */
export type PullTruth = {
  /** The specimen first carries load, and carries none again. Bedding cycles are part of the pull. */
  readonly startS: number;
  readonly endS: number;
  readonly peakN: number;
  readonly peakTimeS: number;
  /** What the cell shows of an unloaded specimen at `startS`. */
  readonly restN: number;
  readonly outcome: PullEnding;
  /** When the last loss of force began, and from which force: not the peak where the pull had gone on after it. */
  readonly endingTimeS: number;
  readonly endingFromN: number;
  /** Slips from which the splice gripped again; the last one, in which it was drawn out, is the ending. */
  readonly slips: readonly ForceFall[];
  readonly strandBreaks: readonly ForceFall[];
  /** Falls of force because a hand jack was reset: the specimen did nothing. */
  readonly restrokes: readonly ForceFall[];
  /** Where strands held: the force left on them right after the break. */
  readonly residualN?: number;
  readonly beddingCycles: number;
  readonly hold?: HoldTruth;
  /** Work that the drive put into the specimen from the pull's start to its peak, bedding cycles counted net. */
  readonly workToPeakJ: number;
  readonly phases: readonly PhaseSpan[];
};
