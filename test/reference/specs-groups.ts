import type {
  CompareMany,
  CompareTwo,
  EqualSpread,
  ExactTable,
  LinearModel,
  MixedModel,
  Pair,
  Pool,
  Proportion,
  Random,
  SamePopulation,
  SurvivalCurve,
  Welch,
} from "../../src/stats/mod.ts";
import { between, exact, forces, level, marks, oneOf, output, type Spec, whole } from "./spec.ts";

const studentizedRange = "R's qtukey stops at 1e-4, ptukey at about 1e-7";
// Worked out once by integrate of the definition in R itself; the calculation here gives 0.003836554 as well.
const fewDegrees =
  "R's ptukey errs far out at few degrees of freedom: 5 means, 2 degrees, q = 40 gives 0.003216, its definition integrated 0.003837";

/** Several groups, models, sources, counts. */
export const groupSpecs: readonly Spec[] = [
  {
    name: "compare-two",
    calculation: "compare-two",
    group: "groups",
    inR: "t.test; all splits by combn; pt with a non-centrality; power.t.test",
    draw: (random) => {
      const size = 10 ** between(random, 0.5, 3);
      const n = whole(random, 2, 7);
      const m = random.uniform() < 0.5 ? n : whole(random, 2, 7);
      const a = forces(random, n, size);
      const b = forces(random, m, size * between(random, 0.8, 1.25));
      return { a, b, confidence: level(random), paired: n === m };
    },
    outputs: {
      ...welch("welch"),
      ...welch("pooled"),
      ...welch("paired"),
      permutationP: output((v: CompareTwo) => v.permutation.p),
      u: output((v: CompareTwo) => v.mannWhitney.u, exact, { size: 1 }),
      rankP: output((v: CompareTwo) => [v.mannWhitney.p, v.mannWhitney.pGreater, v.mannWhitney.pLess]),
      g: output((v: CompareTwo) => v.effect?.standardised, 1e-8, { size: 0.01 }),
      gInterval: output((v: CompareTwo) => v.effect?.interval, 1e-6, {
        size: 0.1,
        why: "R's non-central t, uniroot",
      }),
      chance: output((v: CompareTwo) => v.effect?.chanceALarger, exact, { size: 0.01 }),
      detectable: output((v: CompareTwo) => v.canShow.detectable, 1e-6, { why: "power.t.test's uniroot" }),
    },
  },
  {
    name: "mann-whitney-many",
    calculation: "compare-two",
    group: "groups",
    inR: "wilcox.test, exact without ties",
    draw: (random) => {
      const a = Array.from({ length: whole(random, 8, 25) }, () => random.normal());
      const b = Array.from({ length: whole(random, 8, 25) }, () => random.normal() + random.uniform());
      return { a, b, resamples: 199 };
    },
    outputs: {
      u: output((v: CompareTwo) => v.mannWhitney.u),
      rankP: output((v: CompareTwo) => [v.mannWhitney.p, v.mannWhitney.pGreater, v.mannWhitney.pLess]),
    },
  },
  {
    name: "compare-many",
    calculation: "compare-many",
    group: "groups",
    inR: "aov, oneway.test, kruskal.test, TukeyHSD; ptukey for Games-Howell; pf with a non-centrality",
    draw: (random) => ({ groups: batches(random), confidence: oneOf(random, [0.9, 0.95, 0.99]) }),
    outputs: {
      anova: output((v: CompareMany) => [v.anova.f, v.anova.ssBetween, v.anova.ssWithin], 1e-8, {
        size: 1e-6,
      }),
      anovaP: output((v: CompareMany) => v.anova.p, 1e-8),
      welchAnova: output(
        (v: CompareMany) => v.welchAnova && [v.welchAnova.f, v.welchAnova.df2, v.welchAnova.p],
        1e-7,
      ),
      kruskal: output((v: CompareMany) => [v.kruskalWallis.h, v.kruskalWallis.p], exact, { size: 1e-6 }),
      tukeyDifference: output((v: CompareMany) => v.tukey.map(({ difference }) => difference), 1e-8, {
        size: 1,
      }),
      tukeyEnds: output((v: CompareMany) => v.tukey.flatMap(ends), 2e-4, {
        size: widest,
        why: studentizedRange,
      }),
      tukeyP: output((v: CompareMany) => v.tukey.map(({ p }) => p), 1e-6, { size: 1, why: studentizedRange }),
      gamesHowellEnds: output((v: CompareMany) => v.gamesHowell?.flatMap(ends), 0.1, {
        size: widest,
        why: fewDegrees,
      }),
      gamesHowellP: output((v: CompareMany) => v.gamesHowell?.map(({ p }) => p), 1e-3, {
        size: 1,
        why: fewDegrees,
      }),
      omegaSquared: output((v: CompareMany) => v.effect.omegaSquared, 1e-8, { size: 0.01 }),
      shareInterval: output((v: CompareMany) => v.effect.interval, 1e-6, {
        size: 0.1,
        why: "R's non-central F, uniroot",
      }),
    },
  },
  {
    name: "tukey-multcomp",
    calculation: "compare-many",
    group: "multcomp",
    inR: "glht of all pairs, groups of one size",
    draw: (random) => {
      const n = whole(random, 3, 8);
      const size = 10 ** between(random, 0.5, 3);
      return { groups: Array.from({ length: whole(random, 3, 4) }, () => forces(random, n, size)) };
    },
    outputs: {
      tukeyP: output((v: CompareMany) => v.tukey.map(({ p }) => p), 5e-3, {
        size: 1,
        why: "multcomp integrates by random points, to about 1e-3",
      }),
    },
  },
  {
    name: "equal-spread",
    calculation: "equal-spread",
    group: "car",
    inR: "car's leveneTest about the median; bartlett.test",
    draw: (random) => ({ groups: batches(random) }),
    outputs: {
      brownForsythe: output((v: EqualSpread) => [v.statistic, v.p], 1e-7, { size: 1e-6 }),
      bartlett: output((v: EqualSpread) => v.bartlett && [v.bartlett.statistic, v.bartlett.p], 1e-7, {
        size: 1e-6,
      }),
    },
  },
  {
    name: "same-population",
    calculation: "same-population",
    group: "kSamples",
    inR: "kSamples' ad.test; p is by chance in both and not compared",
    draw: (random) => ({ groups: batches(random), resamples: 199 }),
    outputs: {
      statistic: output((v: SamePopulation) => [v.statistic, v.statisticMidrank], 5e-3, {
        size: 1,
        why: "kSamples rounds its table to a few digits",
      }),
      normalised: output((v: SamePopulation) => [v.normalised, v.normalisedMidrank], 1e-3, {
        size: 1,
        why: "kSamples rounds its table to a few digits",
      }),
    },
  },
  {
    name: "linear-model",
    calculation: "linear-model",
    group: "base",
    inR: "lm, predict; HC3 from hatvalues",
    draw: drawLinear,
    outputs: {
      coefficients: output((v: LinearModel) => Object.values(v.coefficients), 1e-8, { size: 1e-3 }),
      standardErrors: output((v: LinearModel) => Object.values(v.standardErrors), 1e-8),
      p: output((v: LinearModel) => Object.values(v.p), 1e-7),
      residualSd: output((v: LinearModel) => v.residualSd, 1e-8),
      rSquared: output((v: LinearModel) => v.rSquared, 1e-8, { size: 1e-3 }),
      hc3: output((v: LinearModel) => v.hc3 && Object.values(v.hc3), 1e-7),
      prediction: output(
        (v: LinearModel) => v.prediction && [...v.prediction.interval, ...v.prediction.valueInterval],
        1e-8,
        { size: 1 },
      ),
    },
  },
  {
    name: "mixed-model",
    calculation: "mixed-model",
    group: "lme4",
    inR: "lmerTest's lmer by REML, Satterthwaite",
    draw: drawMixed,
    outputs: mixedOutputs((v) => [v.groupSd, v.residualSd]),
  },
  {
    name: "mixed-model-slopes",
    calculation: "mixed-model",
    group: "lme4",
    costly: true,
    inR: "lmer with correlated intercepts and slopes",
    draw: drawSlopes,
    outputs: mixedOutputs((v) => [v.groupSd, v.slopeSds?.["bury"] ?? 0, v.residualSd]),
  },
  {
    name: "mixed-model-crossed",
    calculation: "mixed-model",
    group: "lme4",
    costly: true,
    inR: "lmer with two crossed groupings",
    draw: drawCrossed,
    // lmer sets the grouping with more groups first: spools, of which more are drawn than makers.
    outputs: mixedOutputs((v) => [v.groupSd, v.crossedSds?.["maker"] ?? 0, v.residualSd]),
  },
  {
    name: "pool",
    calculation: "pool",
    group: "metafor",
    inR: "rma: FE, DL, PM, REML with and without Hartung-Knapp, predict",
    draw: (random) => {
      const k = whole(random, 2, 15);
      const tau = random.uniform() < 0.3 ? 0 : between(random, 0, 5);
      const standardErrors = Array.from({ length: k }, () => between(random, 0.3, 4));
      return {
        estimates: standardErrors.map((se) => 50 + Math.hypot(se, tau) * random.normal()),
        standardErrors,
        confidence: level(random),
      };
    },
    outputs: {
      fixed: output((v: Pool) => [v.fixed.mean, v.fixed.standardError, ...v.fixed.interval]),
      dl: output((v: Pool) => [v.dl.mean, v.dl.tau2, ...v.dl.interval], 1e-8, { size: 1 }),
      pm: output((v: Pool) => [v.pm.mean, v.pm.tau2, ...v.pm.interval], 1e-6, {
        size: 1,
        why: "rma's search",
      }),
      reml: output((v: Pool) => [v.reml.mean, v.reml.tau2, ...v.reml.interval], 1e-6, {
        size: 1,
        why: "rma's search",
      }),
      hartungKnapp: output((v: Pool) => v.reml.hartungKnapp.interval, 1e-6, { size: 1, why: "rma's search" }),
      prediction: output((v: Pool) => v.reml.predictionInterval, 1e-6, { size: 1, why: "rma's search" }),
      heterogeneity: output((v: Pool) => [v.heterogeneity.q, v.heterogeneity.p, v.heterogeneity.i2], 1e-8, {
        size: 1e-3,
      }),
    },
  },
  {
    name: "survival-curve",
    calculation: "survival-curve",
    group: "survival",
    inR: "survfit",
    draw: (random) => {
      const values = forces(random, whole(random, 2, 40));
      return { values, censored: marks(random, values) };
    },
    outputs: {
      survival: output((v: SurvivalCurve) => v.steps.map((step) => step.survival), exact, { size: 1e-3 }),
      standardError: output((v: SurvivalCurve) => v.steps.flatMap((step) => step.standardError ?? []), 1e-8),
      atRisk: output((v: SurvivalCurve) => v.steps.map((step) => step.atRisk)),
      median: output((v: SurvivalCurve) => v.median),
    },
  },
  {
    name: "proportion",
    calculation: "proportion",
    group: "base",
    inR: "prop.test without continuity correction; binom.test",
    draw: (random) => {
      const n = whole(random, 1, 200);
      return { successes: whole(random, 0, n), n, confidence: level(random) };
    },
    outputs: {
      wilson: output((v: Proportion) => v.interval, exact, { size: 1e-3 }),
      exact: output((v: Proportion) => v.exactInterval, 1e-8, { size: 1e-3 }),
    },
  },
  {
    name: "exact-table",
    calculation: "exact-table",
    group: "base",
    inR: "fisher.test; of the odds ratio, where it stops at 1e-4, the law of the first cell by dhyper and uniroot",
    draw: drawTable,
    outputs: {
      p: output((v: ExactTable) => v.p, 1e-6, {
        why: "R and we count tables as equally probable within 1e-7",
      }),
      oneSided: output((v: ExactTable) => v.twoByTwo && [v.twoByTwo.pGreater, v.twoByTwo.pLess], 1e-8),
      odds: output((v: ExactTable) => v.twoByTwo?.oddsRatio, 1e-8),
      oddsEnds: output(
        (v: ExactTable) => v.twoByTwo && [v.twoByTwo.oddsInterval.low, v.twoByTwo.oddsInterval.high ?? -1],
        1e-8,
      ),
    },
  },
];

function welch(kind: "welch" | "pooled" | "paired"): Spec["outputs"] {
  const of = (pick: (welch: Welch) => number | readonly number[]) => (v: CompareTwo) => {
    const test = v[kind];
    return test === undefined ? undefined : pick(test);
  };
  return {
    [`${kind}Interval`]: output(
      of(({ interval }) => interval),
      1e-8,
      { size: 1 },
    ),
    [`${kind}Test`]: output(
      of(({ t, df, p }) => [t, df, p]),
      1e-8,
      { size: 1e-9 },
    ),
  };
}

function ends({ lower, upper }: Pair): number[] {
  return [lower, upper];
}

/** The span of all values: the scale on which an interval of differences is read. */
function widest({ groups }: { readonly groups: readonly (readonly number[])[] }): number {
  const all = groups.flat();
  return Math.max(...all) - Math.min(...all);
}

function batches(random: Random): number[][] {
  const size = 10 ** between(random, 0.5, 3);
  return Array.from({ length: whole(random, 2, 6) }, () =>
    forces(random, whole(random, 3, 10), size * between(random, 0.9, 1.1)),
  );
}

function drawLinear(random: Random): object {
  const n = whole(random, 6, 30);
  const names = ["bury", "taper", "tucks"].slice(0, whole(random, 1, 3));
  const columns = Object.fromEntries(
    names.map((name) => [name, Array.from({ length: n }, () => between(random, 5, 60))]),
  );
  const slopes = names.map(() => between(random, -2, 2));
  const response = Array.from(
    { length: n },
    (_, i) =>
      50 +
      names.reduce((sum, name, j) => sum + (slopes[j] as number) * (columns[name]?.[i] as number), 0) +
      3 * random.normal(),
  );
  return {
    columns,
    response,
    confidence: level(random),
    intercept: random.uniform() < 0.8,
    at: Object.fromEntries(names.map((name) => [name, between(random, 5, 60)])),
  };
}

function mixedOutputs(sds: (value: MixedModel) => number[]): Spec["outputs"] {
  const why = "lmer's search stops early";
  return {
    fixed: output((v: MixedModel) => Object.values(v.fixed), 1e-4, { size: 1, why }),
    standardErrors: output((v: MixedModel) => Object.values(v.standardErrors), 1e-3, { why }),
    sds: output(sds, 2e-3, { size: 1, why }),
    remlCriterion: output((v: MixedModel) => v.remlCriterion, 1e-7, { size: 1 }),
    df: output((v: MixedModel) => Object.values(v.satterthwaiteDf), 2e-2, {
      why: "lmerTest differentiates numerically at lmer's end point",
    }),
  };
}

function drawSlopes(random: Random): object {
  const spools = whole(random, 6, 10);
  const group = Array.from({ length: spools }, (_, g) =>
    new Array<string>(whole(random, 4, 8)).fill(`s${g}`),
  ).flat();
  const effects = new Map(
    [...new Set(group)].map((name) => [name, [3 * random.normal(), 0.8 * random.normal()] as const]),
  );
  const bury = group.map(() => between(random, 0, 10));
  const response = group.map((name, i) => {
    const [level, slope] = effects.get(name) as readonly [number, number];
    return 50 + level + (1 + slope) * (bury[i] as number) + random.normal();
  });
  return { response, fixed: { bury }, group, slopes: ["bury"] };
}

function drawCrossed(random: Random): object {
  const [spools, makers] = [whole(random, 7, 10), whole(random, 4, 6)];
  const spoolEffects = Array.from({ length: spools }, () => 3 * random.normal());
  const makerEffects = Array.from({ length: makers }, () => 2 * random.normal());
  const rows = Array.from(
    { length: whole(random, 40, 70) },
    () => [random.below(spools), random.below(makers)] as const,
  );
  const bury = rows.map(() => between(random, 0, 10));
  const response = rows.map(
    ([s, m], i) =>
      50 + (spoolEffects[s] as number) + (makerEffects[m] as number) + (bury[i] as number) + random.normal(),
  );
  const group = rows.map(([s]) => `s${s}`);
  return { response, fixed: { bury }, group, crossed: { maker: rows.map(([, m]) => `m${m}`) } };
}

function drawMixed(random: Random): object {
  const spools = whole(random, 3, 8);
  const group = Array.from({ length: spools }, (_, g) =>
    new Array<string>(whole(random, 2, 6)).fill(`s${g}`),
  ).flat();
  const far = random.uniform() < 0.2 ? 0 : between(random, 0, 6);
  const effects = new Map([...new Set(group)].map((name) => [name, far * random.normal()]));
  const names = ["bury", "tucks"].slice(0, whole(random, 0, 2));
  const fixed = Object.fromEntries(names.map((name) => [name, group.map(() => between(random, 0, 10))]));
  const response = group.map(
    (name, i) =>
      50 +
      (effects.get(name) as number) +
      names.reduce((sum, column) => sum + (fixed[column]?.[i] as number), 0) +
      2 * random.normal(),
  );
  return { response, fixed, group };
}

function drawTable(random: Random): object {
  const small = random.uniform() < 0.6;
  const [rows, columns] = small ? [2, 2] : [whole(random, 2, 3), whole(random, 2, 4)];
  const most = small ? 25 : 5;
  for (;;) {
    const table = Array.from({ length: rows }, () =>
      Array.from({ length: columns }, () => random.below(most)),
    );
    const full = table.every((row) => row.some((count) => count > 0));
    if (
      full &&
      Array.from({ length: columns }, (_, j) => table.some((row) => (row[j] as number) > 0)).every(Boolean)
    )
      return { table };
  }
}
