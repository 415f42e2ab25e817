// What a figure of a trace is told, in the terms of the figure: places along it and forces in newtons.

/** A moment of a pull: x in the window's own abscissa (seconds, or rows where the recording has no time). */
export type TracePoint = { readonly x: number; readonly forceN: number };
/** The peak; where its uncertainty is known, the least and the greatest force that it may be. */
export type TracePeak = TracePoint & {
  readonly lowN?: number;
  readonly highN?: number;
  /** True where the peak is only known to be at least `lowN`. */
  readonly openAbove?: boolean;
  /** What stands beside it; "peak" with its force unless said. */
  readonly words?: string;
};
/** A drop: the force fell from one value to another from here on. */
export type TraceDrop = { readonly x: number; readonly fromN: number; readonly toN: number };
/** A stretch of the pull with a name, such as hold or ramp. */
export type TracePhase = {
  readonly name: string;
  readonly fromX: number;
  readonly toX: number;
  /** What else is to be said where there is room, such as "3 cycles". */
  readonly more?: string;
};
/** A hold: where it lies, the force at both of its ends as recorded, and what is said of it. */
export type TraceHold = {
  readonly fromX: number;
  readonly toX: number;
  readonly fromN: number;
  readonly toN: number;
  readonly words: string;
};

export type TraceFigure = {
  /** A word unique on the page. */
  readonly id?: string;
  readonly width?: number;
  readonly height?: number;
  readonly title?: string;
  readonly peak?: TracePeak;
  readonly drops?: readonly TraceDrop[];
  /** Drops from which the splice gripped again. */
  readonly slips?: readonly TraceDrop[];
  readonly firstSlip?: TracePoint;
  readonly hold?: TraceHold;
  /** Samples that stand in no figure: isolated spikes. */
  readonly leftOut?: readonly TracePoint[];
  readonly start?: number;
  readonly end?: number;
  /** What was taken as zero. */
  readonly restN?: number;
  readonly phases?: readonly TracePhase[];
  readonly simulated?: boolean;
  /** Small: for many side by side; axes keep two ticks and marks lose their words. */
  readonly small?: boolean;
  /** The least top of the force axis, so that many figures can share one. */
  readonly topN?: number;
};
