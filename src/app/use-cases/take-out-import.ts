import { ok, type Result, refuse } from "../../problem/mod.ts";
import type { Effects } from "../contract.ts";
import type { RecordKind } from "../records.ts";
import type { ImportedBundle, StoreAnswer, StoreWork } from "../store.ts";
import { refusalProblem } from "./transact.ts";

/**
 * Takes a series that came from a bundle out of the book, for a later revision of it: its pulls, recordings, specimens and
 * words, and of its ropes, recipes and benches those that nothing else uses by now. Series that were pooled with it are
 * pooled with the one that takes its place. Refused where something of this book rests on it, such as a report.
 */
export async function takeOutImport(
  effects: Effects,
  book: StoreWork,
  { seriesId, ids }: ImportedBundle,
  inItsPlace: string,
): Promise<Result<null>> {
  for (const { id, revision, createdAt: _, changedAt: __, ...fields } of await book.list("pooled-series")) {
    if (fields.otherSeriesId !== seriesId) continue;
    const moved = { ...fields, otherSeriesId: inItsPlace };
    const answer = await book.update("pooled-series", id, revision, effects.now(), moved);
    if (!answer.ok) return refuse(refusalProblem(answer.refusal));
  }
  const specimens = await book.list("specimen", { seriesId });
  const pulls = await book.list("pull", { seriesId });
  const subjects = [
    { kind: "series", id: seriesId } as const,
    ...specimens.map(({ id }) => ({ kind: "specimen", id }) as const),
    ...pulls.map(({ id }) => ({ kind: "pull", id }) as const),
  ];
  for (const { id } of await book.listPictures(subjects)) await book.removePicture(id);
  const removed: StoreAnswer<null>[] = [];
  for (const kind of ["claim", "pooled-series"] as const)
    for (const { id } of await book.list(kind, { seriesId })) removed.push(await book.remove(kind, id));
  for (const { id } of pulls) removed.push(await book.remove("pull", id));
  for (const { sha256 } of await book.listRecordings({ seriesId }))
    removed.push(await book.removeRecording(sha256));
  for (const { id } of specimens) removed.push(await book.remove("specimen", id));
  removed.push(await book.remove("series", seriesId));
  for (const answer of removed) if (!answer.ok) return refuse(refusalProblem(answer.refusal));

  // Those that something else uses by now are refused, and stay.
  const own = new Set(Object.values(ids));
  for (const kind of ["spool", "recipe", "rope", "bench", "load-cell", "hardware"] satisfies RecordKind[])
    for (const { id } of await book.list(kind)) if (own.has(id)) await book.remove(kind, id);
  return ok(null);
}
