import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { pool, samePopulation, studentTQuantile, summary } from "../../stats/mod.ts";
import { judgePull } from "../judge-pull.ts";
import type { PooledSeries, PooledSource } from "../outside-types.ts";
import type { JudgedPull, SeriesToPool } from "../types.ts";
import { listed } from "../words.ts";
import { common, levelsText, pullsAt, type StrongPull } from "./against.ts";

/**
 * This series and others together, by random effects on strength / (legs × rated strength): one pool for each set of levels
 * that the others name. Left out with the reason: another construction, a rated strength of another kind (mean against
 * minimum, spliced against unspliced ends), a figure that cannot be brought to that basis. Where the pulls themselves are
 * at hand, Anderson and Darling's test says whether they may be thrown together as one sample.
 */
export function poolSeries(others: readonly SeriesToPool[], judged: readonly JudgedPull[]): PooledSeries[] {
  const groups = new Map<string, SeriesToPool[]>();
  for (const other of others) {
    const key = JSON.stringify(Object.entries(other.levels).sort(([a], [b]) => (a < b ? -1 : 1)));
    groups.set(key, [...(groups.get(key) ?? []), other]);
  }
  return [...groups.values()].map((group) => poolGroup(group, judged));
}

/** A source on its way into the pool, with the values where they are at hand. */
type Entry = Omit<PooledSource, "weight"> & { readonly values?: readonly number[] };

function poolGroup(others: readonly SeriesToPool[], judged: readonly JudgedPull[]): PooledSeries {
  const levels = others[0]?.levels ?? {};
  const own = pullsAt(judged, levels);
  const ownEntry = entryOf("this series", "this series", "", own);
  const leftOut: { name: string; why: string }[] = [];
  const entries: Entry[] = [];
  for (const other of others) {
    const entry = otherEntry(other, own);
    if (entry.ok) entries.push(entry.value);
    else leftOut.push({ name: other.name, why: whyText(entry.problems) });
  }
  const about = { about: levelsText(levels), levels, leftOut, pulls: own.map(({ pullId }) => pullId) };
  const all = ownEntry.ok ? [ownEntry.value, ...entries] : entries;
  const raw = all.flatMap(({ values }) => (values === undefined ? [] : [values]));
  const alike = raw.length < 2 ? refuse(noRaw(raw.length)) : samePopulation({ groups: raw });
  const together = ownEntry.ok ? pooledOf(all) : ownEntry;
  return {
    ...about,
    sources: all.map(({ values: _, ...source }, i) => ({
      ...source,
      ...(together.ok && { weight: together.value.weights[i] ?? 0 }),
    })),
    pooled: together.ok ? ok(together.value.pooled, together.warnings) : together,
    samePopulation: alike.ok
      ? ok({ p: alike.value.p, statistic: alike.value.statisticMidrank, groups: raw.length }, alike.warnings)
      : alike,
    warnings: [...mixedCells(own, levels), ...(together.ok ? together.warnings : [])],
  };
}

function pooledOf(all: readonly Entry[]) {
  if (all.length < 2)
    return refuse({
      code: "STAT_TOO_FEW",
      message: "Pooling needs this series and another that may be pooled with it.",
      found: String(all.length),
      expected: "2 or more",
    });
  const found = pool({
    estimates: all.map(({ mean }) => mean.value),
    standardErrors: all.map(({ standardError }) => standardError),
  });
  if (!found.ok) return found;
  const { reml, nextSource, heterogeneity } = found.value;
  const weights = all.map(({ standardError }) => 1 / (standardError ** 2 + reml.tau2));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return ok(
    {
      weights: weights.map((weight) => weight / total),
      pooled: {
        mean: {
          value: reml.mean,
          // Sources that agree to the digit would leave the Hartung-Knapp interval without width.
          interval: reml.hartungKnapp.standardError > 0 ? reml.hartungKnapp.interval : reml.interval,
        },
        nextSeries: nextSource.interval,
        betweenSd: Math.sqrt(reml.tau2),
        i2: heterogeneity.i2,
        p: heterogeneity.p,
      },
    },
    found.warnings,
  );
}

function otherEntry(other: SeriesToPool, own: readonly StrongPull[]): Result<Entry> {
  if (other.other !== undefined) {
    const theirs = pullsAt(other.other.pulls.map(judgePull), other.otherLevels);
    const differs = differences(own, traitsOf(theirs));
    return differs ?? entryOf(other.name, "another series of the book", other.source, theirs);
  }
  return differences(own, other) ?? published(other);
}

function published(other: SeriesToPool): Result<Entry> {
  const { n, basis, legs, ratedStrengthN, measuredLineN } = other;
  const [mean, sd] = basis === "force" ? [other.meanN, other.sdN] : [other.meanShare, other.sdShare];
  if (n === undefined || mean === undefined || sd === undefined)
    return refuse(notPooled("its mean, SD and n are not all entered on its basis"));
  const perLegs = {
    "rated, all legs": 1,
    "rated single line": legs === undefined ? undefined : 1 / legs,
    force: legs === undefined || ratedStrengthN === undefined ? undefined : 1 / (legs * ratedStrengthN),
    "measured single line":
      legs === undefined || ratedStrengthN === undefined || measuredLineN === undefined
        ? undefined
        : measuredLineN / (legs * ratedStrengthN),
  }[basis];
  if (perLegs === undefined)
    return refuse(
      notPooled(`its figures are of another basis (${basis}), and what would convert them is not known`),
    );
  const standardError = (sd * perLegs) / Math.sqrt(n);
  const half = studentTQuantile(0.975, n - 1) * standardError;
  const value = mean * perLegs;
  return ok({
    name: other.name,
    of: "published figures",
    n,
    mean: { value, interval: [value - half, value + half] },
    standardError,
    source: other.source,
  });
}

/** The pulls of one source as its row of the forest. */
export function entryOf(
  name: string,
  of: PooledSource["of"],
  source: string,
  pulls: readonly StrongPull[],
): Result<Entry> {
  const values = pulls.flatMap(({ legEfficiency }) => legEfficiency ?? []);
  if (values.length < pulls.length)
    return refuse(notPooled("not every rated strength and number of legs of its pulls is known"));
  const about = summary(values);
  if (!about.ok) return about;
  const { mean, sd, meanInterval } = about.value;
  if (sd === undefined || meanInterval === undefined || !(sd > 0))
    return refuse(notPooled(`its pulls (n = ${values.length}) say nothing of their scatter`));
  return ok({
    name,
    of,
    n: values.length,
    mean: { value: mean, interval: meanInterval },
    standardError: sd / Math.sqrt(values.length),
    source,
    values,
  });
}

type Traits = {
  readonly construction?: string | undefined;
  readonly ratedStrengthBasis?: string | undefined;
  readonly ratedStrengthEnds?: string | undefined;
};

/** What pulls have in common that must not differ between series that are pooled. */
export function traitsOf(pulls: readonly JudgedPull[]) {
  return {
    construction: common(pulls, ({ construction }) => construction),
    ratedStrengthBasis: common(pulls, ({ ratedStrengthBasis }) => ratedStrengthBasis),
    ratedStrengthEnds: common(pulls, ({ ratedStrengthEnds }) => ratedStrengthEnds),
  };
}

/** The first thing in which the two are no samples of one thing; nothing where none is known. */
function differences(own: readonly StrongPull[], theirs: Traits): Result<never> | undefined {
  const ours = traitsOf(own);
  const words = {
    construction: "construction",
    ratedStrengthBasis: "basis of the rated strength",
    ratedStrengthEnds: "ends of the rated strength",
  };
  for (const trait of ["construction", "ratedStrengthBasis", "ratedStrengthEnds"] as const) {
    const [a, b] = [ours[trait], theirs[trait]];
    const stated = (word: string | undefined) => word !== undefined && word !== "not stated" && word !== "";
    if (stated(a) && stated(b) && a !== b)
      return refuse(notPooled(`its ${words[trait]} is another (${b}, here ${a})`));
  }
  return undefined;
}

function mixedCells(own: readonly StrongPull[], levels: Readonly<Record<string, unknown>>): Warning[] {
  const open = [...new Set(own.flatMap((pull) => Object.keys(pull.levels)))].filter(
    (name) => !Object.hasOwn(levels, name) && new Set(own.map((pull) => String(pull.levels[name]))).size > 1,
  );
  if (open.length === 0) return [];
  return [
    {
      code: "FINDING_CELLS_POOLED",
      message: `Here the levels of ${listed(open)} are counted together; the scatter holds the difference between them.`,
      wayOut: "Name the levels with which the others are pooled.",
    },
  ];
}

function whyText(problems: readonly Problem[]): string {
  return problems.map(({ message }) => message).join(" ");
}

function notPooled(why: string): Problem {
  return { code: "FINDING_NOT_POOLED", message: `It is not pooled: ${why}.` };
}

function noRaw(groups: number): Problem {
  return {
    code: "STAT_TOO_FEW",
    message: "Whether pulls may be thrown together is asked of the pulls themselves, of two series or more.",
    found: `${groups} with pulls at hand`,
    expected: "2 or more",
  };
}
