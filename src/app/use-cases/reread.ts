import { z } from "zod";
import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import type { Layout } from "../../trace/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects, ReadOtherwise, Reread, RereadChange } from "../contract.ts";
import { layoutFields } from "../layout-fields.ts";
import type { StoredRecord } from "../records.ts";
import type { ReadingOfRecording, StoredRecording, StoreWork } from "../store.ts";
import { type Cells, cellsOf } from "./cells.ts";
import { compareReadings } from "./compare-readings.ts";
import { byOrder, withReading } from "./pulls.ts";
import { firstOf, type ReadAnew, readAnew } from "./read-anew.ts";
import { createIn } from "./records.ts";
import type { TraceCache } from "./trace-cache.ts";
import { notFound, orTrouble, transact } from "./transact.ts";

/** Reads all recordings, or a series', again from their bytes by the present method. Published reports stay as they are. */
export async function reread(effects: Effects, input: unknown): Promise<Result<Reread>> {
  const checked = checkInput(rereadFields, input);
  if (!checked.ok) return checked;
  const { seriesId, dryRun } = checked.value;
  return orTrouble(async () => {
    const { read } = effects.store;
    if (seriesId !== undefined && (await read.get("series", seriesId)) === undefined)
      return refuse(notFound("series", seriesId));
    const recordings = await read.listRecordings(seriesId === undefined ? {} : { seriesId });
    const changes: RereadChange[] = [];
    const refused: Reread["refused"][number][] = [];
    for (const { sha256: recordingSha256, fileName } of recordings) {
      const again = await readAgain(effects, recordingSha256, { dryRun });
      if (again.ok) changes.push(...again.value.changes);
      else refused.push({ recordingSha256, fileName, problems: again.problems });
    }
    return ok({ dryRun, recordings: recordings.length, changes, refused });
  });
}

/** Reads a recording by another layout; refused, and nothing changed, where it cannot be read by it. */
export async function changeLayout(
  effects: Effects,
  traces: TraceCache,
  sha256: string,
  input: unknown,
): Promise<Result<ReadOtherwise>> {
  const layout = checkInput(layoutFields, input);
  if (!layout.ok) return layout;
  const again = await readAgain(effects, sha256, { layout: layout.value });
  if (again.ok) traces.forget(sha256);
  return again;
}

/** What is read again, and whether only the changes are asked for. */
export const rereadFields = z.object({
  seriesId: z.string().min(1).optional(),
  dryRun: z.boolean().default(false),
});

/** Somebody else may change the book while a file is read; after this many tries they are asked to wait. */
const tries = 3;

/**
 * Reads one recording again outside a transaction, since that may take long, and stores it in one: if what the reading
 * rests on was changed meanwhile, it is read once more.
 */
export async function readAgain(
  effects: Effects,
  sha256: string,
  { dryRun = false, layout }: { readonly dryRun?: boolean; readonly layout?: Layout },
): Promise<Result<ReadOtherwise>> {
  return orTrouble(async () => {
    for (let left = tries; left > 0; left -= 1) {
      const known = await restOn(effects.store.read, sha256);
      const bytes = await effects.store.read.recordingBytes(sha256);
      if (known === undefined || bytes === undefined) return refuse(notFound("recording", sha256));
      const anew = await readAnew(effects, bytes, layout ?? known.recording.layout, known);
      if (!anew.ok) return anew;
      const changes = changesOf(known, anew.value);
      if (dryRun) return ok({ recording: known.recording, pulls: [], changes });
      const stored = await transact(effects.store, async (book) => {
        const now = await restOn(book, sha256);
        if (now === undefined || JSON.stringify(now) !== JSON.stringify(known)) return ok(undefined);
        return store(effects, book, known, anew.value, changes);
      });
      if (!stored.ok) return stored;
      if (stored.value !== undefined) return ok(stored.value, stored.warnings);
    }
    return refuse(busy);
  });
}

/** Everything in the book that a recording's reading rests on, and the reading itself. */
type Known = {
  readonly recording: StoredRecording;
  readonly pulls: readonly StoredRecord<"pull">[];
  readonly cells: Cells;
};

async function restOn(
  book: Pick<StoreWork, "getRecording" | "list">,
  sha256: string,
): Promise<Known | undefined> {
  const recording = await book.getRecording(sha256);
  if (recording === undefined) return undefined;
  return {
    recording,
    pulls: await book.list("pull", { recordingSha256: sha256 }),
    cells: await cellsOf(book),
  };
}

async function store(
  effects: Effects,
  book: StoreWork,
  { recording, pulls, cells }: Known,
  { read, numbers, found }: ReadAnew,
  changes: readonly RereadChange[],
): Promise<Result<ReadOtherwise>> {
  const { sha256, seriesId } = recording;
  await book.updateReading(sha256, read);
  const moved = pulls.filter((pull) => numbers.has(pull.id) && numbers.get(pull.id) !== pull.recordingPull);
  // Each number may stand once, so all are taken away before any is given anew.
  const freed: StoredRecord<"pull">[] = [];
  for (const pull of moved) freed.push(await renumber(effects, book, pull, undefined));
  for (const pull of freed) {
    const number = numbers.get(pull.id);
    if (number !== undefined) await renumber(effects, book, pull, number);
  }
  const { benchId } = firstOf(pulls) ?? {};
  const last = (await book.list("pull", { seriesId })).reduce(
    (highest, { order }) => Math.max(highest, order ?? 0),
    0,
  );
  for (const [place, recordingPull] of found.entries()) {
    const created = await createIn(effects, book, "pull", {
      seriesId,
      recordingSha256: sha256,
      recordingPull,
      order: last + 1 + place,
      ...(benchId === undefined ? {} : { benchId }),
    });
    if (!created.ok) return created;
  }
  const now: StoredRecording = { ...recording, ...read };
  const kept = await book.list("pull", { recordingSha256: sha256 });
  return ok(
    { recording: now, pulls: kept.map((pull) => withReading(pull, now, cells)).sort(byOrder), changes },
    read.reading.warnings,
  );
}

async function renumber(
  { now }: Effects,
  book: StoreWork,
  pull: StoredRecord<"pull">,
  number: number | undefined,
): Promise<StoredRecord<"pull">> {
  const { id, revision, createdAt: _, changedAt: __, recordingPull: ___, ...fields } = pull;
  const answer = await book.update("pull", id, revision, now(), {
    ...fields,
    ...(number === undefined ? {} : { recordingPull: number }),
  });
  // Checked in this very transaction: the pull is there and nobody changed it.
  if (!answer.ok) throw new Error(`The pull ${id} could not be renumbered: ${answer.refusal.kind}`);
  return answer.value;
}

function changesOf({ recording, pulls, cells }: Known, { read, numbers, found }: ReadAnew): RereadChange[] {
  const about = {
    recordingSha256: recording.sha256,
    fileName: recording.fileName,
    fromMethod: recording.reading.method.version,
    toMethod: read.reading.method.version,
  };
  const changes: RereadChange[] = [];
  for (const pull of pulls) {
    const number = numbers.get(pull.id);
    const { recordingPull: _, ...unnumbered } = pull;
    const after = numbers.has(pull.id)
      ? { ...unnumbered, ...(number === undefined ? {} : { recordingPull: number }) }
      : pull;
    const before = machineOf(pull, recording, cells);
    const now = machineOf(after, read, cells);
    const own = { ...about, pullId: pull.id };
    if (before === undefined && now === undefined) continue;
    if (before === undefined) changes.push({ ...own, field: "pull", to: "is read again" });
    else if (now === undefined) changes.push({ ...own, field: "pull", from: "was read" });
    else changes.push(...compareReadings(before, now).map((change) => ({ ...own, ...change })));
  }
  for (const number of found) {
    const pull = read.reading.pulls.find(({ index }) => index === number);
    changes.push({ ...about, field: "pull", to: `found in rows ${pull?.startRow} to ${pull?.endRow}` });
  }
  return changes;
}

function machineOf(pull: StoredRecord<"pull">, recording: ReadingOfRecording, cells: Cells) {
  const { reading, machineReading } = withReading(pull, recording, cells);
  return machineReading ?? reading;
}

const busy: Problem = {
  code: "BOOK_CHANGED",
  message: "The book was changed each time while the recording was read again; its reading stands as it was.",
  wayOut: "Try again when nobody else is working on these pulls.",
};
