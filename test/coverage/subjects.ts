// By its own file: the door leads to it through a comparison that also counts thousands of splits each time.
import { welchTest } from "../../src/stats/groups/welch.ts";
import {
  bootstrap,
  compareTwo,
  type Family,
  fitFamily,
  type LowerBoundMethod,
  lowerBound,
  lowerBoundMethods,
  summary,
} from "../../src/stats/mod.ts";
import type { Draw } from "./draw.ts";
import { judgeConditional } from "./judge-conditional.ts";
import type { Law } from "./laws.ts";

/** True: it covers the truth. Undefined: it was refused. */
export type Verdict = boolean | undefined;

export type Target = {
  readonly name: string;
  /** The confidence claimed at this n. */
  readonly nominal: (n: number) => number;
};

/** A statement of the program that is to hold with a stated confidence. */
export type Subject = {
  readonly name: string;
  readonly targets: readonly Target[];
  /** Refuses what is censored: not drawn. */
  readonly completeOnly: boolean;
  /** Under which laws it is looked at: all, unless only its own can be right. */
  readonly looksAt: (law: Law) => boolean;
  /** True where the shape of a Weibull law falls out: what one shape shows stands for all. */
  readonly twins: boolean;
  /** Whether its assumption holds, so that it should meet its confidence. */
  readonly holds: (law: Law, share: number, target: string) => boolean;
  readonly draws: number;
  /** How many draws one judgement needs: two for a comparison. */
  readonly groups: number;
  readonly judge: (law: Law, n: number, share: number) => (draws: readonly Draw[]) => readonly Verdict[];
};

export const confidence = 0.95;
const contents = [0.95, 0.9] as const;
const many = 100_000;

export const subjects: readonly Subject[] = [
  ...lowerBoundMethods.map(boundSubject),
  meanSubject(),
  ...(["normal", "lognormal", "weibull"] as const).flatMap((family) => [
    fitSubject(family, "intervals"),
    fitSubject(family, "calibratedIntervals"),
  ]),
  welchSubject(1),
  welchSubject(3),
  bootstrapSubject(),
];

function boundSubject(method: LowerBoundMethod): Subject {
  const own: Readonly<Record<LowerBoundMethod, (law: Law, share: number, target: string) => boolean>> = {
    lowest: (_, share) => share === 0,
    "mean-3sd": (law) => law.name === "normal",
    normal: (law) => law.name === "normal",
    lognormal: (law) => law.name === "log-normal",
    weibull: (law) => law.family === "weibull",
    "distribution-free": (_, share) => share === 0,
    // Where the logarithm of the distribution function is concave, it covers at least as often as it says.
    "hanson-koopmans": (law) => law.name !== "two modes",
  };
  return {
    name: method,
    targets: contents.map((content) => ({
      name: `${100 * content} % above`,
      nominal: (n) => claimed(method, content, n),
    })),
    completeOnly: method === "mean-3sd" || method === "hanson-koopmans",
    looksAt: () => true,
    // On logarithms, less their mean and over their scatter, all Weibull laws are one: the shape falls out, draw by draw.
    twins: method === "weibull" || method === "lognormal",
    holds: own[method],
    draws: many,
    groups: 1,
    judge: (law, n, share) => {
      const truths = contents.map((content) => law.quantile(1 - content));
      if (method === "weibull" || (share > 0 && (method === "normal" || method === "lognormal"))) {
        const judge = judgeConditional({ method, contents, confidence, truths });
        return ([draw]) => judge(draw as Draw);
      }
      const bounds = share === 0 ? quickBounds(method, n) : undefined;
      let seen = 0;
      return ([draw]) => {
        const given = draw as Draw;
        const quick = bounds?.(given.values);
        if (quick === undefined || seen++ % 1000 === 0) {
          const full = fullBounds(method, given, share);
          if (
            quick?.some((bound, i) => !(Math.abs(bound - (full[i] ?? Number.NaN)) <= 1e-9 * Math.abs(bound)))
          )
            throw new Error(`${method}: the quick way gives ${quick}, the calculation ${full}`);
          return full.map((bound, i) => (bound === undefined ? undefined : bound <= (truths[i] as number)));
        }
        return quick.map((bound, i) => bound <= (truths[i] as number));
      };
    },
  };
}

function claimed(method: LowerBoundMethod, content: number, n: number): number {
  if (method !== "lowest" && method !== "mean-3sd") return confidence;
  const answer = lowerBound({ values: Array.from({ length: n }, (_, i) => 50 + i), method, content });
  if (!answer.ok) throw new Error(`${method} refused ${n} values`);
  return answer.value.confidence;
}

function fullBounds(method: LowerBoundMethod, { values, censored }: Draw, share: number) {
  return contents.map((content) => {
    const answer = lowerBound({ values, method, content, confidence, ...(share > 0 && { censored }) });
    return answer.ok ? answer.value.bound : undefined;
  });
}

/**
 * Bounds that are a number of standard deviations, or of distances, below: that number depends on n alone, so it is
 * taken from the calculation once. Every thousandth draw is held against the calculation itself.
 */
function quickBounds(
  method: LowerBoundMethod,
  n: number,
): ((values: readonly number[]) => number[]) | undefined {
  const some = Array.from({ length: n }, (_, i) => 50 + i);
  const factors = contents.map((content) => {
    const answer = lowerBound({ values: some, method, content, confidence });
    return answer.ok ? (answer.value.factor ?? Number.NaN) : Number.NaN;
  });
  if (method === "lowest") return (values) => contents.map(() => Math.min(...values));
  if (method === "normal" || method === "mean-3sd")
    return (values) => {
      const { mean, sd } = momentsOf(values);
      return factors.map((factor) => mean - factor * sd);
    };
  if (method === "lognormal")
    return (values) => {
      const { mean, sd } = momentsOf(values.map(Math.log));
      return factors.map((factor) => Math.exp(mean - factor * sd));
    };
  if (method === "hanson-koopmans")
    return (values) => {
      const [low, high] = [Math.min(...values), Math.max(...values)];
      return factors.map((factor) => high - factor * (high - low));
    };
  return undefined;
}

function momentsOf(values: readonly number[]): { readonly mean: number; readonly sd: number } {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, sd: Math.sqrt(squares / (values.length - 1)) };
}

function meanSubject(): Subject {
  return {
    name: "interval of the mean",
    targets: [{ name: "mean", nominal: () => confidence }],
    completeOnly: true,
    looksAt: () => true,
    twins: false,
    holds: (law) => law.name === "normal",
    draws: many,
    groups: 1,
    judge:
      (law) =>
      ([draw]) => {
        const answer = summary((draw as Draw).values, { confidence });
        const interval = answer.ok ? answer.value.meanInterval : undefined;
        return [interval && interval[0] <= law.mean && law.mean <= interval[1]];
      },
  };
}

function fitSubject(family: Family, kind: "intervals" | "calibratedIntervals"): Subject {
  const names = { normal: ["mean", "sd"], lognormal: ["meanLog", "sdLog"], weibull: ["shape", "scale"] }[
    family
  ];
  return {
    name: kind === "intervals" ? `fit, ${family}` : `fit, ${family}, calibrated`,
    targets: names.map((name) => ({ name, nominal: () => confidence })),
    completeOnly: false,
    looksAt: (law) => law.family === family,
    // As with the bound: the interval of the shape stretches with it.
    twins: true,
    holds: (law) => law.family === family,
    draws: kind === "intervals" ? 2000 : 5000,
    groups: 1,
    judge:
      (law, _, share) =>
      ([draw]) => {
        const { values, censored } = draw as Draw;
        const answer = fitFamily({ values, family, confidence, ...(share > 0 && { censored }) });
        return names.map((name) => {
          const interval = answer.ok ? answer.value[kind]?.[name] : undefined;
          const truth = law.parameters[name] as number;
          return interval && interval[0] <= truth && truth <= interval[1];
        });
      },
  };
}

/** Two groups of n with one mean, the second `ratio` times as wide. */
function welchSubject(ratio: number): Subject {
  return {
    name: ratio === 1 ? "Welch's interval, spreads alike" : `Welch's interval, spreads 1 to ${ratio}`,
    targets: [{ name: "difference of means", nominal: () => confidence }],
    completeOnly: true,
    looksAt: () => true,
    twins: false,
    holds: (law) => law.name === "normal",
    draws: many,
    groups: 2,
    judge: (law) => {
      let seen = 0;
      return ([first, second]) => {
        const a = (first as Draw).values;
        const b = (second as Draw).values.map((value) => law.mean + ratio * (value - law.mean));
        const welch = welchTest(a, b, confidence);
        if (seen++ % 10_000 === 0) {
          const answer = compareTwo({ a, b, confidence, resamples: 199 });
          if (!answer.ok || answer.value.welch?.interval[0] !== welch?.interval[0])
            throw new Error("compareTwo gives another interval than Welch's own");
        }
        return [welch && welch.interval[0] <= 0 && 0 <= welch.interval[1]];
      };
    },
  };
}

function bootstrapSubject(): Subject {
  const kinds = ["bca", "percentile"] as const;
  return {
    name: "bootstrap of the mean",
    targets: kinds.map((name) => ({ name, nominal: () => confidence })),
    completeOnly: true,
    looksAt: ({ name }) => name === "normal" || name === "Weibull 20" || name === "two modes",
    twins: false,
    // No law makes it exact: it is right for many values.
    holds: () => false,
    draws: 500,
    groups: 1,
    judge: (law) => {
      let seed = 0;
      return ([draw]) => {
        seed += 1;
        return kinds.map((interval) => {
          const answer = bootstrap({
            values: (draw as Draw).values,
            statistic: "mean",
            resamples: 2000,
            confidence,
            interval,
            seed,
          });
          const [low, high] = answer.ok ? answer.value.interval : [];
          return low === undefined || high === undefined ? undefined : low <= law.mean && law.mean <= high;
        });
      };
    },
  };
}
