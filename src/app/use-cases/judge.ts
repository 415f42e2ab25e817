import { type Evidence, judgeSeries, type PullToJudge, type SeriesFindings } from "../../findings/mod.ts";
import { ok, type Result, type Warning } from "../../problem/mod.ts";
import { governingBury, outOfRecipe } from "../../splice/mod.ts";
import type { OutcomeEvidence } from "../../trace/mod.ts";
import type { Effects } from "../contract.ts";
import type { Kept, StoredRecord } from "../records.ts";
import type { StoredPull } from "../store.ts";
import { holdingsOf, type SeriesHoldings, type SeriesPulls } from "./overview.ts";
import { orTrouble } from "./transact.ts";

/** What a series shows now. */
export async function findings({ store }: Effects, seriesId: string): Promise<Result<SeriesFindings>> {
  return orTrouble(async () => {
    const held = await holdingsOf(store.read, seriesId);
    return held.ok ? ok(findingsOf(held.value)) : held;
  });
}

/** The pulls of another series with which one is pooled, as they are judged. */
export type OtherPulls = {
  readonly seriesId: string;
  readonly title: string;
  readonly pulls: readonly PullToJudge[];
};

/** The findings of a series that was gathered from the book, or from elsewhere with the pulls of the others. */
export function findingsOf(
  held: SeriesHoldings,
  others: readonly OtherPulls[] = othersOf(held),
): SeriesFindings {
  return judgeSeries(held.series, pullsOf(held, held), {
    claims: held.claims,
    pooled: held.pooledSeries.map((pooled) => {
      const other = others.find(({ seriesId }) => seriesId === pooled.otherSeriesId);
      return other === undefined ? pooled : { ...pooled, other: { title: other.title, pulls: other.pulls } };
    }),
  });
}

/** The pulls of the other series of the book with which this one is pooled. */
export function othersOf(held: SeriesHoldings): readonly OtherPulls[] {
  return held.others.map((other) => ({
    seriesId: other.series.id,
    title: other.series.title,
    pulls: pullsOf(other, held),
  }));
}

function pullsOf({ pulls, specimens }: SeriesPulls, held: SeriesHoldings): readonly PullToJudge[] {
  return pulls.map((pull) => pullToJudge(pull, { ...held, specimens }));
}

/**
 * One pull with all that a judgement needs. Its strength is the net peak as best known, with its uncertainty; where an
 * older reading has none, the net peak as recorded; the peak with the rest still in it where the file shows no rest, with
 * the reading's warning; or the typed peak. All of them at the specimen.
 */
export function pullToJudge(
  pull: StoredPull,
  held: Pick<SeriesHoldings, "specimens" | "spools" | "ropes" | "recipeVersions" | "benches">,
): PullToJudge {
  const specimen = byId(held.specimens, pull.specimenId);
  const spool = byId(held.spools, specimen?.spoolId);
  const rope = byId(held.ropes, specimen?.ropeId ?? spool?.ropeId);
  // By the version that it was made by: what the recipe says now may be another.
  const recipe = held.recipeVersions.find(
    (one) => one.recipeId === specimen?.recipeId && one.revision === specimen.recipeRevision,
  )?.fields;
  const bench = byId(held.benches, pull.benchId);
  // What was made, not what the recipe says; of two buries the shorter.
  const bury = governingBury(specimen ?? {});
  const otherwise =
    specimen === undefined || rope === undefined || recipe === undefined
      ? []
      : outOfRecipe(specimen, recipe, rope.nominalDiameterMm).map(({ sentence }) => sentence);
  const { reading } = pull;
  const factor = forceFactor(bench);
  const deep = reading?.deep;
  const peak = deep?.peak;
  const atCell =
    reading === undefined ? pull.typedPeakN : (peak?.valueN ?? reading.netPeakN ?? reading.peakN);
  return {
    pullId: pull.id,
    levels: specimen?.levels ?? {},
    strengthSource: reading !== undefined ? "reading" : pull.typedPeakN !== undefined ? "typed" : "none",
    warnings: [...(reading?.warnings ?? []), ...(bench === undefined ? [] : driveSideDoubt(bench))],
    ...present({
      order: pull.order,
      outcome: pull.outcome,
      strengthN: times(atCell, factor),
      strengthExpandedN: times(peak?.expandedN, factor),
      peakCutOff: peak?.lowerBound === true ? true : undefined,
      firstSlipN: times(deep?.firstSlipN, factor),
      settlingPerDecade: deep?.hold?.settling?.perDecade,
      holdN: times(deep?.hold?.startN, factor),
      evidence: deep?.outcome === undefined ? undefined : evidenceOf(deep.outcome),
      otherLoad: otherLoadOf(pull),
      loadingRateNPerS: times(reading?.loadingRateNPerS, factor),
      specimenLabel: specimen?.label,
      maker: specimen?.maker || undefined,
      buryFullMm: bury.fullMm,
      buryTaperMm: bury.taperMm,
      outOfRecipe: otherwise.length === 0 ? undefined : otherwise,
      spoolName: spool?.name,
      ropeName: rope?.name,
      construction: rope?.construction,
      nominalDiameterMm: rope?.nominalDiameterMm,
      ratedStrengthN: rope?.ratedStrengthN,
      ratedStrengthBasis: rope?.ratedStrengthBasis,
      ratedStrengthEnds: rope?.ratedStrengthEnds,
      ratedStrengthSource: rope?.ratedStrengthSource || undefined,
      recipeName: recipe?.name,
      legs: recipe?.legs,
    }),
  };
}

function evidenceOf({ likeliest, probabilities, reasons }: OutcomeEvidence): Evidence {
  return { likeliest, probability: probabilities[likeliest], reasons };
}

/** Who said that a pull is none, and why. */
function otherLoadOf({ overrides }: StoredPull): string | undefined {
  const said = overrides.find(({ what }) => what === "other load");
  if (said === undefined) return undefined;
  return [said.by === "" ? "as somebody said" : `as ${said.by} said`, said.why].filter(Boolean).join(", ");
}

/** Force at the specimen over force at the cell. */
export function forceFactor(bench: StoredRecord<"bench"> | undefined): number {
  return bench?.cellPlacement === "on the drive side" ? bench.mechanicalAdvantage : 1;
}

/** The record of this id in a list, which is not changed any more: its ids are kept with it from the first asking on. */
export function byId<T extends Kept>(records: readonly T[], id: string | undefined): T | undefined {
  if (id === undefined) return undefined;
  const known = indexes.get(records);
  const index = known ?? new Map(records.map((record) => [record.id, record]));
  if (known === undefined) indexes.set(records, index);
  return index.get(id) as T | undefined;
}

/** A long series asks for the specimen of each of its pulls: looking through all of them each time takes seconds. */
const indexes = new WeakMap<readonly Kept[], ReadonlyMap<string, Kept>>();

/** The fields that have a value, so that an absent one is absent and not undefined. */
export function present<T extends object>(fields: T): { [F in keyof T]?: Exclude<T[F], undefined> } {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as {
    [F in keyof T]?: Exclude<T[F], undefined>;
  };
}

function driveSideDoubt(bench: StoredRecord<"bench">): Warning[] {
  if (bench.cellPlacement !== "on the drive side") return [];
  return [
    {
      code: "FINDING_DRIVE_SIDE",
      message: `The cell of bench "${bench.name}" sits on the drive's side: the force at the specimen is the cell's force times ${bench.mechanicalAdvantage}, and friction makes the true force smaller.`,
      found: `mechanical advantage ${bench.mechanicalAdvantage}`,
      wayOut: "Put the cell in line with the specimen to measure its force itself.",
    },
  ];
}

function times(value: number | undefined, factor: number): number | undefined {
  return value === undefined ? undefined : value * factor;
}
