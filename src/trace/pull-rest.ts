import type { CellFit } from "./cell-fit.ts";
import type { Load } from "./loads.ts";
import { named } from "./named.ts";
import type { EndFacts } from "./outcome.ts";
import type { Levels, RestRun } from "./rest.ts";
import type { Samples } from "./samples.ts";
import type { Sampling } from "./sampling.ts";

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
  const longest = (runs: readonly RestRun[]) =>
    runs.reduce<RestRun | undefined>(
      (best, run) => (best === undefined || run.to - run.from > best.to - best.from ? run : best),
      undefined,
    );
  const middle = (run: RestRun) => (run.from + run.to) / 2;
  const ahead = longest(levels.rests.filter((run) => middle(run) >= after && middle(run) <= load.from + 1));
  const behind = longest(
    levels.rests.filter((run) => middle(run) >= load.to && middle(run) <= Math.max(before, load.to)),
  );
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
