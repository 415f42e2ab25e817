import { z } from "zod";
import {
  boundsAtCounts,
  buryAtChance,
  buryError,
  buryFactor,
  type ExpectedScatter,
  expectedScatter,
  growths,
  howMany,
  planBudget,
  planChanges,
  proposeBuries,
  scatterOfCells,
  typedScatter,
} from "../../findings/mod.ts";
import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { type PlannedPull, planPulls } from "../../series/mod.ts";
import { lengthMeasures } from "../../splice/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects, PlannedSpecimen, SeriesPlan } from "../contract.ts";
import type { StoredRecord } from "../records.ts";
import type { StoreWork } from "../store.ts";
import { type AssumedTruth, assumedTruth } from "./assumed-truth.ts";
import { byId, pullToJudge } from "./judge.ts";
import { holdingsOf, type SeriesHoldings } from "./overview.ts";
import { createIn } from "./records.ts";
import { notFound, orTrouble, transact } from "./transact.ts";

const share = z.number().min(0.001).max(0.999);
const seed = z.number().int().min(0).max(4_294_967_295).default(1);
const spoolIds = z.array(z.string().max(100)).max(50).default([]);
const makers = z.array(z.string().trim().min(1).max(200)).max(50).default([]);

/** What is assumed of slipping and breaking where a plan of buries is tried. */
export const buryTruthFields = z.object({
  growth: z.enum(growths).optional(),
  plateau: z.number().optional(),
  turn: z.number().optional(),
  slipBury: z.number().optional(),
  slipStrength: z.number().optional(),
  slipScatter: z.number().optional(),
  breakScatter: z.number().optional(),
});

/** What a plan is asked for with; all of it may be left out. */
export const planFields = z.object({
  /** The difference worth knowing: a share of the mean, or in newtons beside the strength that is expected. */
  difference: share.default(0.1),
  differenceN: z.number().positive().max(1e9).optional(),
  strengthN: z.number().positive().max(1e9).optional(),
  power: z.number().min(0.5).max(0.999).default(0.8),
  /** Scatter within a cell, a share; absent: the book's own, or customary. */
  cv: z.number().min(0.001).max(0.3).optional(),
  truth: buryTruthFields.default({}),
  /** How unlikely slipping first is to be at the bury to state. */
  chance: z.number().min(0.001).max(0.5).default(0.05),
  seed,
  spoolIds,
  makers,
  /** For the rope that it takes. */
  ropeId: z.string().max(100).optional(),
  recipeId: z.string().max(100).optional(),
  lengthMm: z.number().positive().max(1e7).optional(),
  measure: z.enum(lengthMeasures).default("inside"),
  /** Making, pulling and judging one specimen. */
  minutes: z.number().positive().max(100_000).optional(),
});
type PlanAsked = z.infer<typeof planFields>;

/** What the specimens of a plan are made with, all in one go. */
export const makePlannedFields = z.object({
  seed,
  spoolIds,
  makers,
  ropeId: z.string().max(100).optional(),
  recipeId: z.string().max(100).optional(),
  lengthMm: z.number().positive().max(1e7).optional(),
  measure: z.enum(lengthMeasures).default("inside"),
  /** What labels begin with; a number follows, in the order of pulling. */
  prefix: z.string().trim().max(50).default("A"),
});

/** What the plan of a series needs and can tell, before anything is pulled. */
export async function plan(
  { store }: Effects,
  seriesId: string,
  input: unknown = {},
): Promise<Result<SeriesPlan>> {
  const checked = checkInput(planFields, input);
  if (!checked.ok) return checked;
  const asked = checked.value;
  const difference = differenceOf(asked);
  if (!difference.ok) return difference;
  return orTrouble(async () => {
    const series = await store.read.get("series", seriesId);
    if (series === undefined) return refuse(notFound("series", seriesId));
    const rope = await ropeFor(store.read, asked);
    if (!rope.ok) return rope;
    const specimens = await store.read.list("specimen", { seriesId });
    const cells = series.factors.reduce((product, { levels }) => product * levels.length, 1);
    const earlier = await earlierSeries(store.read, series);
    const scatter = asked.cv === undefined ? scatterIn(earlier) : typedScatter(asked.cv);
    const order = orderOf(series, specimens, asked);
    const { boundContent: content, boundConfidence: confidence, pullsPerCell } = series;
    const own = await holdingsOf(store.read, seriesId);
    const bury = buryPart(series, asked, rope.value?.nominalDiameterMm, (levels) =>
      assumedTruth(
        levels,
        asked.truth,
        { value: scatter.cv, typed: asked.cv !== undefined },
        own.ok ? own.value : undefined,
        earlier,
      ),
    );
    const budget = order.ok ? await budgetOf(store.read, series, asked, order.value, rope.value) : undefined;
    const minutes = await minutesFor(store.read, asked);
    return ok({
      seriesId,
      title: series.title,
      factors: series.factors,
      cells,
      pullsPerCell,
      made: specimens.length,
      scatter,
      howMany: howMany({ difference: difference.value, power: asked.power, scatter, cells, pullsPerCell }),
      bounds: {
        content,
        confidence,
        rows: boundsAtCounts({ cv: scatter.cv, content, confidence, planned: pullsPerCell }),
      },
      order,
      changes: planChanges(series.planHistory ?? [], series),
      ...(bury === undefined ? {} : { bury }),
      ...(budget === undefined ? {} : { budget }),
      ...(minutes === undefined || !order.ok
        ? {}
        : { time: { ...minutes, totalMinutes: minutes.minutesEach * order.value.length } }),
    });
  });
}

/**
 * Makes the specimens that the plan still wants, in the drawn order of pulling, with label, spool, maker and place: all of
 * them or none.
 */
export async function makePlanned(
  effects: Effects,
  seriesId: string,
  input: unknown = {},
): Promise<Result<readonly StoredRecord<"specimen">[]>> {
  const checked = checkInput(makePlannedFields, input);
  if (!checked.ok) return checked;
  const asked = checked.value;
  return transact(effects.store, async (book) => {
    const series = await book.get("series", seriesId);
    if (series === undefined) return refuse(notFound("series", seriesId));
    const rope = await ropeFor(book, asked);
    if (!rope.ok) return rope;
    const made = await book.list("specimen", { seriesId });
    const order = orderOf(series, made, asked);
    if (!order.ok) return order;
    if (order.value.length === 0) return refuse(nothingWanted);
    const specimens: StoredRecord<"specimen">[] = [];
    for (const { label, order: plannedOrder, levels, spool, maker } of labelled(
      order.value,
      made,
      asked.prefix,
    )) {
      const { recipeId, lengthMm, measure } = asked;
      const one = await createIn(effects, book, "specimen", {
        seriesId,
        label,
        plannedOrder,
        levels,
        ...(rope.value === undefined ? {} : { ropeId: rope.value.id }),
        ...(spool === undefined ? {} : { spoolId: spool }),
        ...(maker === undefined ? {} : { maker }),
        ...(recipeId === undefined ? {} : { recipeId }),
        ...(lengthMm === undefined ? {} : { wanted: { lengthMm, measure } }),
      });
      if (!one.ok) return one;
      specimens.push(one.value);
    }
    return ok(specimens);
  });
}

type Reading = Parameters<typeof holdingsOf>[0];

function differenceOf({ difference, differenceN, strengthN }: PlanAsked): Result<number> {
  if (differenceN === undefined) return ok(difference);
  if (strengthN === undefined || differenceN >= strengthN)
    return refuse({
      code: "INPUT_FIELD",
      message:
        "A difference as a force needs the strength that is expected beside it, and is less than that.",
      where: { field: "strengthN" },
      found: strengthN === undefined ? "nothing" : `${strengthN} N`,
      expected: `more than ${differenceN} N`,
    });
  return ok(differenceN / strengthN);
}

/** The rope that is named, or the one that all named spools are of. */
async function ropeFor(
  book: Pick<StoreWork, "get">,
  { ropeId, spoolIds: ids }: { readonly ropeId?: string | undefined; readonly spoolIds: readonly string[] },
): Promise<Result<StoredRecord<"rope"> | undefined>> {
  const ropes = new Set<string>(ropeId === undefined ? [] : [ropeId]);
  for (const [at, id] of ids.entries()) {
    const spool = await book.get("spool", id);
    if (spool === undefined) return refuse({ ...notFound("spool", id), where: { field: `spoolIds[${at}]` } });
    ropes.add(spool.ropeId);
  }
  const [first, second] = ropes;
  if (second !== undefined)
    return refuse({
      code: "INPUT_FIELD",
      message: "The spools are of different ropes: a plan takes its specimens from spools of one.",
      where: { field: "spoolIds" },
      found: `${ropes.size} ropes`,
      expected: "spools of one rope",
      wayOut: "Where the rope is what is varied, leave the spools out and enter them on the specimens.",
    });
  if (first === undefined) return ok(undefined);
  const rope = await book.get("rope", first);
  return rope === undefined ? refuse({ ...notFound("rope", first), where: { field: "ropeId" } }) : ok(rope);
}

/** The other series of the book; simulated ones count for simulated ones only. */
async function earlierSeries(book: Reading, series: StoredRecord<"series">): Promise<SeriesHoldings[]> {
  const found: SeriesHoldings[] = [];
  for (const { id, simulated } of await book.list("series")) {
    if (id === series.id || simulated !== series.simulated) continue;
    const held = await holdingsOf(book, id);
    if (held.ok) found.push(held.value);
  }
  return found;
}

/** Their scatter within cells, pooled. */
function scatterIn(earlier: readonly SeriesHoldings[]): ExpectedScatter {
  return expectedScatter(
    earlier.flatMap((held) => {
      const pulls = held.pulls.map((pull) => pullToJudge(pull, held));
      return scatterOfCells(held.series.id, held.series.factors, pulls);
    }),
  );
}

/** The pulls that the plan still wants: of each cell those of its first rounds are left out for which specimens exist. */
function orderOf(
  series: StoredRecord<"series">,
  specimens: readonly StoredRecord<"specimen">[],
  { seed: drawn, spoolIds: spools, makers: hands }: Pick<PlanAsked, "seed" | "spoolIds" | "makers">,
): Result<readonly PlannedPull[]> {
  const planned = planPulls({
    factors: series.factors,
    pullsPerCell: series.pullsPerCell,
    spools,
    makers: hands,
    seed: drawn,
  });
  if (!planned.ok) return planned;
  const cellOf = (levels: PlannedPull["levels"]) =>
    JSON.stringify(series.factors.map(({ name }) => levels[name]));
  const made = new Map<string, number>();
  for (const { levels } of specimens) made.set(cellOf(levels), (made.get(cellOf(levels)) ?? 0) + 1);
  const before = Math.max(0, ...specimens.map(({ plannedOrder }) => plannedOrder ?? 0));
  const wanted = planned.value.filter(({ levels }) => {
    const left = made.get(cellOf(levels)) ?? 0;
    made.set(cellOf(levels), left - 1);
    return left <= 0;
  });
  return ok(wanted.map((one, at) => ({ ...one, order: before + at + 1 })));
}

/** Labels in the order of pulling, each free in the series. */
function labelled(
  order: readonly PlannedPull[],
  specimens: readonly StoredRecord<"specimen">[],
  prefix: string,
): PlannedSpecimen[] {
  const numbers = specimens.flatMap(({ label }) => {
    const number = label.startsWith(prefix) ? label.slice(prefix.length) : "";
    return /^\d{1,9}$/.test(number) ? [Number(number)] : [];
  });
  const before = Math.max(0, ...numbers);
  return order.map((one, at) => ({ ...one, label: `${prefix}${before + at + 1}` }));
}

const nothingWanted: Problem = {
  code: "INPUT_FIELD",
  message: "The plan wants no more specimens: each cell has as many as it asks for.",
  where: { field: "pullsPerCell" },
  wayOut: "Ask for more pulls in each cell, or add specimens one by one.",
};

function buryPart(
  series: StoredRecord<"series">,
  { chance }: PlanAsked,
  nominalDiameterMm: number | undefined,
  assumed: (levels: readonly number[]) => AssumedTruth,
): SeriesPlan["bury"] {
  const factor = buryFactor(series.factors, nominalDiameterMm);
  if (factor === undefined) return undefined;
  const { truth, says } = assumed(factor.levels);
  const pullsPerLevel = Math.max(series.pullsPerCell, 1);
  const proposed = proposeBuries({ truth, count: factor.levels.length, pullsPerLevel, chance });
  return {
    ...factor,
    pullsPerLevel,
    chance,
    truth,
    truthSays: says,
    proposed,
    ...(proposed.ok
      ? {
          trueBury: buryAtChance(truth, chance),
          standardError: finite(buryError(truth, factor.levels, pullsPerLevel, chance)),
        }
      : {}),
  };
}

function finite(value: number): Result<number> {
  return Number.isFinite(value)
    ? ok(value)
    : refuse({
        code: "STAT_DEGENERATE",
        message: "At these buries pulls would not place the bury at all.",
        wayOut: "Take levels on either side of the turn, at least three of them.",
      });
}

async function budgetOf(
  book: Pick<StoreWork, "get" | "list">,
  series: StoredRecord<"series">,
  { recipeId, lengthMm, measure, spoolIds: ids }: PlanAsked,
  order: readonly PlannedPull[],
  rope: StoredRecord<"rope"> | undefined,
): Promise<SeriesPlan["budget"]> {
  if (rope === undefined || recipeId === undefined || lengthMm === undefined) return undefined;
  const recipe = await book.get("recipe", recipeId);
  if (recipe === undefined) return refuse({ ...notFound("recipe", recipeId), where: { field: "recipeId" } });
  const factor = buryFactor(series.factors, rope.nominalDiameterMm);
  const bury = series.factors.find(({ name }) => name === factor?.name);
  const spools = await book.list("spool");
  return planBudget({
    specimens: order,
    rope,
    recipe,
    lengthMm,
    state: { measure },
    ...(bury === undefined ? {} : { bury }),
    spools: ids.flatMap((id) => {
      const spool = byId(spools, id);
      return spool === undefined ? [] : [{ name: id, pricePerM: spool.pricePerM, currency: spool.currency }];
    }),
  });
}

/** As typed; otherwise the middle one of the book's own making times. */
async function minutesFor(
  book: Pick<StoreWork, "list">,
  { minutes }: PlanAsked,
): Promise<{ readonly minutesEach: number; readonly says: string } | undefined> {
  if (minutes !== undefined) return { minutesEach: minutes, says: "as typed" };
  const known = (await book.list("specimen"))
    .flatMap(({ makingMinutes }) => makingMinutes ?? [])
    .sort((a, b) => a - b);
  const middle = known[Math.floor(known.length / 2)];
  if (middle === undefined) return undefined;
  return {
    minutesEach: middle,
    says: `the middle of ${known.length} making times in this book; pulling comes on top`,
  };
}
