import { named } from "../named.ts";
import { driftsBy, type Levels, lengthOf, type RestRun } from "../samples/rest.ts";
import type { Samples } from "../samples/samples.ts";
import type { Sampling } from "../samples/sampling.ts";
import type { CellFit } from "./cell-fit.ts";
import type { Load } from "./loads.ts";
import type { EndFacts } from "./outcome.ts";

/** What is known about the record around a pull. */
export type Surroundings = {
  readonly samples: Samples;
  readonly levels: Levels;
  readonly noise: number;
  /** Sample at which the previous pull ended and at which the next one starts: rests are looked for between them. */
  readonly after: number;
  readonly before: number;
  readonly intervalS?: number;
  readonly sampling: Sampling;
  /** Seconds of each row on a clock that was put right. */
  readonly clock?: Float64Array;
  readonly displacementM?: Float64Array;
  readonly cell?: CellFit;
  /** Told how each pull ended, in figures: what the weights of rule R-OUTCOME are fitted to. */
  readonly onEnd?: ((facts: EndFacts) => void) | undefined;
};

/** What was taken as zero, and the rests on both sides where there are both. */
export type RestFound = {
  readonly level?: number;
  readonly before?: number;
  readonly after?: number;
  readonly runBefore?: RestRun;
  readonly runAfter?: RestRun;
};

/**
 * Rule R-REST, second part. Zero is the longest rest before the pull. Where the record did not start at rest and the
 * pull ended in a collapse it is the longest rest after it: a log that starts on a trigger has no unloaded beginning,
 * only slack. Where only one side rests, it is that side. Without any there is no zero, and none is made up.
 */
export function restOf(
  load: Load,
  collapsed: boolean,
  { samples, levels, after, before }: Surroundings,
): RestFound {
  const count = samples.force.length;
  const middle = (run: RestRun) => (run.from + run.to) / 2;
  const within = (from: number, to: number) =>
    levels.rests.filter((run) => middle(run) >= from && middle(run) <= to);
  const ahead = nearest(lowest(within(after, load.from + 1), levels, count).toReversed(), longEnough.before);
  const behind = nearest(lowest(within(load.to, Math.max(before, load.to)), levels, count), longEnough.after);
  // The first rest of the record lies at its very beginning unless the log started under load.
  const startedAtRest =
    (levels.rests[0]?.from ?? count) <= Math.max(5, count / 500) &&
    (samples.force[0] as number) <= levels.floor + 0.05 * levels.net;
  const chosen = ahead === undefined || (!startedAtRest && collapsed) ? (behind ?? ahead) : ahead;
  return {
    ...named("level", chosen?.level),
    ...named("before", ahead?.level),
    ...named("after", behind?.level),
    ...named("runBefore", ahead),
    ...named("runAfter", behind),
  };
}

/**
 * A rest this part of the longest one's length tells as much, and the nearest tells more of the pull. Before it, a
 * shorter one may be a pause of a hand pump.
 */
const longEnough = { before: 0.5, after: 0.25 } as const;

/** The first of the rests that is about as long as the longest. */
function nearest(runs: readonly RestRun[], part: number): RestRun | undefined {
  const longest = Math.max(...runs.map(lengthOf));
  return runs.find((run) => lengthOf(run) >= part * longest);
}

/** Rests this part of the net force above another, and more than a drift between the two, are pauses of a hand pump. */
const pausePart = 0.01;

function lowest(runs: readonly RestRun[], { net, ripple }: Levels, count: number): readonly RestRun[] {
  const allowed = Math.max(pausePart * net, 6 * ripple);
  const drift = (driftsBy * net) / count;
  return runs.filter((run) =>
    runs.every((other) => run.level - other.level <= allowed + drift * Math.abs(run.from - other.from)),
  );
}
