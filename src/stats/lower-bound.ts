import { ok, type Problem, type Result, refuse, type Warning } from "../problem/mod.ts";
import { conditionalNormal, conditionalWeibull, type Readings } from "./bounds/conditional-law.ts";
import { hansonKoopmansFactor } from "./bounds/hanson-koopmans.ts";
import { distributionFreeOrder } from "./bounds/order-statistic.ts";
import { nonCentralTCdf } from "./distributions/non-central-t.ts";
import { normalQuantile } from "./distributions/normal.ts";
import { moments } from "./numeric/moments.ts";
import { standardDeviation } from "./summary.ts";
import { oneSidedFactor } from "./tolerance-factor.ts";
import {
  differ,
  noScatter,
  problemsOfCensored,
  problemsOfFinite,
  problemsOfPositive,
  problemsOfRange,
  problemsOfShare,
  smallest,
  sorted,
  tooFew,
} from "./values.ts";

export const lowerBoundMethods = [
  "lowest",
  "mean-3sd",
  "normal",
  "lognormal",
  "weibull",
  "distribution-free",
  "hanson-koopmans",
] as const;
export type LowerBoundMethod = (typeof lowerBoundMethods)[number];

export type LowerBoundInput = {
  readonly values: readonly number[];
  /** True where the true value lies above the value given: stopped, clipped, something else failed first. */
  readonly censored?: readonly boolean[];
  readonly method: LowerBoundMethod;
  /** Share of the population that is to lie above the bound; 0.95 unless said. */
  readonly content?: number;
  /** 0.95 unless said. */
  readonly confidence?: number;
  /** For hanson-koopmans: the order of the upper value, from 2 to n (n unless said). */
  readonly upperOrder?: number;
  /** For hanson-koopmans: on the values as they are, or on their logarithms, as the composites handbook does. */
  readonly form?: "arithmetic" | "ratio";
};

export type LowerBound = {
  readonly bound: number;
  readonly method: LowerBoundMethod;
  readonly n: number;
  readonly censoredCount: number;
  /** What is claimed, in one sentence. */
  readonly meaning: string;
  readonly content: number;
  /** The confidence of the claim; for `lowest` and `mean-3sd` the one that they really have at this n. */
  readonly confidence: number;
  readonly warnings: readonly Warning[];
  /** For distribution-free: which of the ordered values, from 1. */
  readonly order?: number;
  /** For methods that go a number of standard deviations, or of distances between values, below. */
  readonly factor?: number;
  readonly mean?: number;
  readonly sd?: number;
};

/**
 * A value above which, by a named method, at least the stated share of the population lies with the stated confidence.
 *
 * Values in any unit; content and confidence fractions between 0 and 1. The bound has the values' unit; it may come out
 * below zero, and then promises nothing.
 * Refused: too few values (the refusal says how many are needed), values that a method cannot use, no scatter at all,
 * marks of lower bounds for a method that cannot count them. `lowest` and `distribution-free` count such values at what
 * they had reached, which errs to the safe side.
 * Methods and sources: docs/methods/lower-bound.md.
 *
 * @example
 * const answer = lowerBound({ values: [50.27, 52.56, 54.72, 57.06, 53.2, 56.07], method: "normal", content: 0.9, confidence: 0.95 });
 * answer.ok && answer.value.bound // 46.5197…
 */
export function lowerBound(input: LowerBoundInput): Result<LowerBound> {
  const { values, censored, method, content = 0.95, confidence = 0.95 } = input;
  const [problem, ...more] = [
    ...problemsOfFinite(values, 1, "A lower bound"),
    ...problemsOfCensored(values, censored),
    ...problemsOfShare(content, "content"),
    ...problemsOfShare(confidence, "confidence"),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const censoredCount = censored?.filter(Boolean).length ?? 0;
  const asked: Asked = {
    values,
    readings: {
      measured: values.filter((_, i) => censored?.[i] !== true),
      atLeast: values.filter((_, i) => censored?.[i] === true),
    },
    content,
    confidence,
    upperOrder: input.upperOrder ?? values.length,
    form: input.form ?? "arithmetic",
  };
  if (!Object.hasOwn(works, method)) return refuse(unknownMethod(method));
  const worked = works[method](asked);
  if (!worked.ok) return worked;
  if (!Number.isFinite(worked.value.bound)) return refuse(notANumber(method));
  const doubts = [...worked.warnings, ...(worked.value.bound > 0 ? [] : [belowZero(worked.value.bound)])];
  const details = { method, n: values.length, censoredCount, content, confidence };
  return ok({ ...details, ...worked.value, warnings: doubts }, doubts);
}

type Asked = {
  readonly values: readonly number[];
  readonly readings: Readings;
  readonly content: number;
  readonly confidence: number;
  readonly upperOrder: number;
  readonly form: "arithmetic" | "ratio";
};

type Worked = Pick<LowerBound, "bound" | "meaning"> &
  Partial<Pick<LowerBound, "confidence" | "order" | "factor" | "mean" | "sd">>;

const works: Readonly<Record<LowerBoundMethod, (asked: Asked) => Result<Worked>>> = {
  lowest: ({ values, readings, content }) => {
    const confidence = -Math.expm1(values.length * Math.log(content));
    return ok(
      {
        bound: smallest(values),
        confidence,
        order: 1,
        meaning: `The lowest of ${count(values.length, "value")}: that at least ${percent(content)} of the population lie above it holds with ${percentDown(confidence)} confidence, whatever the distribution.`,
      },
      countedAtReach(readings),
    );
  },

  "mean-3sd": (asked) => {
    const given = meanAndSd(asked, "Mean − 3 SD");
    if (!given.ok) return given;
    const { n, mean, sd } = given.value;
    const confidence = nonCentralTCdf(3 * Math.sqrt(n), n - 1, normalQuantile(asked.content) * Math.sqrt(n));
    return ok({
      bound: mean - 3 * sd,
      confidence,
      factor: 3,
      mean,
      sd,
      meaning: `The mean of ${count(n, "value")} less three standard deviations: that at least ${percent(asked.content)} of the population lie above it holds with ${percentDown(confidence)} confidence, if the values are normally distributed.`,
    });
  },

  normal: (asked) => {
    if (asked.readings.atLeast.length > 0) return censoredNormal(asked, "normal");
    const given = meanAndSd(asked, "A normal bound");
    if (!given.ok) return given;
    const { n, mean, sd } = given.value;
    const factor = oneSidedFactor(n, asked.content, asked.confidence);
    return ok({
      bound: mean - factor * sd,
      factor,
      mean,
      sd,
      meaning: claim(asked, "if the values are normally distributed"),
    });
  },

  lognormal: (asked) => {
    const [problem] = problemsOfLogs(asked, "A log-normal bound");
    if (problem !== undefined) return refuse(problem);
    if (asked.readings.atLeast.length > 0) return censoredNormal(onLogs(asked), "log-normal");
    const given = meanAndSd(onLogs(asked), "A log-normal bound");
    if (!given.ok) return given;
    const { n, mean, sd } = given.value;
    const factor = oneSidedFactor(n, asked.content, asked.confidence);
    const meaning = claim(asked, "if the logarithms of the values are normally distributed");
    return ok({ bound: Math.exp(mean - factor * sd), factor, mean, sd, meaning });
  },

  weibull: (asked) => {
    const [problem] = problemsOfLogs(asked, "A Weibull bound");
    if (problem !== undefined) return refuse(problem);
    const logs = onLogs(asked).readings;
    const score = Math.log(-Math.log(asked.content));
    const bound = Math.exp(conditionalWeibull(logs).placeBelow(score, 1 - asked.confidence));
    return ok(
      { bound, meaning: claim(asked, "if the values follow a Weibull distribution") },
      approximate(asked),
    );
  },

  "distribution-free": ({ values, readings, content, confidence }) => {
    const { order, needs } = distributionFreeOrder({ n: values.length, content, confidence });
    if (order === undefined) return refuse(tooFewForOrder(values.length, needs, content, confidence));
    const bound = sorted(values)[order - 1] as number; // order ≤ n
    const meaning = `The ${ordinal(order)} lowest of ${count(values.length, "value")}: with ${percent(confidence)} confidence, at least ${percent(content)} of the population lie above it, whatever the distribution.`;
    return ok({ bound, order, meaning }, countedAtReach(readings));
  },

  "hanson-koopmans": (asked) => {
    const { values, upperOrder, form, content, confidence } = asked;
    const name = "A Hanson-Koopmans bound";
    const [problem] = [
      ...problemsOfMarks(asked, name),
      ...problemsOfScatter(asked, name),
      ...(form === "ratio" ? problemsOfPositive(values, name) : []),
      ...problemsOfOrder(upperOrder, values.length),
    ];
    if (problem !== undefined) return refuse(problem);
    const factor = hansonKoopmansFactor({ n: values.length, upperOrder, content, confidence });
    const ordered = sorted(values);
    const low = ordered[0] as number; // two values or more
    const high = ordered[upperOrder - 1] as number; // upperOrder ≤ n
    const bound = form === "ratio" ? high * (low / high) ** factor : high - factor * (high - low);
    const about = form === "ratio" ? "of the logarithms " : "";
    return ok({
      bound,
      factor,
      meaning: claim(
        asked,
        `if the logarithm of the distribution function ${about}is concave, as for most known distributions`,
      ),
    });
  },
};

/** n, mean and sd of at least two measured values that differ, or the reason why not. */
function meanAndSd(asked: Asked, name: string): Result<{ n: number; mean: number; sd: number }> {
  const [problem] = [...problemsOfMarks(asked, name), ...problemsOfScatter(asked, name)];
  if (problem !== undefined) return refuse(problem);
  return ok({
    n: asked.values.length,
    mean: moments(asked.values).mean,
    sd: standardDeviation(asked.values),
  });
}

function censoredNormal(asked: Asked, law: "normal" | "log-normal"): Result<Worked> {
  const [problem] = [...problemsOfScatter(asked, `A ${law} bound`), ...problemsOfManyMarks(asked)];
  if (problem !== undefined) return refuse(problem);
  const score = -normalQuantile(asked.content);
  const bound = conditionalNormal(asked.readings).placeBelow(score, 1 - asked.confidence);
  const condition = law === "normal" ? "the values" : "the logarithms of the values";
  return ok(
    {
      bound: law === "normal" ? bound : Math.exp(bound),
      meaning: claim(asked, `if ${condition} are normally distributed`),
    },
    approximate(asked),
  );
}

function onLogs(asked: Asked): Asked {
  const log = (list: readonly number[]) => list.map(Math.log);
  const { measured, atLeast } = asked.readings;
  return {
    ...asked,
    values: log(asked.values),
    readings: { measured: log(measured), atLeast: log(atLeast) },
  };
}

function claim({ content, confidence }: Asked, condition: string): string {
  return `With ${percent(confidence)} confidence, at least ${percent(content)} of the population lie above the bound, ${condition}.`;
}

function problemsOfScatter({ values, readings: { measured } }: Asked, name: string): Problem[] {
  const range = problemsOfRange(values, name);
  if (range.length > 0) return range;
  if (measured.length < 2) return [tooFew(measured.length, 2, name)];
  return differ(measured) ? [] : [noScatter(name, measured[0] as number)];
}

/** The same for a method that works on logarithms, which may be equal where the values still differ. */
function problemsOfLogs({ values, readings: { measured } }: Asked, name: string): Problem[] {
  const positive = problemsOfPositive(values, name);
  if (positive.length > 0) return positive;
  if (measured.length < 2) return [tooFew(measured.length, 2, name)];
  return differ(measured) && differ(measured.map(Math.log)) ? [] : [noScatter(name, measured[0] as number)];
}

function problemsOfMarks({ readings: { atLeast } }: Asked, name: string): Problem[] {
  if (atLeast.length === 0) return [];
  return [
    {
      code: "STAT_CENSORED",
      message: `${name} cannot count values that are only lower bounds.`,
      where: { field: "censored" },
      found: `${count(atLeast.length, "value")} that ${atLeast.length === 1 ? "is" : "are"} only a lower bound`,
      wayOut:
        "Choose normal, lognormal or weibull, which count them as what they are, or lowest or distribution-free, which count them at what they had reached.",
    },
  ];
}

/** The integral runs over all of them many times. */
function problemsOfManyMarks({ readings: { atLeast } }: Asked): Problem[] {
  if (atLeast.length <= 300) return [];
  return [
    {
      code: "STAT_CENSORED",
      message: "A normal bound is worked out for up to 300 values that are only lower bounds.",
      where: { field: "censored" },
      found: String(atLeast.length),
      expected: "300 or fewer",
    },
  ];
}

function problemsOfOrder(order: number, n: number): Problem[] {
  if (Number.isInteger(order) && order >= 2 && order <= n) return [];
  return [
    {
      code: "STAT_VALUE",
      message: "The upper value must be one of the ordered values above the lowest.",
      where: { field: "upperOrder" },
      found: String(order),
      expected: `a whole number from 2 to ${n}`,
    },
  ];
}

function tooFewForOrder(n: number, needs: number, content: number, confidence: number): Problem {
  return {
    code: "STAT_TOO_FEW",
    message: `A distribution-free bound for ${percent(content)} of the population with ${percent(confidence)} confidence needs ${needs} values, has ${n}.`,
    where: { field: "values" },
    found: String(n),
    expected: `${needs} or more`,
    wayOut: "Ask for less, or choose a method that assumes a distribution.",
  };
}

function countedAtReach({ atLeast }: Readings): Warning[] {
  if (atLeast.length === 0) return [];
  return [
    {
      code: "STAT_CENSORED",
      message:
        "Values that are only lower bounds were counted at what they had reached; the bound errs to the safe side.",
      found: count(atLeast.length, "such value"),
    },
  ];
}

function approximate({ readings: { atLeast } }: Asked): Warning[] {
  if (atLeast.length === 0) return [];
  return [
    {
      code: "STAT_APPROXIMATE",
      message: "With values that are only lower bounds the stated confidence is approximate.",
      found: count(atLeast.length, "such value"),
    },
  ];
}

function belowZero(bound: number): Warning {
  return {
    code: "STAT_BELOW_ZERO",
    message:
      "The bound comes out at or below zero: for a quantity that cannot be negative it promises nothing.",
    found: String(bound),
  };
}

function unknownMethod(method: string): Problem {
  return {
    code: "INPUT_UNKNOWN",
    message: "There is no such method for a lower bound.",
    where: { field: "method" },
    found: String(method),
    expected: `one of ${lowerBoundMethods.join(", ")}`,
  };
}

function notANumber(method: LowerBoundMethod): Problem {
  return {
    code: "STAT_VALUE",
    message: "The values are so far apart in size that the bound cannot be written as a number.",
    where: { field: "values" },
    found: `a bound by the method ${method} beyond the range of numbers`,
  };
}

function count(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? "" : "s"}`;
}

function ordinal(n: number): string {
  if (n === 1) return "first";
  const last = n % 100 > 10 && n % 100 < 14 ? "th" : (["th", "st", "nd", "rd"][n % 10] ?? "th");
  return `${n}${last}`;
}

/** 0.95 as "95 %". */
export function percent(share: number): string {
  return `${Number((100 * share).toPrecision(6))} %`;
}

/** The same rounded down to a tenth, so that a sentence never claims more than there is. */
function percentDown(share: number): string {
  // 1 - 0.9³ is 0.271, but comes out a hair below it: such a hair is no tenth less. What is short of all is not all.
  const tenths = Math.min(Math.floor(1000 * (share + 1e-12)), share < 1 ? 999 : 1000) / 10;
  return tenths === 0 && share > 0 ? "less than 0.1 %" : `${tenths} %`;
}
