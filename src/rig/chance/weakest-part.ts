import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { findRootFrom, normalDensity, normalUpper } from "../../stats/mod.ts";
import { problemsOfAbove } from "../statics/fields.ts";
import { lawOfPulls, lawOfRating, type Rated, type StrengthLaw } from "./strength-law.ts";

/** A kind of connector that was pulled: its parts in the rig share one unknown mean and scatter. */
export type PulledPopulation = {
  readonly name: string;
  /** Strengths at the specimen, in newtons. */
  readonly pullsN: readonly number[];
  /** True where a pull was stopped and so is a lower bound. */
  readonly stopped?: readonly boolean[];
};

/** One part of a rig, with what is known of its strength: a population that was pulled, or a rating. */
export type ChancePart = {
  readonly name: string;
  readonly population?: string;
  readonly ratedN?: number;
  readonly ratingMeans?: Rated["ratingMeans"];
  readonly cv?: number;
  /** Part of the rig's load that it carries: 1 in line with it, 0.5 for one of two equal legs. */
  readonly share?: number;
  /** How many alike carry that, one after the other. */
  readonly count?: number;
};

export type WeakestPart = {
  /** P(at least one part fails at this load). */
  readonly chanceAny: number;
  /** The load at which that chance is the one asked for. */
  readonly loadAtChanceN: number;
  readonly parts: readonly {
    readonly name: string;
    readonly loadN: number;
    /** P(this part, or one of its count, fails at this load). */
    readonly chanceFails: number;
    /** P(it is the first to fail as the load grows until something does). */
    readonly chanceFirst: number;
    /** By how much the load at the chance asked for would rise if this part were a tenth stronger: 0.1 at most. */
    readonly gain: number;
  }[];
};

/** Customary scatter of a part of which no scatter is told: the high end of 3 to 8 %, common practice, no published source. */
export const customaryCv = 0.08;

/**
 * Which part of a rig gives way first, and how likely does any give way at this load?
 *
 * loadN above 0; `chance` (0.001 unless said) the chance for which a load is worked out; parts with their share of the load.
 * Strengths are taken as log-normal and independent between populations; parts of one population share its unknown mean
 * and scatter, so that few pulls weigh on all of them at once: predictive distributions, no plug-in. No chance is drawn: all
 * integrals are sums over a fine net. Refused: a part without strength, fewer than three ended pulls, impossible shares.
 * Formula: P(any) = 1 − Π over populations E[Π Φ((ln load·share − μ)/σ)'s complement]; P(first) = ∫ density × others' survival.
 * Source: the integrals of `lawOfPulls`; weakest link as in W. Weibull (1951).
 *
 * @example
 * const answer = weakestPart({
 *   loadN: 10_000,
 *   populations: [{ name: "loop", pullsN: [30_000, 32_000, 35_000, 31_000] }],
 *   parts: [{ name: "loop", population: "loop" }, { name: "shackle", ratedN: 40_000, ratingMeans: "least" }],
 * });
 * answer.ok && answer.value.parts[0].chanceFirst > 0.5 // true
 */
export function weakestPart(input: {
  readonly loadN: number;
  readonly chance?: number;
  readonly populations?: readonly PulledPopulation[];
  readonly parts: readonly ChancePart[];
}): Result<WeakestPart> {
  const { loadN, chance = 0.001 } = input;
  const prepared = prepare(input);
  if (!prepared.ok) return prepared;
  const { groups, doubts } = prepared.value;
  const chanceAny = anyFails(groups, Math.log(loadN));
  const at = (of: readonly Group[]) =>
    findRootFrom((x) => logit(anyFails(of, x)) - logit(chance), Math.log(loadN), 0.5);
  const loadAt = at(groups);
  const first = firstToFail(groups);
  const parts = input.parts.map((part, i) => {
    const [g, p] = placeOf(groups, i);
    const group = groups[g] as Group;
    const alone: Group = { ...group, parts: [group.parts[p] as GroupPart] };
    return {
      name: part.name,
      loadN: loadN * (part.share ?? 1),
      chanceFails: anyFails([alone], Math.log(loadN)),
      chanceFirst: first[i] ?? 0,
      gain: Math.expm1(at(strengthened(groups, i)) - loadAt),
    };
  });
  return ok({ chanceAny, loadAtChanceN: Math.exp(loadAt), parts }, doubts);
}

type GroupPart = {
  readonly index: number;
  /** Added to the logarithm of the rig's load. */
  readonly logShare: number;
  readonly count: number;
};
type Group = { readonly law: StrengthLaw; readonly parts: readonly GroupPart[] };

/** A part alone in its population needs no net over the mean that others would share. */
const lawOf = ({ law, parts }: Group): StrengthLaw =>
  parts.length === 1 && parts[0]?.count === 1 ? (law.ofOne ?? law) : law;

const logit = (p: number) => Math.log(p / (1 - p));

/** P(no part of the group fails) at a rig's load, and the density of each part's failing first within the group. */
function survival(group: Group, x: number, densities?: Float64Array): number {
  const { parts } = group;
  const { meanLog, sdLog, weight } = lawOf(group);
  let survives = 0;
  densities?.fill(0);
  for (let j = 0; j < weight.length; j++) {
    const sd = sdLog[j] as number;
    let together = weight[j] as number;
    for (const { logShare, count } of parts)
      together *= normalUpper((x + logShare - (meanLog[j] as number)) / sd) ** count;
    survives += together;
    if (densities === undefined || together === 0) continue;
    for (let p = 0; p < parts.length; p++) {
      const { logShare, count } = parts[p] as GroupPart;
      const z = (x + logShare - (meanLog[j] as number)) / sd;
      densities[p] = (densities[p] as number) + (together * count * normalDensity(z)) / (sd * normalUpper(z));
    }
  }
  return survives;
}

function anyFails(groups: readonly Group[], x: number): number {
  // Small chances keep their digits: P(fails) of each group is summed as such, not as 1 less a number near 1.
  let log = 0;
  for (const group of groups) log += Math.log1p(-failure(group, x));
  return -Math.expm1(log);
}

function failure(group: Group, x: number): number {
  const { parts } = group;
  const law = lawOf(group);
  let fails = 0;
  for (let j = 0; j < law.weight.length; j++) {
    let log = 0;
    for (const { logShare, count } of parts) {
      const below = normalUpper(((law.meanLog[j] as number) - x - logShare) / (law.sdLog[j] as number));
      log += count * (below < 1 ? Math.log1p(-below) : Number.NEGATIVE_INFINITY);
    }
    fails -= (law.weight[j] as number) * Math.expm1(log);
  }
  return Math.min(fails, 1);
}

/** P(part i is the first to fail) for each part, by the trapezium rule over the load's logarithm, stretched in its tails. */
function firstToFail(groups: readonly Group[]): number[] {
  const quantile = (p: number) =>
    findRootFrom((x) => logit(anyFails(groups, x)) - logit(p), startOf(groups), 0.5);
  const [low, middle, high] = [quantile(0.25), quantile(0.5), quantile(0.75)];
  const width = Math.max(high - low, 1e-9);
  const first: number[] = [];
  const densities = groups.map(({ parts }) => new Float64Array(parts.length));
  const step = 0.1;
  for (let t = -7; t <= 7; t += step) {
    const x = middle + width * Math.sinh(t);
    const survive = groups.map((group, g) => survival(group, x, densities[g]));
    for (let g = 0; g < groups.length; g++) {
      let others = width * Math.cosh(t) * step;
      for (let h = 0; h < groups.length; h++) if (h !== g) others *= survive[h] as number;
      if (others === 0) continue;
      for (let p = 0; p < (densities[g] as Float64Array).length; p++) {
        const { index } = (groups[g] as Group).parts[p] as GroupPart;
        first[index] = (first[index] ?? 0) + others * ((densities[g] as Float64Array)[p] as number);
      }
    }
  }
  const sum = first.reduce((total, one) => total + (one ?? 0), 0);
  return first.map((one) => (one ?? 0) / sum);
}

function startOf(groups: readonly Group[]): number {
  const { law, parts } = groups[0] as Group;
  return (law.meanLog[Math.floor(law.meanLog.length / 2)] as number) - (parts[0] as GroupPart).logShare;
}

function placeOf(groups: readonly Group[], index: number): readonly [group: number, part: number] {
  const g = groups.findIndex(({ parts }) => parts.some((part) => part.index === index));
  return [g, (groups[g] as Group).parts.findIndex((part) => part.index === index)];
}

/** The rig with one part a tenth stronger, which is the same as carrying less. */
function strengthened(groups: readonly Group[], index: number): Group[] {
  return groups.map((group) => ({
    ...group,
    parts: group.parts.map((part) =>
      part.index === index ? { ...part, logShare: part.logShare - Math.log(1.1) } : part,
    ),
  }));
}

function prepare(input: Parameters<typeof weakestPart>[0]): Result<{ groups: Group[]; doubts: Warning[] }> {
  const { loadN, chance = 0.001, populations = [], parts } = input;
  const problems: Problem[] = [...problemsOfAbove(loadN, "loadN", "N")];
  const doubts: Warning[] = [];
  if (!(chance > 0 && chance < 0.5))
    problems.push({
      code: "INPUT_FIELD",
      message: "A chance of failing that one would accept is small.",
      where: { field: "chance" },
      found: String(chance),
      expected: "above 0, below 0.5",
    });
  if (parts.length === 0)
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "A rig without parts has no weakest one.",
      where: { field: "parts" },
      found: "no parts",
      expected: "at least one part with its strength",
    });
  const groups: Group[] = [];
  const ofPopulation = new Map<string, GroupPart[]>();
  populations.forEach(({ name, pullsN, stopped }, i) => {
    if (!parts.some((part) => part.population === name)) return;
    if (ofPopulation.has(name)) {
      problems.push({
        code: "INPUT_FIELD",
        message: "Two populations bear the same name, so that no part can tell which is meant.",
        where: { field: `populations[${i}].name` },
        found: name,
        expected: "a name that no other population has",
      });
      return;
    }
    const law = lawOfPulls(pullsN, stopped, `populations[${i}].pullsN`);
    if (!law.ok) {
      problems.push(...law.problems);
      return;
    }
    const own: GroupPart[] = [];
    ofPopulation.set(name, own);
    groups.push({ law: law.value, parts: own });
  });
  parts.forEach((part, index) => {
    problems.push(...problemsOfPart(part, index, populations));
    const { share = 1, count = 1 } = part;
    const entry: GroupPart = { index, logShare: Math.log(share), count };
    if (part.population !== undefined) ofPopulation.get(part.population)?.push(entry);
    else if (part.ratedN !== undefined) {
      const { ratedN, ratingMeans = "least", cv = customaryCv } = part;
      groups.push({ law: lawOfRating({ ratedN, ratingMeans, cv }), parts: [entry] });
      doubts.push(...doubtsOfRating(part, index));
    }
  });
  const [problem, ...others] = problems;
  return problem === undefined ? ok({ groups, doubts }) : refuse(problem, ...others);
}

function problemsOfPart(
  part: ChancePart,
  index: number,
  populations: readonly PulledPopulation[],
): Problem[] {
  const field = (name: string) => `parts[${index}].${name}`;
  const { population, ratedN, cv, share = 1, count = 1 } = part;
  const problems: Problem[] = [];
  if ((population === undefined) === (ratedN === undefined))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: `The part "${part.name}" needs a strength from one source.`,
      where: { field: field("ratedN") },
      found: population === undefined ? "no strength" : "pulls and a rating",
      expected: "a population that was pulled, or a rated strength",
      wayOut:
        "A part whose strength nobody knows cannot be left out of the chain: find its rating, or pull it.",
    });
  if (population !== undefined && !populations.some(({ name }) => name === population))
    problems.push({
      code: "INPUT_UNKNOWN",
      message: `No population "${population}" was given.`,
      where: { field: field("population") },
      found: population,
      expected: populations.map(({ name }) => name).join(", ") || "a population in the list",
    });
  if (ratedN !== undefined) problems.push(...problemsOfAbove(ratedN, field("ratedN"), "N"));
  if (cv !== undefined && !(cv >= 1e-4 && cv < 0.3))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "A scatter is the standard deviation over the mean.",
      where: { field: field("cv") },
      found: String(cv),
      expected: "0.0001 or more, below 0.3",
    });
  if (!(share > 0 && share <= 1000))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "A part carries some of the load.",
      where: { field: field("share") },
      found: String(share),
      expected: "above 0; 1 for a part in line with the load",
    });
  if (!(Number.isInteger(count) && count >= 1 && count <= 10_000))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "Parts are counted in whole numbers.",
      where: { field: field("count") },
      found: String(count),
      expected: "a whole number from 1 to 10000",
    });
  return problems;
}

function doubtsOfRating({ name, ratingMeans = "least", cv }: ChancePart, index: number): Warning[] {
  const doubts: Warning[] = [];
  if (ratingMeans === "least")
    doubts.push({
      code: "RIG_RATING",
      message: `What share of "${name}" may lie below its rating is not said.`,
      where: { field: `parts[${index}].ratingMeans` },
      found: "a least value",
      expected: "a mean, or a mean less three standard deviations",
      wayOut: "It is counted as if the rating were the mean, so its strength errs to the low side.",
    });
  if (cv === undefined)
    doubts.push({
      code: "RIG_RATING",
      message: `How much the strength of "${name}" scatters is not said.`,
      where: { field: `parts[${index}].cv` },
      found: "no scatter",
      expected: "standard deviation over mean",
      wayOut: `${customaryCv * 100} % is taken, the high end of what splices show: common practice, no published source.`,
    });
  return doubts;
}
