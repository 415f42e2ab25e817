import { ok, type Result, refuse } from "../problem/mod.ts";
import { lowerBound } from "../stats/mod.ts";
import { wraps as wrapsHold } from "./sharing/wraps.ts";
import { problemsOfAbove } from "./statics/fields.ts";

/** A connector that was made and pulled: recipe, rope, and what its pulls held. */
export type Candidate = {
  readonly name: string;
  readonly pullsN: readonly number[];
  readonly stopped?: readonly boolean[];
  readonly massG?: number;
  readonly ropeM?: number;
  readonly buryDiameters?: number;
  readonly diameterMm?: number;
};

export type Choice<Of extends Candidate = Candidate> = {
  readonly name: string;
  /** The candidate itself, with whatever else the caller knows of it. */
  readonly candidate: Of;
  readonly wraps: number;
  /** 95/95 lower tolerance bound of one turn times what the turns hold at worst. */
  readonly statedN: number;
  readonly factor: number;
  readonly n: number;
  /** So few pulls that one more may change the figure much. */
  readonly fewPulls: boolean;
  readonly massG?: number;
  readonly ropeM?: number;
  readonly buryDiameters?: number;
  /** Pin diameter over rope diameter. */
  readonly pinRatio?: number;
};

/** Below this a tolerance factor is above 4 and falls by a fifth with each pull more (computed). */
const few = 5;

/**
 * Which connectors of the book could carry this load with the factor wanted, and what does each cost?
 *
 * loadN above 0; factor 1 or more; pin diameter in mm where it is known; up to `mostWraps` turns (4 unless said). Each
 * candidate comes with the fewest turns that reach the factor, those that rest on few pulls marked, ordered by mass, then rope.
 * Left out: candidates whose pulls state nothing (fewer than two that ended, a bound at or below 0) or that never reach it.
 * None is called safe. Source: docs/methods/tolerance-factor.md, wraps.md.
 *
 * @example
 * const answer = chooseConnectors({ loadN: 5000, factor: 5, candidates: [{ name: "loop", pullsN: [30_000, 32_000, 35_000, 31_000, 33_000] }] });
 * answer.ok && answer.value[0]?.wraps // 2
 */
export function chooseConnectors<Of extends Candidate>(input: {
  readonly loadN: number;
  readonly factor: number;
  readonly pinDiameterMm?: number;
  readonly mostWraps?: number;
  readonly candidates: readonly Of[];
}): Result<readonly Choice<Of>[]> {
  const { loadN, factor, pinDiameterMm, mostWraps = 4, candidates } = input;
  const [problem, ...others] = [
    ...problemsOfAbove(loadN, "loadN", "N"),
    ...(factor >= 1 ? [] : problemsOfAbove(-1, "factor", "1 or more")),
  ];
  if (problem !== undefined) return refuse(problem, ...others);
  const choices = candidates.flatMap((candidate): Choice<Of>[] => {
    const { name, pullsN, stopped, massG, ropeM, buryDiameters, diameterMm } = candidate;
    const bound = lowerBound({
      values: pullsN,
      ...(stopped === undefined ? {} : { censored: stopped }),
      method: "normal",
    });
    if (!bound.ok || !(bound.value.bound > 0)) return [];
    for (let turns = 1; turns <= mostWraps; turns++) {
      const held = wrapsHold({ legN: 1, wraps: turns });
      const statedN = bound.value.bound * (turns === 1 || !held.ok ? 1 : held.value.lowLegs / 2);
      if (statedN < factor * loadN) continue;
      return [
        {
          name,
          candidate,
          wraps: turns,
          statedN,
          factor: statedN / loadN,
          n: pullsN.length,
          fewPulls: pullsN.length < few,
          ...(massG === undefined ? {} : { massG: massG * turns }),
          ...(ropeM === undefined ? {} : { ropeM: ropeM * turns }),
          ...(buryDiameters === undefined ? {} : { buryDiameters }),
          ...(pinDiameterMm === undefined || diameterMm === undefined
            ? {}
            : { pinRatio: pinDiameterMm / diameterMm }),
        },
      ];
    }
    return [];
  });
  const lighter = (a: Choice<Of>, b: Choice<Of>) =>
    (a.massG ?? Number.MAX_VALUE) - (b.massG ?? Number.MAX_VALUE) ||
    (a.ropeM ?? Number.MAX_VALUE) - (b.ropeM ?? Number.MAX_VALUE) ||
    b.factor - a.factor;
  return ok(choices.sort(lighter));
}
