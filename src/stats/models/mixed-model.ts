import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { studentTQuantile } from "../distributions/student-t.ts";
import { norm } from "../numeric/moments.ts";
import { problemsOfShare } from "../values.ts";
import { type FixedPart, fixedPartOf } from "./fixed-part.ts";
import { type Columns, dependent, problemsOfColumns, tooFewRows } from "./linear-model.ts";
import { fitOneGrouping } from "./one-grouping.ts";
import { type Profile, quadratic } from "./profile.ts";
import { fitRandomEffects, type RandomTerm } from "./random-effects.ts";

type Names = readonly (string | number)[];

export type MixedModelInput = {
  readonly response: readonly number[];
  /** Columns with a fixed effect; an intercept is always added. May be empty. */
  readonly fixed: Columns;
  /** Which group (spool, maker) each row belongs to. */
  readonly group: Names;
  /** Names of fixed columns whose slope, too, differs from group to group. */
  readonly slopes?: readonly string[];
  /** Further groupings of the rows, each with an intercept of its own; they may cross the first or lie within it. */
  readonly crossed?: Readonly<Record<string, Names>>;
  readonly confidence?: number;
};

export type MixedModel = {
  readonly n: number;
  readonly groups: number;
  readonly fixed: Readonly<Record<string, number>>;
  readonly standardErrors: Readonly<Record<string, number>>;
  readonly satterthwaiteDf: Readonly<Record<string, number>>;
  readonly intervals: Readonly<Record<string, readonly [low: number, high: number]>>;
  /** Scatter between groups (where slopes differ: of their intercepts) and of the rest, as standard deviations. */
  readonly groupSd: number;
  readonly residualSd: number;
  /** Of the variance, the share between groups; where slopes differ, on average over the rows. */
  readonly groupShare: number;
  /** Of each slope that differs from group to group. */
  readonly slopeSds?: Readonly<Record<string, number>>;
  /** Between what differs from group to group, where neither scatter is 0. */
  readonly correlations?: readonly { readonly of: readonly [string, string]; readonly value: number }[];
  /** Scatter between the groups of each further grouping. */
  readonly crossedSds?: Readonly<Record<string, number>>;
  /** −2 × the restricted log-likelihood. */
  readonly remlCriterion: number;
};

/**
 * How a response depends on columns where rows come in groups (pulls of one spool, of one maker), and how much of the
 * scatter lies between the groups. The effect of a column may differ from group to group, and groupings may cross.
 *
 * Two groups or more, one of them with two rows or more; more rows than coefficients; with slopes or further groupings up
 * to 200 random effects. A scatter may come out as 0, with a warning: it is then no larger than chance makes it.
 * Formula: response = fixed effects + group effects + rest, all normal; restricted maximum likelihood over the relative
 * covariances of the group effects; degrees of freedom by Satterthwaite from the observed information.
 * Source: H. D. Patterson and R. Thompson, Biometrika 58 (1971), 545-554; F. G. Giesbrecht and J. C. Burns, Biometrics 41
 * (1985), 477-486; D. Bates, M. Maechler, B. Bolker and S. Walker, J. Stat. Softw. 67(1) (2015).
 *
 * @example
 * const answer = mixedModel({ response: [55, 53, 54, 26, 37, 32, 78, 91, 85], fixed: {}, group: ["1", "1", "1", "2", "2", "2", "3", "3", "3"] });
 * answer.ok && answer.value.groups // 3
 */
export function mixedModel(input: MixedModelInput): Result<MixedModel> {
  const { response, fixed, group, slopes = [], crossed = {}, confidence = 0.95 } = input;
  const names = ["intercept", ...Object.keys(fixed)];
  const groupings = [group, ...Object.values(crossed)].map(numbered);
  const fields = ["group", ...Object.keys(crossed).map((name) => `crossed.${name}`)];
  const [problem, ...more] = [
    ...problemsOfColumns(fixed, response, true),
    ...groupings.flatMap((of, i) => problemsOfGroup(of, response.length, fields[i] as string)),
    ...slopes.flatMap((name, i) => problemsOfSlope(name, slopes.indexOf(name) < i, fixed)),
    ...problemsOfShare(confidence, "confidence"),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  if (response.length <= names.length) return refuse(tooFewRows(response.length, names.length));
  const ones = response.map(() => 1);
  const part = fixedPartOf(
    names.map((name) => fixed[name] ?? ones),
    response,
  );
  if (typeof part === "number") return refuse(dependent(names[part] as string));
  if (!(part.scale > 1e-13 * part.length)) return refuse(noRest);
  const plain = slopes.length === 0 && groupings.length === 1;
  const random = groupings.reduce(
    (sum, { groups }, i) => sum + groups * (i === 0 ? 1 + slopes.length : 1),
    0,
  );
  if (!plain) {
    const wrong = problemOfRandom(random, response.length) ?? problemOfTwins(groupings, Object.keys(crossed));
    if (wrong !== undefined) return refuse(wrong);
  }
  const found = plain
    ? oneGrouping(part, groupings[0] as Grouping)
    : severalParts(
        part,
        groupings,
        slopes.map((name) => fixed[name] as readonly number[]),
      );
  if (found === undefined) return refuse(plain ? noRest : notAtRest);
  const { covariances, profile, logDeterminant } = found;
  const freedom = response.length - names.length;
  const variance = (profile.squares * part.scale ** 2) / freedom;
  const residualSd = part.scale * Math.sqrt(profile.squares / freedom);
  const df = found.df(part.combinations);
  const named = <T>(value: (j: number) => T) => Object.fromEntries(names.map((name, j) => [name, value(j)]));
  const fixedAt = profile.size - 1 - names.length;
  const beta = part.coefficients(names.map((_, j) => -(profile.direction[fixedAt + j] as number)));
  const standardErrors = part.combinations.map(
    (weights) => residualSd * Math.sqrt(quadratic(profile, profile.inverse, weights)),
  );
  const [first = [], ...others] = covariances;
  const sds = first.map((row, i) => residualSd * Math.sqrt(row[i] as number));
  const between = meanVariance(
    first,
    slopes.map((name) => fixed[name] as readonly number[]),
    response.length,
  );
  const rest = 1 + others.reduce((sum, own) => sum + (own[0]?.[0] as number), 0);
  return ok(
    {
      n: response.length,
      groups: (groupings[0] as Grouping).groups,
      fixed: named((j) => beta[j] as number),
      standardErrors: named((j) => standardErrors[j] as number),
      satterthwaiteDf: named((j) => df[j] as number),
      intervals: named((j) => {
        const half = studentTQuantile(0.5 + confidence / 2, df[j] as number) * (standardErrors[j] as number);
        return [(beta[j] as number) - half, (beta[j] as number) + half] as const;
      }),
      groupSd: sds[0] as number,
      residualSd,
      groupShare: between / (between + rest),
      ...(slopes.length > 0 && {
        slopeSds: Object.fromEntries(slopes.map((name, i) => [name, sds[i + 1] as number])),
        correlations: correlationsOf(["intercept", ...slopes], first),
      }),
      ...(others.length > 0 && {
        crossedSds: Object.fromEntries(
          Object.keys(crossed).map((name, i) => [
            name,
            residualSd * Math.sqrt(others[i]?.[0]?.[0] as number),
          ]),
        ),
      }),
      remlCriterion:
        freedom * (1 + Math.log(2 * Math.PI * variance)) + logDeterminant + 2 * part.logDeterminant,
    },
    warningsFor(groupings, covariances, Object.keys(crossed)),
  );
}

type Grouping = { readonly of: Int32Array; readonly groups: number };

type Found = {
  /** Of each grouping, over the residual variance. */
  readonly covariances: readonly (readonly (readonly number[])[])[];
  readonly profile: Profile;
  readonly logDeterminant: number;
  readonly df: (combinations: readonly (readonly number[])[]) => number[];
};

function oneGrouping(part: FixedPart, { of, groups }: Grouping): Found | undefined {
  const found = fitOneGrouping(part, of, groups);
  return found && { ...found, covariances: [[[found.ratio]]] };
}

function severalParts(
  part: FixedPart,
  groupings: readonly Grouping[],
  slopes: readonly (readonly number[])[],
): Found | undefined {
  const n = part.response.length;
  const ones = new Float64Array(n).fill(1);
  // Columns of about size 1, so that all parameters of the search are of one size.
  const scales = [1, ...slopes.map((column) => norm(column) / Math.sqrt(n) || 1)];
  const columns = [
    ones,
    ...slopes.map((column, i) => Float64Array.from(column, (x) => x / (scales[i + 1] as number))),
  ];
  const terms = groupings.map(
    ({ of, groups }, i): RandomTerm => ({ of, groups, columns: i === 0 ? columns : [ones] }),
  );
  const found = fitRandomEffects(part, terms);
  return (
    found && {
      profile: found.profile,
      logDeterminant: found.profile.logDeterminant,
      df: found.df,
      covariances: found.covariances.map((own, t) =>
        t > 0
          ? own
          : own.map((row, i) => row.map((value, j) => value / (scales[i] as number) / (scales[j] as number))),
      ),
    }
  );
}

/** The groups' numbers, in the order of first appearance. */
function numbered(names: Names): Grouping {
  const known = new Map<string | number, number>();
  const of = new Int32Array(names.length);
  for (let row = 0; row < names.length; row++) {
    const name = names[row] as string | number;
    const number = known.get(name) ?? known.size;
    if (number === known.size) known.set(name, number);
    of[row] = number;
  }
  return { of, groups: known.size };
}

/** The variance between groups at a row, on average over the rows: zᵀ D z with z = 1 and the slopes' columns. */
function meanVariance(
  covariance: readonly (readonly number[])[],
  slopes: readonly (readonly number[])[],
  n: number,
): number {
  const z = (i: number, row: number) => (i === 0 ? 1 : (slopes[i - 1]?.[row] as number));
  let total = 0;
  for (const [i, row] of covariance.entries())
    for (const [j, value] of row.entries()) {
      let mean = 0;
      for (let k = 0; k < n; k++) mean += (z(i, k) * z(j, k)) / n;
      total += value * mean;
    }
  return total;
}

function correlationsOf(names: readonly string[], covariance: readonly (readonly number[])[]) {
  const sd = (i: number) => Math.sqrt(covariance[i]?.[i] as number);
  return names.flatMap((name, i) =>
    names.slice(0, i).flatMap((other, j) => {
      if (!(sd(i) > 0 && sd(j) > 0)) return [];
      const value = (covariance[i]?.[j] as number) / sd(i) / sd(j);
      return [{ of: [other, name] as const, value: Math.min(1, Math.max(-1, value)) }];
    }),
  );
}

function problemsOfGroup({ of, groups }: Grouping, n: number, name: string): Problem[] {
  const field = { field: name };
  if (of.length !== n) {
    return [
      {
        code: "INPUT_FIELD",
        message: "Every row needs its group.",
        where: field,
        found: String(of.length),
        expected: String(n),
      },
    ];
  }
  if (groups < 2) {
    return [
      {
        code: "STAT_TOO_FEW",
        message: `A scatter between groups needs 2 groups, has ${groups}.`,
        where: field,
        found: String(groups),
        expected: "2 or more",
      },
    ];
  }
  if (groups < n) return [];
  return [
    {
      code: "STAT_DEGENERATE",
      message:
        "Every row is a group of its own, so scatter between groups cannot be told from scatter within them.",
      where: field,
      wayOut: "At least one group must have two rows.",
    },
  ];
}

function problemsOfSlope(name: string, twice: boolean, fixed: Columns): Problem[] {
  if (Object.hasOwn(fixed, name) && !twice) return [];
  return [
    {
      code: "INPUT_FIELD",
      message: twice
        ? "A slope is named twice."
        : "A slope that differs between groups needs its fixed column.",
      where: { field: "slopes" },
      found: name,
      expected: `names out of ${Object.keys(fixed).join(", ") || "no columns"}, each once`,
    },
  ];
}

const mostRandom = 200;

function problemOfRandom(random: number, n: number): Problem | undefined {
  if (random > mostRandom)
    return {
      code: "STAT_VALUE",
      message: `Slopes that differ, or several groupings, are worked out for up to ${mostRandom} random effects.`,
      where: { field: "group" },
      found: String(random),
      expected: `${mostRandom} or fewer`,
    };
  if (random < n) return undefined;
  return {
    code: "STAT_TOO_FEW",
    message: `${random} random effects need ${random + 1} rows, have ${n}.`,
    where: { field: "response" },
    found: String(n),
    expected: `${random + 1} or more`,
  };
}

/** Two groupings that are one: their scatters cannot be told apart. */
function problemOfTwins(groupings: readonly Grouping[], names: readonly string[]): Problem | undefined {
  for (const [i, a] of groupings.entries())
    for (const b of groupings.slice(0, i))
      if (a.groups === b.groups && a.of.every((number, row) => number === b.of[row]))
        return {
          code: "STAT_DEGENERATE",
          message: "Two groupings put the same rows together, so their scatters cannot be told apart.",
          where: { field: `crossed.${names[i - 1]}` },
          wayOut: "Leave one of them out.",
        };
  return undefined;
}

function warningsFor(
  groupings: readonly Grouping[],
  covariances: Found["covariances"],
  crossed: readonly string[],
): Warning[] {
  return groupings.flatMap(({ groups }, t): Warning[] => {
    const of = t === 0 ? "" : ` of ${crossed[t - 1]}`;
    const own = covariances[t] as Found["covariances"][0];
    const none = own.some((row, i) => !((row[i] as number) > 1e-12));
    const bound =
      !none && correlationsOf(own.map(String), own).some(({ value }) => Math.abs(value) > 1 - 1e-9);
    return [
      ...(none
        ? [
            {
              code: "STAT_DEGENERATE" as const,
              message: `The groups${of} differ no more than chance within them explains; their scatter comes out as 0.`,
            },
          ]
        : []),
      ...(bound
        ? [
            {
              code: "STAT_DEGENERATE" as const,
              message: `What differs between the groups${of} comes out as wholly correlated: fewer slopes would say as much.`,
            },
          ]
        : []),
      ...(groups >= 5
        ? []
        : [
            {
              code: "STAT_APPROXIMATE" as const,
              message: `${groups} groups${of} say little of the scatter between groups.`,
              found: String(groups),
            },
          ]),
    ];
  });
}

const notAtRest: Problem = {
  code: "STAT_NOT_SETTLED",
  message: "The search for the scatter between groups did not come to rest, so no numbers can be given.",
  where: { field: "response" },
};

const noRest: Problem = {
  code: "STAT_DEGENERATE",
  message: "Nothing is left to scatter once the model is fitted, so no variances can be given.",
  where: { field: "response" },
};
