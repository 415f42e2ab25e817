import type { PullOnFilm } from "../../app/mod.ts";
import { decimalsFor } from "../../findings/mod.ts";
import { formatNumber, fromForceUnit, newtons, toForceUnit } from "../../units/mod.ts";

/** What is written over one moment of a film. */
export type Moment = {
  /** The force now; absent before and after the recording, and where no sample lies. */
  readonly forceN?: number;
  /** The highest so far. */
  readonly highestN?: number;
  /** The phase now, in the words of the reading. */
  readonly phase?: string;
  /** How many spans of the curve have passed. */
  readonly passed: number;
};

/** Words for the phases, as somebody who only sees the film understands them. */
const phaseWords: Readonly<Record<PullOnFilm["phases"][number]["name"], string>> = {
  rest: "at rest",
  bedding: "bedding in",
  set: "setting",
  hold: "holding",
  ramp: "pulling",
  slip: "slipping",
  collapse: "gives way",
  tail: "after the end",
};

/**
 * What a film shows of a pull at one of its moments.
 *
 * pull: the curve with its phases. atS: the time by the recording. A span without samples keeps the force absent, never the one
 * before it. Before the first span nothing has passed; after the last the highest stays.
 *
 * @example
 * momentOf(pull, 41.2).forceN // 31240
 */
export function momentOf({ timesS, forcesN, phases }: PullOnFilm, atS: number): Moment {
  const passed = spansUntil(timesS, atS);
  const phase = phases.find(({ fromS, toS }) => fromS <= atS && atS < toS);
  const force = passed === 0 || passed === timesS.length ? null : forcesN[passed - 1];
  const highest = forcesN
    .slice(0, passed)
    .reduce<number>(
      (most, value) => (value === null ? most : Math.max(most, value)),
      Number.NEGATIVE_INFINITY,
    );
  return {
    passed,
    ...(force === null || force === undefined ? {} : { forceN: force }),
    ...(highest === Number.NEGATIVE_INFINITY ? {} : { highestN: highest }),
    ...(phase === undefined ? {} : { phase: phaseWords[phase.name] }),
  };
}

/** How many spans begin at or before a time: the times rise. */
function spansUntil(timesS: readonly number[], atS: number): number {
  let [low, high] = [0, timesS.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((timesS[middle] ?? 0) <= atS) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** How far the film's clock is ahead of the recording's, in seconds. */
export function offsetByMoment(pull: PullOnFilm, moment: keyof PullOnFilm["moments"], filmS: number): number {
  return filmS - pull.moments[moment];
}

/**
 * The same by the hour: when the film was begun and what hour the recording says of its first sample. Undefined where either
 * is not known.
 */
export function offsetByClock(pull: PullOnFilm, filmStartedAt: string): number | undefined {
  const offset = (Date.parse(pull.startedAt ?? "") - Date.parse(filmStartedAt)) / 1000 - pull.firstS;
  return Number.isFinite(offset) ? offset : undefined;
}

/** A force over a film: a hundredth of its peak is as much as a moving figure can be read to. */
export function forceOnFilm(forceN: number, highestN: number, unit: "kN" | "lbf"): string {
  const decimals = Math.max(decimalsFor(highestN / 500 / fromForceUnit(1, unit)), 0);
  return `${formatNumber(toForceUnit(newtons(forceN), unit), { decimals })} ${unit}`;
}

/** The stretch of a film that an overlay covers, from a second before the pull to two after it, in the film's seconds. */
export function stretchOnFilm(
  pull: PullOnFilm,
  offsetS: number,
): { readonly fromS: number; readonly toS: number } {
  return {
    fromS: Math.max(pull.moments.start + offsetS - 1, 0),
    toS: Math.max(pull.moments.end + offsetS + 2, 0),
  };
}
