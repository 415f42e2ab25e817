import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { broke, type Sample, slipped, stopped } from "./fitter.ts";
import { growths, type SlipOrBreakInput, type SlipOrBreakPull } from "./types.ts";

/** What the calculation takes: more pulls than any bench gives, few enough to refit thousands of times. */
export const mostPulls = 2000;
export const mostCovariates = 4;
export const mostPlacesAt = 40;
export const fewestRefits = 200;
export const mostRefits = 20_000;

export type Asked = Required<Omit<SlipOrBreakInput, "covariates">> & {
  readonly sample: Sample;
  readonly shortest: number;
  readonly range: number;
  readonly slipNames: readonly string[];
  readonly breakNames: readonly string[];
  /** What one unit of the sample's covariates is in their own. */
  readonly slipUnits: readonly number[];
  readonly breakUnits: readonly number[];
  /** And the means about which they stand. */
  readonly slipMeans: readonly number[];
  readonly breakMeans: readonly number[];
};

/** Checks the input and makes of it what the fit works on. */
export function readInput(input: SlipOrBreakInput): Result<Asked> {
  const [first, ...more] = problemsOf(input);
  if (first !== undefined) return refuse(first, ...more);
  const {
    pulls,
    growth = "auto",
    chance = 0.05,
    confidence = 0.95,
    refits = 2000,
    seed = 1,
    at = [],
  } = input;
  const buries = pulls.map(({ buryDiameters }) => buryDiameters);
  const shortest = Math.min(...buries);
  const range = Math.max(...buries) - shortest;
  const names = Object.keys(pulls[0]?.covariates ?? {}).sort();
  const moved = (name: string) => input.covariates?.[name] ?? "both";
  const slipNames = names.filter((name) => moved(name) !== "break");
  const breakNames = names.filter((name) => moved(name) !== "slip");
  const columns = new Map(names.map((name) => [name, columnOf(pulls, name)]));
  const taken = (list: readonly string[]) => list.map((name) => columns.get(name) as Column);
  return ok({
    pulls,
    growth,
    chance,
    confidence,
    refits,
    seed,
    at,
    shortest,
    range,
    slipNames,
    breakNames,
    sample: {
      n: pulls.length,
      t: Float64Array.from(buries, (bury) => (range === 0 ? 0 : (bury - shortest) / range)),
      y: Float64Array.from(pulls, ({ strength }) => Math.log(strength)),
      kind: Uint8Array.from(pulls, ({ outcome }) => kinds[outcome]),
      slipBy: taken(slipNames).map(({ values }) => values),
      breakBy: taken(breakNames).map(({ values }) => values),
    },
    slipUnits: taken(slipNames).map(({ unit }) => unit),
    breakUnits: taken(breakNames).map(({ unit }) => unit),
    slipMeans: taken(slipNames).map(({ mean }) => mean),
    breakMeans: taken(breakNames).map(({ mean }) => mean),
  });
}

type Column = { readonly values: Float64Array; readonly unit: number; readonly mean: number };

/** A covariate about its mean, in units of its farthest value from there. */
function columnOf(pulls: readonly SlipOrBreakPull[], name: string): Column {
  const given = pulls.map(({ covariates = {} }) => covariates[name] as number);
  const mean = given.reduce((sum, value) => sum + value, 0) / given.length;
  const unit = given.reduce((most, value) => Math.max(most, Math.abs(value - mean)), 0);
  return { values: Float64Array.from(given, (value) => (value - mean) / unit), unit, mean };
}

const kinds: Readonly<Record<SlipOrBreakPull["outcome"], number>> = { broke, slipped, stopped };

function problemsOf(input: SlipOrBreakInput): Problem[] {
  const { pulls, growth = "auto", chance = 0.05, confidence = 0.95, refits = 2000, seed = 1 } = input;
  if (pulls.length === 0)
    return [
      {
        code: "STAT_TOO_FEW",
        message: "Slip or break needs pulls, has none.",
        where: { field: "pulls" },
        found: "0",
        expected: "1 or more",
      },
    ];
  return [
    ...within(pulls.length, 1, mostPulls, "pulls", "The number of pulls"),
    ...pulls.slice(0, mostPulls).flatMap(problemsOfPull).slice(0, 20),
    ...(growth === "auto" || growths.includes(growth)
      ? []
      : [
          {
            code: "INPUT_UNKNOWN" as const,
            message: "There is no such law of growth.",
            where: { field: "growth" },
            found: String(growth),
            expected: `one of ${growths.join(", ")}, auto`,
          },
        ]),
    ...within(chance, 0.001, 0.5, "chance", "The chance of slipping first"),
    ...within(confidence, 0.5, 0.99, "confidence", "The confidence"),
    ...whole(refits, fewestRefits, mostRefits, "refits", "The number of refits"),
    ...whole(seed, 0, 2 ** 32 - 1, "seed", "The seed"),
    ...problemsOfSpread(pulls),
    ...problemsOfCovariates(input),
    ...problemsOfPlaces(input),
  ];
}

function problemsOfPull({ buryDiameters, strength }: SlipOrBreakPull, index: number): Problem[] {
  return [
    ...within(buryDiameters, 0, 10_000, `pulls[${index}].buryDiameters`, "A bury in diameters"),
    ...within(strength, 1e-9, 1e9, `pulls[${index}].strength`, "A strength"),
  ];
}

/** Strengths of one basis lie within a few times of each other; a thousandfold is a slip of the unit. */
function problemsOfSpread(pulls: readonly SlipOrBreakPull[]): Problem[] {
  const strengths = pulls.map(({ strength }) => strength);
  const low = strengths.reduce((a, b) => Math.min(a, b));
  const high = strengths.reduce((a, b) => Math.max(a, b));
  if (!(low > 0) || high / low <= 1000) return [];
  return [
    {
      code: "STAT_VALUE",
      message: "The strengths differ more than a thousandfold: they cannot all be in one unit.",
      where: { field: "pulls" },
      found: `from ${low} to ${high}`,
      expected: "strengths in one unit and on one basis",
    },
  ];
}

function problemsOfCovariates({ pulls, covariates = {} }: SlipOrBreakInput): Problem[] {
  const names = Object.keys(pulls[0]?.covariates ?? {}).sort();
  if (names.length > mostCovariates)
    return within(names.length, 0, mostCovariates, "pulls[0].covariates", "The number of covariates");
  const key = names.join("\n");
  const odd = pulls.findIndex(
    (pull) =>
      Object.keys(pull.covariates ?? {})
        .sort()
        .join("\n") !== key,
  );
  if (odd >= 0)
    return [
      {
        code: "INPUT_FIELD",
        message: "Every pull needs the same covariates as the first.",
        where: { field: `pulls[${odd}].covariates` },
        found: Object.keys(pulls[odd]?.covariates ?? {}).join(", "),
        expected: names.join(", "),
      },
    ];
  const unknown = Object.keys(covariates).find((name) => !names.includes(name));
  if (unknown !== undefined)
    return [
      {
        code: "INPUT_UNKNOWN",
        message: `No pull has a covariate "${unknown}".`,
        where: { field: "covariates" },
        found: unknown,
        expected: names.length === 0 ? "none" : `one of ${names.join(", ")}`,
      },
    ];
  return names.flatMap((name) => {
    const values = pulls.map((pull) => pull.covariates?.[name] ?? 0);
    const low = values.reduce((a, b) => Math.min(a, b));
    const high = values.reduce((a, b) => Math.max(a, b));
    const wrong = [low, high].flatMap((value) =>
      within(value, -1e6, 1e6, `pulls[].covariates.${name}`, `The covariate ${name}`),
    );
    if (wrong.length > 0) return wrong.slice(0, 1);
    if (high - low > 1e-9 * (1 + Math.abs(high))) return [];
    return [
      {
        code: "STAT_DEGENERATE" as const,
        message: `The covariate ${name} is the same in every pull, so nothing can be said of its effect.`,
        where: { field: "pulls[].covariates" },
        found: String(low),
        expected: "values that differ",
      },
    ];
  });
}

/** The covariates at which the length is wanted: each of them known to the pulls. */
function problemsOfPlaces({ pulls, at = [] }: SlipOrBreakInput): Problem[] {
  const names = Object.keys(pulls[0]?.covariates ?? {});
  return [
    ...within(at.length, 0, mostPlacesAt, "at", "The number of places"),
    ...at.slice(0, mostPlacesAt).flatMap((place, i) =>
      Object.entries(place).flatMap(([name, value]) =>
        names.includes(name)
          ? within(value, -1e6, 1e6, `at[${i}].${name}`, `The covariate ${name}`)
          : [
              {
                code: "INPUT_UNKNOWN" as const,
                message: `No pull has a covariate "${name}".`,
                where: { field: `at[${i}]` },
                found: name,
                expected: names.length === 0 ? "none" : `one of ${names.join(", ")}`,
              },
            ],
      ),
    ),
  ];
}

function within(value: number, low: number, high: number, field: string, what: string): Problem[] {
  if (value >= low && value <= high) return [];
  return [
    {
      code: "STAT_VALUE",
      message: `${what} must lie between ${low} and ${high}.`,
      where: { field },
      found: String(value),
      expected: `a number from ${low} to ${high}`,
    },
  ];
}

function whole(value: number, low: number, high: number, field: string, what: string): Problem[] {
  if (Number.isInteger(value)) return within(value, low, high, field, what);
  return [
    {
      code: "STAT_VALUE",
      message: `${what} must be a whole number.`,
      where: { field },
      found: String(value),
      expected: `a whole number from ${low} to ${high}`,
    },
  ];
}
