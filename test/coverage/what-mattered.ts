import { judgeSeries, type PullToJudge } from "../../src/findings/mod.ts";
import { seriesFields } from "../../src/series/mod.ts";
import { createRandom, pool, type Random } from "../../src/stats/mod.ts";

// How often what is said of causes holds, over series whose truth is known.

/** Of one kind of statement: how often it was made and covered the truth, or the p values it gave. */
export type MatteredRow = {
  readonly name: string;
  readonly nominal: number;
  readonly made: number;
  readonly covered: number;
};

export type MatteredTable = { readonly rows: readonly MatteredRow[]; readonly pValues: readonly number[] };

const series = {
  id: "coverage",
  ...seriesFields.parse({ title: "drawn", factors: [{ name: "bury", unit: "d", levels: [30, 60] }] }),
};

const trueEffect = Math.log(1.06);
/** What the means of pooled series scatter by: not at all, less than their standard error of 0.02, more, much more. */
const betweenSds = [0, 0.01, 0.03, 0.06];
const trueSd = { maker: 0.04, rest: 0.05 };

/** Two levels by five makers by two pulls: an effect of 6 %, makers 4 %, pulls 5 %; and the same without an effect. */
export function coverMattered(draws: number, seed: number): MatteredTable {
  const random = createRandom(seed);
  const tally: Tally = new Map();
  const pValues: number[] = [];
  for (let draw = 0; draw < draws; draw++) {
    const { effects, scatterParts } = judgeSeries(series, drawSeries(random, trueEffect)).mattered;
    const effect = effects[0]?.effect;
    count(
      tally,
      "effect of a factor",
      effect?.ok ? effect.value.pairs[0]?.relative.interval : undefined,
      Math.expm1(trueEffect),
    );
    const parts = scatterParts.ok ? scatterParts.value.parts : [];
    const intervalOf = (name: string) => {
      const found = parts.find((part) => part.name === name)?.interval;
      return found?.ok ? found.value : undefined;
    };
    count(tally, "scatter between five makers", intervalOf("maker"), trueSd.maker);
    count(tally, "scatter from pull to pull", intervalOf("pull to pull"), trueSd.rest);
    const none = judgeSeries(series, drawSeries(random, 0)).mattered.effects[0]?.effect;
    if (none?.ok) pValues.push(none.value.significance.p);
  }
  return { rows: rowsOf(tally), pValues };
}

/** Pools of few series, whose means scatter little or much: how often the true mean of the next lies where it is foretold. */
export function coverPooling(draws: number, seed: number, sizes = [3, 5, 10]): MatteredRow[] {
  const random = createRandom(seed);
  const tally: Tally = new Map();
  for (let draw = 0; draw < draws; draw++)
    for (const k of sizes)
      for (const between of betweenSds) {
        const { next, byT, truth } = drawPool(random, k, between);
        const name = `next of ${k} pooled series that scatter by ${between}`;
        count(tally, name, next, truth);
        count(tally, `${name}, by Student’s t`, byT, truth);
      }
  return rowsOf(tally);
}

type Tally = Map<string, { made: number; covered: number }>;

function count(
  tally: Tally,
  name: string,
  interval: readonly [number, number] | undefined,
  truth: number,
): void {
  const own = tally.get(name) ?? { made: 0, covered: 0 };
  if (interval !== undefined) {
    own.made += 1;
    if (interval[0] <= truth && truth <= interval[1]) own.covered += 1;
  }
  tally.set(name, own);
}

function rowsOf(tally: Tally): MatteredRow[] {
  return [...tally].map(([name, { made, covered }]) => ({ name, nominal: 0.95, made, covered }));
}

/** The largest distance between the distribution of the p values and the uniform one. */
export function kolmogorovDistance(ps: readonly number[]): number {
  const sorted = [...ps].sort((a, b) => a - b);
  return sorted.reduce(
    (most, p, i) => Math.max(most, Math.abs((i + 1) / sorted.length - p), Math.abs(p - i / sorted.length)),
    0,
  );
}

function drawSeries(random: Random, effect: number): PullToJudge[] {
  const makers = Array.from({ length: 5 }, () => trueSd.maker * random.normal());
  return makers.flatMap((maker, m) =>
    [30, 60].flatMap((bury) =>
      [0, 1].map(
        (i): PullToJudge => ({
          pullId: `${m}-${bury}-${i}`,
          specimenLabel: `${m}-${bury}-${i}`,
          levels: { bury },
          ropeName: "rope",
          ratedStrengthN: 30_000,
          legs: 2,
          maker: `maker ${m}`,
          outcome: { kind: "broke", place: "" },
          strengthN: 50_000 * Math.exp(maker + (bury === 60 ? effect : 0) + trueSd.rest * random.normal()),
          strengthSource: "typed",
          warnings: [],
        }),
      ),
    ),
  );
}

/** k series of six pulls each, mean 0.85, within them 0.05; and the true mean of the next. */
function drawPool(random: Random, k: number, between: number) {
  const sources = Array.from({ length: k }, () => {
    const mean = 0.85 + between * random.normal();
    const values = Array.from({ length: 6 }, () => mean + 0.05 * random.normal());
    const found = values.reduce((sum, value) => sum + value, 0) / 6;
    return { found, error: Math.sqrt(values.reduce((sum, value) => sum + (value - found) ** 2, 0) / 5 / 6) };
  });
  const pooled = pool({
    estimates: sources.map(({ found }) => found),
    standardErrors: sources.map(({ error }) => error),
  });
  return {
    next: pooled.ok ? pooled.value.nextSource.interval : undefined,
    byT: pooled.ok ? pooled.value.reml.predictionInterval : undefined,
    truth: 0.85 + between * random.normal(),
  };
}
