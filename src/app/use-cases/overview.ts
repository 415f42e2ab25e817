import { ok, type Result, refuse } from "../../problem/mod.ts";
import type { Effects, SeriesOverview } from "../contract.ts";
import type { RecipeVersion, StoredRecording, StoreWork } from "../store.ts";
import { cellsOf } from "./cells.ts";
import { byOrder, withReading } from "./pulls.ts";
import { notFound, orTrouble } from "./transact.ts";

/** All that the book holds of one series, with the ropes, recipes and benches that it can choose from. */
export type SeriesHoldings = Omit<SeriesOverview, "recordings"> & {
  readonly recordings: readonly StoredRecording[];
  /** What each recipe of the book said at each of its revisions. */
  readonly recipeVersions: readonly RecipeVersion[];
  /** The other series of the book that are pooled with this one. */
  readonly others: readonly SeriesPulls[];
};

/** A series with its specimens and pulls alone. */
export type SeriesPulls = Pick<SeriesOverview, "series" | "specimens" | "pulls">;

/** Everything that a screen of one series shows. */
export async function overview({ store }: Effects, seriesId: string): Promise<Result<SeriesOverview>> {
  return orTrouble(async () => {
    const held = await holdingsOf(store.read, seriesId);
    if (!held.ok) return held;
    // Each pull carries its own reading already; the whole would be sent twice.
    const recordings = held.value.recordings.map(
      ({ reading: _, readWith: __, stretches: ___, ...recording }) => recording,
    );
    const { others: _, recipeVersions: __, ...shown } = held.value;
    const imported = await provenanceOf(store.read, seriesId);
    return ok({ ...shown, ...imported, recordings }, held.warnings);
  });
}

/** Gathers a series from the book. */
export async function holdingsOf(
  book: Pick<
    StoreWork,
    "get" | "list" | "recipeVersions" | "listRecordings" | "listPictures" | "listReports"
  >,
  seriesId: string,
): Promise<Result<SeriesHoldings>> {
  const series = await book.get("series", seriesId);
  if (series === undefined) return refuse(notFound("series", seriesId));
  const cells = await cellsOf(book);
  const { recordings, specimens, pulls } = await pullsOf(book, series, cells);
  const pooledSeries = await book.list("pooled-series", { seriesId });
  const others: SeriesPulls[] = [];
  for (const id of new Set(pooledSeries.flatMap(({ otherSeriesId }) => otherSeriesId ?? []))) {
    const other = await book.get("series", id);
    if (other !== undefined) others.push(await pullsOf(book, other, cells));
  }
  return ok({
    series,
    specimens,
    pulls,
    recordings,
    ropes: await book.list("rope"),
    recipes: await book.list("recipe"),
    recipeVersions: await book.recipeVersions(),
    spools: await book.list("spool"),
    ...cells,
    hardware: await book.list("hardware"),
    claims: await book.list("claim", { seriesId }),
    pooledSeries,
    others,
    pictures: await book.listPictures([
      { kind: "series", id: seriesId },
      ...specimens.map(({ id }) => ({ kind: "specimen", id }) as const),
      ...pulls.map(({ id }) => ({ kind: "pull", id }) as const),
    ]),
    reports: await book.listReports({ seriesId }),
  });
}

async function provenanceOf(
  book: Pick<StoreWork, "listImports">,
  seriesId: string,
): Promise<Pick<SeriesOverview, "imported">> {
  const [found] = await book.listImports({ seriesId });
  if (found === undefined) return {};
  const { ids: _, seriesId: __, ...imported } = found;
  return { imported };
}

async function pullsOf(
  book: Pick<StoreWork, "list" | "listRecordings">,
  series: SeriesOverview["series"],
  cells: Awaited<ReturnType<typeof cellsOf>>,
): Promise<SeriesPulls & Pick<SeriesHoldings, "recordings">> {
  const seriesId = series.id;
  const recordings = await book.listRecordings({ seriesId });
  const recordingBySha256 = new Map(recordings.map((recording) => [recording.sha256, recording]));
  const specimens = await book.list("specimen", { seriesId });
  const pulls = (await book.list("pull", { seriesId }))
    .map((pull) => withReading(pull, recordingBySha256.get(pull.recordingSha256 ?? ""), cells))
    .sort(byOrder);
  return { series, recordings, specimens, pulls };
}
