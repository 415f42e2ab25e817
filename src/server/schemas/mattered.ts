import { z } from "zod";
import { recordKinds } from "../../app/mod.ts";
import { problemSchema, resultOf } from "./common.ts";

const interval = z.tuple([z.number(), z.number()]);
const estimate = z
  .object({ value: z.number(), interval })
  .meta({ id: "Estimate", description: "A value with its 95 % interval." });
const ids = z.array(z.string());
const levels = z.record(z.string(), z.union([z.number(), z.string()]));
const comparedBy = z.enum(["strength", "leg efficiency"]);

const significance = z
  .object({
    by: z.enum(["permutation", "F law", "mixed model"]),
    p: z.number(),
    pOfAll: z
      .number()
      .meta({ description: "With the other questions asked of the series counted in, by Holm" }),
    exact: z.boolean().exactOptional(),
    arrangements: z.int().exactOptional(),
  })
  .meta({ id: "Significance" });

const factorEffect = z.object({
  factor: z.string(),
  by: comparedBy,
  n: z.int(),
  pulls: ids,
  levels: z.array(
    z.object({
      label: z.string(),
      n: z.int(),
      mean: z.number().meta({ description: "Newtons, or a fraction for a leg efficiency" }),
    }),
  ),
  pairs: z.array(
    z.object({
      from: z.string(),
      to: z.string(),
      difference: estimate,
      relative: estimate,
      p: z.number(),
      wouldSee: z.number().meta({
        description: "The least true relative difference that such pulls would show with a chance of 80 %",
      }),
    }),
  ),
  blockedBy: z.array(z.string()),
  randomParts: z.array(z.string()),
  significance,
  warnings: z.array(problemSchema),
});

const interaction = z.object({
  factors: z.tuple([z.string(), z.string()]),
  n: z.int(),
  pulls: ids,
  f: z.number(),
  df: interval,
  significance,
  relative: estimate.exactOptional(),
});

const orderTrend = z.object({
  n: z.int(),
  pulls: ids,
  perTenPulls: estimate,
  significance,
  wouldSee: z.number(),
});

const scatterParts = z.object({
  by: comparedBy,
  n: z.int(),
  pulls: ids,
  without: z.array(z.string()),
  parts: z.array(
    z.object({
      name: z.string(),
      groups: z.int().exactOptional(),
      sd: z.number().meta({ description: "Relative to the strength, a fraction" }),
      share: z.number().meta({ description: "Of the variance" }),
      interval: resultOf(interval),
    }),
  ),
  warnings: z.array(problemSchema),
});

const failurePlaces = z.object({
  factor: z.string(),
  places: z.array(z.string()),
  rows: z.array(
    z.object({
      label: z.string(),
      n: z.int(),
      counts: z.array(z.object({ place: z.string(), count: z.int(), share: estimate })),
    }),
  ),
  pulls: ids,
  test: resultOf(z.object({ p: z.number(), exact: z.boolean(), tables: z.int() })),
});

const rateEffect = z.object({
  n: z.int(),
  pulls: ids,
  perTenfold: estimate,
  significance,
  wouldSee: z.number(),
  ratesNPerS: interval,
  warnings: z.array(problemSchema),
});

const settling = z.object({
  n: z.int(),
  pulls: ids,
  mean: estimate,
  nextPull: interval,
  bySize: z.array(z.object({ diameterMm: z.number(), n: z.int(), mean: estimate })),
  perTenfoldForce: resultOf(estimate),
  perTenfoldDiameter: resultOf(estimate),
});

/** What a series shows of causes. */
export const matteredSchema = z.object({
  effects: z.array(z.object({ factor: z.string(), effect: resultOf(factorEffect) })),
  interactions: z.array(interaction),
  orderTrend: resultOf(orderTrend),
  scatterParts: resultOf(scatterParts),
  failurePlaces: z.array(failurePlaces),
  rateEffect: resultOf(rateEffect),
  settling: resultOf(settling),
});

/** A published figure set against the pulls. */
export const judgedClaimSchema = z.object({
  claimId: z.string(),
  statement: z.string(),
  source: z.string(),
  kind: recordKinds.claim.shape.kind.unwrap(),
  basis: recordKinds.claim.shape.basis,
  against: z.string(),
  n: z.int(),
  pulls: ids,
  judged: resultOf(
    z.object({
      verdict: z.enum(["supported", "contradicted", "undecided"]),
      meaning: z.string(),
      claimed: z
        .number()
        .meta({ description: "Newtons where the basis is a force, else a fraction of the basis" }),
      mean: estimate,
      p: z.number().exactOptional(),
      equivalenceP: z.number().exactOptional(),
      shareAbove: estimate.exactOptional(),
      countBelow: z.int().exactOptional(),
      onLegs: z
        .object({ claimed: z.number(), mean: estimate })
        .exactOptional()
        .meta({ description: "Both brought to strength / (legs x rated strength), where it can be" }),
    }),
  ),
  warnings: z.array(problemSchema),
});

/** Several series together. */
export const pooledSchema = z.object({
  about: z.string(),
  levels,
  sources: z.array(
    z.object({
      name: z.string(),
      of: z.enum(["this series", "another series of the book", "published figures"]),
      n: z.int(),
      mean: estimate,
      standardError: z.number(),
      weight: z.number().exactOptional(),
      source: z.string(),
    }),
  ),
  leftOut: z.array(z.object({ name: z.string(), why: z.string() })),
  pooled: resultOf(
    z.object({
      mean: estimate,
      nextSeries: interval.meta({ description: "Where the true mean of the next bench would lie" }),
      betweenSd: z.number(),
      i2: z.number(),
      p: z.number(),
    }),
  ),
  samePopulation: resultOf(z.object({ p: z.number(), statistic: z.number(), groups: z.int() })),
  pulls: ids,
  warnings: z.array(problemSchema),
});
