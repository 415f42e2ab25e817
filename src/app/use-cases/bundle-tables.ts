import { checkedRow, plainJson, type RowOf, type TableName, type Tables } from "../../bundle/mod.ts";
import { ok, type Problem, type Result } from "../../problem/mod.ts";
import type { PullReading } from "../../trace/mod.ts";
import type { Kept, RecordFields, RecordKind, StoredRecord } from "../records.ts";
import type { ReadingOfRecording, RecipeVersion, StoredPull } from "../store.ts";
import type { SeriesHoldings } from "./overview.ts";
import { withReading } from "./pulls.ts";

/** The name of each id of the book in a bundle: its own, or the one that it had where it came from. */
export type Names = (id: string) => string;

/** Everything of a bundle's tables but what is read out of recordings. */
export type EnteredTables = Omit<Tables, "readings">;

/** What the book holds of a series, as the rows of a bundle's tables: the series' own, and every record that they name. */
export function tablesOf(held: SeriesHoldings, nameOf: Names): Result<EnteredTables> {
  const rows = new Rows(nameOf);
  const used = usedBy(held);
  const versions = recipesOf(held);
  const tables: EnteredTables = {
    series: rows.of("series", [held.series]),
    ropes: rows.of("ropes", used.ropes),
    spools: rows.of("spools", used.spools),
    recipes: rows.of(
      "recipes",
      versions.map(({ recipeId, number, fields }) => ({ ...fields, id: recipeId, version: number })),
    ),
    hardware: rows.of("hardware", used.hardware),
    "load-cells": rows.of("load-cells", used.loadCells),
    benches: rows.of("benches", used.benches),
    specimens: rows.of(
      "specimens",
      held.specimens.map(({ recipeRevision, ...specimen }) => {
        const number = versions.find(
          ({ recipeId, revision }) => recipeId === specimen.recipeId && revision === recipeRevision,
        )?.number;
        return { ...specimen, ...(number === undefined ? {} : { recipeRevision: number }) };
      }),
    ),
    pulls: rows.of(
      "pulls",
      held.pulls.map(({ outcome, reading: _, machineReading: __, ...pull }) => ({
        ...pull,
        ...(outcome === undefined ? {} : { outcomeKind: outcome.kind }),
        ...(outcome !== undefined && "place" in outcome ? { outcomePlace: outcome.place } : {}),
        ...(outcome !== undefined && "reason" in outcome ? { outcomeReason: outcome.reason } : {}),
      })),
    ),
    recordings: rows.of(
      "recordings",
      held.recordings.map(({ sha256, fileName, sizeBytes, importedAt, layout }) => ({
        sha256,
        fileName,
        sizeBytes,
        importedAt,
        layout: plainJson(layout),
      })),
    ),
    pictures: rows.of(
      "pictures",
      held.pictures.map(({ subject, addedAt: _, ...picture }) => ({
        ...picture,
        subjectKind: subject.kind,
        subjectId: subject.id,
      })),
    ),
    claims: rows.of("claims", held.claims),
    "pooled-series": rows.of("pooled-series", held.pooledSeries),
  };
  return rows.problems.length > 0 ? { ok: false, problems: rows.problems } : ok(tables);
}

/**
 * A bundle's tables as if they were a book, its recordings read as they are handed in: so that what judges a series of the
 * book judges one of a bundle, by the very same steps.
 */
export function holdingsOfTables(
  tables: EnteredTables,
  recordings: ReadonlyMap<string, ReadingOfRecording>,
): SeriesHoldings {
  const [series] = tables.series;
  if (series === undefined) throw new Error("A bundle's content has one series; it was checked on reading.");
  const benches = tables.benches.map((row) => kept<"bench">(row));
  const loadCells = tables["load-cells"].map((row) => kept<"load-cell">(row));
  const pulls = tables.pulls.map((row): StoredPull => {
    const pull = kept<"pull">(pullFieldsOf(row));
    return withReading(pull, recordings.get(pull.recordingSha256 ?? ""), { benches, loadCells });
  });
  return {
    series: kept<"series">(series),
    specimens: tables.specimens.map((row) => kept<"specimen">(row)),
    pulls,
    recordings: [],
    ropes: tables.ropes.map((row) => kept<"rope">(row)),
    recipes: [],
    recipeVersions: tables.recipes.map(
      ({ id, version, ...fields }): RecipeVersion => ({
        recipeId: id,
        revision: version,
        changedAt: "",
        fields: fields as RecordFields<"recipe">,
      }),
    ),
    spools: tables.spools.map((row) => kept<"spool">(row)),
    benches,
    loadCells,
    hardware: tables.hardware.map((row) => kept<"hardware">(row)),
    claims: tables.claims.map((row) => kept<"claim">(row)),
    pooledSeries: tables["pooled-series"].map((row) => kept<"pooled-series">(row)),
    others: [],
    pictures: [],
    reports: [],
  };
}

/** The fields of a pull from its row, the outcome in one again. */
export function pullFieldsOf({
  outcomeKind,
  outcomePlace = "",
  outcomeReason = "",
  ...row
}: RowOf<"pulls">): RecordFields<"pull"> & { readonly id: string } {
  if (outcomeKind === undefined) return row;
  const outcome =
    outcomeKind === "broke" || outcomeKind === "slipped"
      ? { kind: outcomeKind, place: outcomePlace }
      : { kind: outcomeKind, reason: outcomeReason };
  return { ...row, outcome };
}

/** What the machine read of each pull, as rows. */
export function readingRows(
  pulls: readonly StoredPull[],
  methodOf: (sha256: string) => string,
): Result<readonly RowOf<"readings">[]> {
  const problems: Problem[] = [];
  const rows = pulls.flatMap((pull, index): RowOf<"readings">[] => {
    const reading = pull.machineReading ?? pull.reading;
    if (reading === undefined) return [];
    const fields = readingFields(pull.id, reading, methodOf(pull.recordingSha256 ?? ""));
    const row = checkedRow("readings", fields, { file: "readings", row: index + 1 });
    if (row.ok) return [row.value];
    problems.push(...row.problems);
    return [];
  });
  return problems.length > 0 ? { ok: false, problems } : ok(rows);
}

function readingFields(pullId: string, reading: PullReading, method: string): Record<string, unknown> {
  const { deep } = reading;
  const { peak, hold, outcome, bedding } = deep ?? {};
  const settling = hold?.settling?.perDecade;
  return {
    pullId,
    method,
    startRow: reading.startRow,
    endRow: reading.endRow,
    startS: reading.startS,
    endS: reading.endS,
    peakN: reading.peakN,
    peakRow: reading.peakRow,
    peakTimeS: reading.peakTimeS,
    restN: reading.restN,
    netPeakN: reading.netPeakN,
    bestPeakN: peak?.valueN,
    bestPeakStandardN: peak?.standardN,
    bestPeakExpandedN: peak?.expandedN,
    peakIsLowerBound: peak?.lowerBound,
    loadingRateNPerS: reading.loadingRateNPerS,
    noiseN: reading.noiseN,
    end: reading.end,
    dropCount: reading.dropCount ?? reading.drops.length,
    slipCount: deep?.slips.length,
    firstSlipN: deep?.firstSlipN,
    holdFromS: hold?.fromS,
    holdToS: hold?.toS,
    holdStartN: hold?.startN,
    holdEndN: hold?.endN,
    settlingPerDecade: settling?.value,
    settlingPerDecadeLow: settling?.interval[0],
    settlingPerDecadeHigh: settling?.interval[1],
    beddingCycles: bedding?.cycles,
    strokes: deep?.strokes,
    timeToPeakS: deep?.timeToPeakS,
    collapseS: deep?.collapseS,
    residualN: deep?.residualN,
    stiffnessNPerM: deep?.stiffnessNPerM,
    energyToPeakJ: deep?.energyToPeakJ,
    likeliestOutcome: outcome?.likeliest,
    likeliestProbability: outcome?.probabilities[outcome.likeliest],
    phases: plainJson(deep?.phases ?? []),
    slips: plainJson(deep?.slips ?? []),
    doubts: [...new Set(reading.warnings.map(({ code }) => code))].sort(),
  };
}

/** Makes the rows of tables and gathers what does not fit; every id in them is named as the bundle names it. */
class Rows {
  readonly problems: Problem[] = [];
  readonly #nameOf: Names;

  constructor(nameOf: Names) {
    this.#nameOf = nameOf;
  }

  of<T extends TableName>(table: T, records: readonly object[]): readonly RowOf<T>[] {
    return records.flatMap((record, index): RowOf<T>[] => {
      const fields = { ...(record as Record<string, unknown>) };
      for (const name of idFields) {
        const id = fields[name];
        if (typeof id === "string") fields[name] = this.#nameOf(id);
      }
      const row = checkedRow(table, fields, { file: table, row: index + 1 });
      if (row.ok) return [row.value];
      this.problems.push(...row.problems);
      return [];
    });
  }
}

const idFields = [
  "id",
  "seriesId",
  "ropeId",
  "spoolId",
  "recipeId",
  "specimenId",
  "benchId",
  "loadCellId",
  "nearHardwareId",
  "farHardwareId",
  "otherSeriesId",
  "subjectId",
];

/** The ropes, spools and benches that the series' specimens and pulls name, and what those name in turn. */
function usedBy(held: SeriesHoldings) {
  const named = <T extends Kept>(records: readonly T[], ids: readonly (string | undefined)[]) =>
    records.filter(({ id }) => ids.includes(id));
  const spools = named(
    held.spools,
    held.specimens.map(({ spoolId }) => spoolId),
  );
  const benches = named(
    held.benches,
    held.pulls.map(({ benchId }) => benchId),
  );
  return {
    spools,
    benches,
    ropes: named(
      held.ropes,
      [...held.specimens, ...spools].map(({ ropeId }) => ropeId),
    ),
    loadCells: named(
      held.loadCells,
      benches.map(({ loadCellId }) => loadCellId),
    ),
    hardware: named(
      held.hardware,
      benches.flatMap(({ nearHardwareId, farHardwareId }) => [nearHardwareId, farHardwareId]),
    ),
  };
}

/** The versions of recipes by which specimens were made, counted from 1 for each recipe: so they come out of every book. */
function recipesOf({ specimens, recipeVersions, recipes }: SeriesHoldings) {
  const used = recipeVersions.filter(({ recipeId, revision }) =>
    specimens.some((one) => one.recipeId === recipeId && one.recipeRevision === revision),
  );
  // In the order in which the book lists its recipes, not in that of their ids.
  return recipes.flatMap(({ id }) =>
    used
      .filter(({ recipeId }) => recipeId === id)
      .sort((a, b) => a.revision - b.revision)
      .map((version, index) => ({ ...version, number: index + 1 })),
  );
}

/** A row as a record of a book that nobody ever changed. */
function kept<K extends RecordKind>(row: RecordFields<K> & { readonly id: string }): StoredRecord<K> {
  return { ...row, revision: 1, createdAt: "", changedAt: "" };
}
