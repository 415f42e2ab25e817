import { ok, type Result, refuse, type Warning } from "../../problem/mod.ts";
import type { Factor } from "../../series/mod.ts";
import { type BlockedEffects, blockedEffects } from "../../stats/mod.ts";
import type { FactorEffect, LevelDifference, Significance } from "../effect-types.ts";
import { counted, listed } from "../words.ts";
import type { Compared, ComparedPull } from "./compared.ts";
import { crossed, groupsOf, type KindName, kindNames, levelLabel, liesWithin } from "./kinds.ts";
import { mixedEffects } from "./mixed-effects.ts";

/** Fewer arrangements than this cannot speak at 5 %. */
const leastArrangements = 20;

/**
 * What one factor of the plan did to the strengths, with the other factors kept apart as blocks.
 *
 * Rope, spool and maker are kept apart too where most pulls stand beside another level in the same group. A kind that
 * cannot be (each spool met one level only) stands as a random part of a mixed model, and where each level has a group of
 * its own a warning says that the two cannot be told apart. Relative effects are ratios of geometric means: the fit runs
 * on logarithms, since strengths scatter in proportion; absolute ones come from the same fit of the values.
 * p: by permutation within blocks, where these allow 20 arrangements or more; otherwise by the F law; in the mixed model by
 * Student's t with Satterthwaite's degrees of freedom.
 */
export function factorEffect(factor: Factor, factors: readonly Factor[], of: Compared): Result<FactorEffect> {
  const pulls = of.pulls.filter((pull) => factors.every(({ name }) => Object.hasOwn(pull.levels, name)));
  const labels = pulls.map((pull) => levelLabel(factor, pull.levels[factor.name] ?? ""));
  const order = factor.levels.map((level) => levelLabel(factor, level));
  const others = factors.filter(({ name }) => name !== factor.name);
  const base = others.map((other) => pulls.map((pull) => String(pull.levels[other.name])));
  const varied = others.filter((_, i) => new Set(base[i]).size > 1).map(({ name }) => name);
  const { kept, loose } = sortKinds(pulls, labels, base);
  const sortings = [...base, ...kept.map(({ groups }) => groups)];
  const blocks = crossed(pulls.length, sortings);
  const about = { labels, order, blocks, pulls };
  const confounded = loose.filter(({ groups }) => liesWithin(labels, groups));
  const random = loose.filter((kind) => !confounded.includes(kind));
  const mixed =
    random.length > 0
      ? mixedEffects(
          about,
          crossed(
            pulls.length,
            random.map(({ groups }) => groups),
          ),
        )
      : undefined;
  const shared = {
    factor: factor.name,
    by: of.by,
    n: pulls.length,
    pulls: pulls.map(({ pullId }) => pullId),
  };
  if (mixed?.ok)
    return ok({
      ...shared,
      levels: levelsShown(about),
      ...mixed.value,
      blockedBy: [...varied, ...kept.map(({ kind }) => kind)],
      randomParts: random.map(({ kind }) => kind),
      warnings: [...mixed.warnings, ...sameAs(confounded, factor.name)],
    });
  const relative = blockedEffects({
    values: pulls.map(({ value }) => Math.log(value)),
    levels: labels,
    blocks,
    order,
  });
  if (!relative.ok) return relative;
  const absolute = blockedEffects({
    values: pulls.map(({ value }) => value),
    levels: labels,
    blocks,
    order,
    resamples: 1,
  });
  if (!absolute.ok) return absolute;
  return ok({
    ...shared,
    levels: levelsShown(about),
    pairs: pairsOf(relative.value, absolute.value),
    blockedBy: [...varied, ...kept.map(({ kind }) => kind)],
    randomParts: [],
    significance: significanceOf(relative.value),
    warnings: [...sameAs(confounded, factor.name), ...unaccounted(random, factor.name)],
  });
}

type Kind = { readonly kind: KindName; readonly groups: readonly string[] };

/** Which kinds can be kept apart as blocks, and which cannot. */
function sortKinds(pulls: readonly ComparedPull[], labels: readonly string[], base: readonly string[][]) {
  const kept: Kind[] = [];
  const loose: Kind[] = [];
  for (const kind of kindNames) {
    const groups = groupsOf(kind, pulls);
    const before = [...base, ...kept.map((one) => one.groups)];
    // A kind that the blocks fix already adds nothing.
    if (groups === undefined || liesWithin(crossed(pulls.length, before), groups)) continue;
    // A rope that is what the factor varies (its size) is no nuisance beside it.
    if (kind === "rope" && liesWithin(groups, labels) && liesWithin(labels, groups)) continue;
    const blocks = crossed(pulls.length, [...before, groups]);
    const meeting = blocks.filter((block) =>
      labels.some((label, i) => blocks[i] === block && label !== labels[blocks.indexOf(block)]),
    ).length;
    (meeting >= (2 / 3) * pulls.length ? kept : loose).push({ kind, groups });
  }
  return { kept, loose };
}

function pairsOf(relative: BlockedEffects, absolute: BlockedEffects): LevelDifference[] {
  return relative.pairs.map((pair, i) => {
    const plain = absolute.pairs[i] ?? pair; // both fits have the same levels in the same order
    return {
      from: pair.from,
      to: pair.to,
      difference: { value: plain.difference, interval: plain.interval },
      relative: {
        value: Math.expm1(pair.difference),
        interval: [Math.expm1(pair.interval[0]), Math.expm1(pair.interval[1])],
      },
      p: pair.p,
      wouldSee: Math.expm1(pair.wouldSee),
    };
  });
}

function significanceOf({ p, permutation }: BlockedEffects): Significance {
  return permutation.splits < leastArrangements
    ? { by: "F law", p, pOfAll: p }
    : {
        by: "permutation",
        p: permutation.p,
        pOfAll: permutation.p,
        exact: permutation.exact,
        arrangements: permutation.splits,
      };
}

function levelsShown(about: {
  labels: readonly string[];
  order: readonly string[];
  pulls: readonly ComparedPull[];
}) {
  return [...new Set([...about.order, ...about.labels])].flatMap((label) => {
    const values = about.pulls.filter((_, i) => about.labels[i] === label).map(({ value }) => value);
    if (values.length === 0) return [];
    return [{ label, n: values.length, mean: values.reduce((sum, value) => sum + value, 0) / values.length }];
  });
}

function sameAs(kinds: readonly Kind[], factor: string): Warning[] {
  if (kinds.length === 0) return [];
  const names = listed(kinds.map(({ kind }) => kind));
  return [
    {
      code: "FINDING_CONFOUNDED",
      message: `Each level of ${factor} had a ${names} of its own: what is put down to ${factor} may as well be the ${names}.`,
      wayOut: `Pull several levels of ${factor} from one ${names}.`,
    },
  ];
}

function unaccounted(kinds: readonly Kind[], factor: string): Warning[] {
  return kinds.map(({ kind, groups }) => ({
    code: "FINDING_CONFOUNDED",
    message: `${counted(new Set(groups).size, kind)} lie so among the levels of ${factor} that their scatter could not be parted from it: the interval leaves it out.`,
  }));
}

/** Refused for every factor alike, with one reason. */
export function refusedEffects(factors: readonly Factor[], why: Result<unknown>) {
  return why.ok
    ? []
    : factors.map(({ name }) => ({
        factor: name,
        effect: { ok: false as const, problems: why.problems } satisfies Result<FactorEffect>,
      }));
}

/** The questions asked of one series, each p made larger for the others, by Holm. Source: S. Holm, Scand. J. Statist. 6 (1979), 65-70. */
export function holm(ps: readonly number[]): number[] {
  const order = ps.map((p, i) => ({ p, i })).sort((a, b) => a.p - b.p);
  const out = [...ps];
  let least = 0;
  for (const [place, { p, i }] of order.entries()) {
    least = Math.max(least, Math.min(1, p * (ps.length - place)));
    out[i] = least;
  }
  return out;
}

/** For a factor with one level among the pulls. */
export function oneLevelOnly(factor: string): Result<never> {
  return refuse({
    code: "STAT_TOO_FEW",
    message: `Only one level of ${factor} has pulls that count, so nothing can be said of what it does.`,
    found: "1 level",
    expected: "2 or more",
  });
}
