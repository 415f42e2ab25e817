import { type Growth, growths, type SlipOrBreakPull, slipOrBreak } from "../../src/findings/mod.ts";
import { createRandom, normalUpperQuantile } from "../../src/stats/mod.ts";

/** What is asked of each series: the law that is true said beforehand, or left to the pulls. */
export const askedFor = ["the law known", "auto"] as const;
export type AskedFor = (typeof askedFor)[number];

/** The chances of slipping first whose lengths are looked at; refits are drawn for the first. */
export const chances = [0.05, 0.5, 0.01] as const;

/** A stretch of series under one true law. */
export type SlipTask = {
  readonly law: Growth;
  readonly asked: AskedFor;
  readonly from: number;
  readonly to: number;
  readonly seed: number;
};

/** What came of one series, for each of the chances: whether the bound held, and estimate and bound over the true length. */
export type SlipRecord = Pick<SlipTask, "law" | "asked"> & {
  readonly levels: number;
  readonly each: number;
  readonly scatter: "5 to 8 %" | "8 to 12 %" | "12 to 15 %";
  readonly given: boolean;
  readonly lengths: readonly {
    readonly held: boolean;
    readonly estimate?: number;
    readonly upper?: number;
  }[];
  readonly plateauHeld: boolean;
  readonly settled: boolean;
};

/** Fewer than a tester's own run would make: the bound is as right on the average, and scatters a little more. */
const refits = 400;

/**
 * Series as a tester would plan them: 4 to 6 buries at even steps, 4 to 8 pulls at each, log scatters of 5 to 15 % (slip and
 * break each its own), slip strength at the shortest bury 0.5 to 0.8 of the plateau, half slipping at a quarter to two thirds of
 * the range; in every second series a bench that stops pulls at 0.8 to 1.8 scatters above the plateau.
 */
export function runSeries({ law, asked, from, to, seed }: SlipTask): SlipRecord[] {
  const records: SlipRecord[] = [];
  for (let index = from; index < to; index++) {
    const random = createRandom(seed * 1_000_003 + growths.indexOf(law) * 500_009 + index);
    const between = (low: number, high: number) => low + (high - low) * random.uniform();
    const levels = 4 + random.below(3);
    const each = 4 + random.below(5);
    const [slipScatter, breakScatter] = [between(0.05, 0.15), between(0.05, 0.15)];
    const half = between(0.25, 0.65);
    const low = between(0.5, 0.8);
    const plateau = 0.88;
    const limit =
      random.uniform() < 0.5
        ? plateau * Math.exp(breakScatter * between(0.8, 1.8))
        : Number.POSITIVE_INFINITY;
    const slipMedian = (t: number) =>
      law === "linear" ? plateau * (low + ((1 - low) * t) / half) : plateau * low ** (1 - t / half);
    const pulls = Array.from({ length: levels * each }, (_, i): SlipOrBreakPull => {
      const t = (i % levels) / (levels - 1);
      const slip = slipMedian(t) * Math.exp(slipScatter * random.normal());
      const rope = plateau * Math.exp(breakScatter * random.normal());
      const strength = Math.min(slip, rope, limit);
      return {
        buryDiameters: 20 + 40 * t,
        strength,
        outcome: strength === limit ? "stopped" : slip < rope ? "slipped" : "broke",
      };
    });
    const both = Math.hypot(slipScatter, breakScatter);
    const trueLength = (chance: number) => {
      const ratio = Math.exp(normalUpperQuantile(chance) * both);
      const t =
        law === "linear" ? ((ratio - low) * half) / (1 - low) : half * (1 - Math.log(ratio) / Math.log(low));
      return 20 + 40 * t;
    };
    const answer = slipOrBreak({
      pulls,
      refits,
      seed: index,
      growth: asked === "auto" ? "auto" : law,
      chance: chances[0],
    });
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
    const { value } = answer;
    const larger = Math.max(slipScatter, breakScatter);
    records.push({
      law,
      asked,
      levels,
      each,
      scatter: larger < 0.08 ? "5 to 8 %" : larger < 0.12 ? "8 to 12 %" : "12 to 15 %",
      given: value.given === "length",
      lengths: chances.map((chance) => {
        const found = value.lengths.find((one) => one.chance === chance);
        const truth = trueLength(chance);
        // No bound is an infinite one.
        return {
          held: (found?.upper ?? Number.POSITIVE_INFINITY) >= truth,
          ...(found?.estimate === undefined ? {} : { estimate: found.estimate / truth }),
          ...(found?.upper === undefined ? {} : { upper: found.upper / truth }),
        };
      }),
      plateauHeld:
        value.break?.plateau.interval !== undefined &&
        value.break.plateau.interval[0] <= plateau &&
        value.break.plateau.interval[1] >= plateau,
      settled: value.refits.made === value.refits.settled,
    });
  }
  return records;
}
