import { z } from "zod";
import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import {
  type Layout,
  matchLayout,
  maxRecordingBytes,
  type Outline,
  outlineOf,
  outlineWindow,
  proposeLayout as proposeFromHead,
  type Reading,
  type Trace,
  type TraceWindow,
  traceWindow as windowOf,
} from "../../trace/mod.ts";
import { checkInput } from "../check-input.ts";
import type { App, Effects, Imported, ImportRequest, ProposedLayout } from "../contract.ts";
import { layoutFields } from "../layout-fields.ts";
import type { StoredRecord } from "../records.ts";
import type { StoredPull, StoredRecording, StoreWork } from "../store.ts";
import { calibrationOf, cellsOf } from "./cells.ts";
import { publishedWith } from "./published-with.ts";
import { byOrder, withReading } from "./pulls.ts";
import { contextOf, groupByCalibration } from "./read-anew.ts";
import { changeIn, createIn } from "./records.ts";
import type { TraceCache } from "./trace-cache.ts";
import { outlineAtHand, traceOf } from "./trace-of.ts";
import { notFound, orTrouble, refusalProblem, transact } from "./transact.ts";

/** Proposes how to read a file from its head, by a saved layout where one fits. */
export async function proposeLayout(
  { store }: Effects,
  head: Uint8Array,
  about: Parameters<App["proposeLayout"]>[1],
): Promise<Result<ProposedLayout>> {
  return orTrouble(async () => {
    const proposal = proposeFromHead(head, about);
    if (!proposal.ok) return proposal;
    // The newest first: a later correction is the better one.
    const layouts = (await store.read.list("layout")).toReversed();
    const match = matchLayout(proposal.value, layouts);
    const saved = layouts.find(({ id }) => id === match?.id);
    if (match === undefined || saved === undefined) return proposal;
    const named = { ...proposal.value, saved: { id: saved.id, name: saved.name } };
    // What somebody says now overrides what was kept of an earlier file.
    if (Object.keys(about.hints ?? {}).length > 0) return ok(named, proposal.warnings);
    const reason = {
      about: "force",
      text: `This file is read by the layout "${saved.name}", which fits it ${match.by === "names" ? "by the names of its columns" : "by the number and kind of its columns; it has no header, so check the unit"}.`,
    } as const;
    return ok(
      { ...named, layout: match.layout, questions: [], reasons: [reason, ...proposal.value.reasons] },
      proposal.warnings,
    );
  });
}

/** Reads a file without storing anything. */
export async function readFile(
  effects: Effects,
  bytes: readonly Uint8Array[],
  layout: Layout,
  signal?: AbortSignal,
): Promise<Result<Reading>> {
  const checked = checkInput(layoutFields, layout);
  if (!checked.ok) return checked;
  const size = sizeOf(bytes);
  if (size > maxRecordingBytes) return refuse(tooLarge(size));
  return effects.readRecording(bytes, checked.value, signal === undefined ? {} : { signal });
}

/**
 * Takes a recording into a series: its bytes, its reading and a pull for each that was read, all of it or nothing. Bytes
 * that are in the book already are not stored again.
 */
export async function importRecording(effects: Effects, request: ImportRequest): Promise<Result<Imported>> {
  const { bytes, signal } = request;
  const checked = checkInput(importFields, {
    seriesId: request.seriesId,
    fileName: request.fileName,
    layout: request.layout,
    saveLayoutAs: request.saveLayoutAs,
    benchId: request.benchId,
  });
  if (!checked.ok) return checked;
  const input = checked.value;
  const sizeBytes = sizeOf(bytes);
  if (sizeBytes > maxRecordingBytes) return refuse(inFile(tooLarge(sizeBytes), input.fileName));
  const sha256 = effects.sha256(bytes);

  return orTrouble(async () => {
    const before = await lookFirst(effects.store.read, sha256, input);
    if (before !== undefined) return before;
    const importedAt = effects.now();
    const calibration = calibrationOf(input.benchId, await cellsOf(effects.store.read));
    const read = await effects.readRecording(bytes, input.layout, {
      context: contextOf(calibration, importedAt),
      ...(signal === undefined ? {} : { signal }),
    });
    if (!read.ok)
      return { ok: false, problems: read.problems.map((problem) => inFile(problem, input.fileName)) };
    return transact(effects.store, async (book) => {
      // Somebody else may have imported the same bytes while they were read here.
      const meanwhile = await lookFirst(book, sha256, input);
      if (meanwhile !== undefined) return meanwhile;
      const recording: StoredRecording = {
        sha256,
        fileName: input.fileName,
        sizeBytes,
        importedAt,
        seriesId: input.seriesId,
        layout: input.layout,
        reading: read.value,
        readWith: groupByCalibration(new Map(read.value.pulls.map(({ index }) => [index, calibration]))),
        stretches: [],
      };
      await book.insertRecording(recording, bytes);
      const pulls = await addPulls(effects, book, recording, input.benchId);
      if (!pulls.ok) return pulls;
      const saved = await saveLayout(effects, book, input.saveLayoutAs, input.layout);
      if (!saved.ok) return saved;
      return ok({ recording, pulls: pulls.value, known: false }, read.value.warnings);
    });
  });
}

export async function getRecording({ store }: Effects, sha256: string): Promise<Result<StoredRecording>> {
  return orTrouble(async () => {
    const recording = await store.read.getRecording(sha256);
    return recording === undefined ? refuse(notFound("recording", sha256)) : ok(recording);
  });
}

export async function recordingBytes({ store }: Effects, sha256: string): Promise<Result<Uint8Array>> {
  return orTrouble(async () => {
    const bytes = await store.read.recordingBytes(sha256);
    return bytes === undefined ? refuse(notFound("recording", sha256)) : ok(bytes);
  });
}

export async function removeRecording(
  { store }: Effects,
  traces: TraceCache,
  sha256: string,
): Promise<Result<null>> {
  const removed = await transact(store, async (book) => {
    const found = await book.getRecording(sha256);
    const frozen = found === undefined ? undefined : await publishedWith(book, found.seriesId, sha256);
    if (frozen !== undefined) return refuse(frozen);
    const answer = await book.removeRecording(sha256);
    return answer.ok ? ok(null) : refuse(refusalProblem(answer.refusal));
  });
  if (removed.ok) traces.forget(sha256);
  return removed;
}

/**
 * The extremes of a recording's samples between two rows: of a long one from its outline where that is fine enough, else from
 * its samples, which are read once and kept at hand.
 */
export async function traceWindow(
  effects: Effects,
  traces: TraceCache,
  sha256: string,
  window: Parameters<App["traceWindow"]>[1],
): Promise<Result<TraceWindow>> {
  const checked = checkInput(windowFields, window);
  if (!checked.ok) return checked;
  const { fromRow, toRow, columns } = checked.value;
  const asked = {
    columns,
    ...(fromRow === undefined ? {} : { fromRow }),
    ...(toRow === undefined ? {} : { toRow }),
  };
  return orTrouble(async () => {
    const kept = await outlineAtHand(effects, traces, sha256);
    const coarse = kept && windowAtHand(kept, asked, () => outlineWindow(kept, asked));
    if (coarse !== undefined) return ok(coarse);
    const trace = await traceOf(effects, traces, sha256);
    if (!trace.ok) return trace;
    // Seen for the first time, a long recording has its outline now.
    const outline = kept === undefined ? outlineOf(trace.value) : undefined;
    const first = outline && windowAtHand(outline, asked, () => outlineWindow(outline, asked));
    return ok(first ?? windowAtHand(trace.value, asked, () => windowOf(trace.value, asked)));
  });
}

type Asked = { readonly fromRow?: number; readonly toRow?: number; readonly columns: number };

/**
 * The windows that were asked of a trace or an outline last, by their rows and columns, the latest last: a page that is opened
 * asks for what it asked for when it was opened before. They go with what they are of.
 */
const windowsOf = new WeakMap<Trace | Outline, Map<string, TraceWindow>>();
const windowsKept = 8;

function windowAtHand<T extends TraceWindow | undefined>(
  of: Trace | Outline,
  { fromRow, toRow, columns }: Asked,
  make: () => T,
): TraceWindow | T {
  const windows = windowsOf.get(of) ?? new Map<string, TraceWindow>();
  windowsOf.set(of, windows);
  const asked = `${fromRow} ${toRow} ${columns}`;
  const window = windows.get(asked) ?? make();
  if (window === undefined) return window;
  windows.delete(asked);
  windows.set(asked, window);
  const [oldest] = windows.keys();
  if (windows.size > windowsKept && oldest !== undefined) windows.delete(oldest);
  return window;
}

const importFields = z.object({
  seriesId: z.string().min(1),
  fileName: z.string().trim().min(1).max(1000),
  layout: layoutFields,
  saveLayoutAs: z.string().trim().min(1).max(200).optional(),
  benchId: z.string().min(1).optional(),
});

const windowFields = z
  .object({
    fromRow: z.number().int().min(1).optional(),
    toRow: z.number().int().min(1).optional(),
    columns: z.number().int().min(1).max(20_000),
  })
  .refine(({ fromRow, toRow }) => fromRow === undefined || toRow === undefined || fromRow <= toRow, {
    path: ["toRow"],
    message: "a row that is not before fromRow",
  });

type ImportInput = z.infer<typeof importFields>;

/** An answer that needs no reading: the series or bench is not there, or the bytes are in the book already. */
async function lookFirst(
  book: Pick<StoreWork, "get" | "list" | "getRecording">,
  sha256: string,
  input: ImportInput,
): Promise<Result<Imported> | undefined> {
  const series = await book.get("series", input.seriesId);
  if (series === undefined) return refuse(notFound("series", input.seriesId));
  if (input.benchId !== undefined && (await book.get("bench", input.benchId)) === undefined)
    return refuse(refusalProblem({ kind: "missing", what: "bench", id: input.benchId, field: "benchId" }));
  const recording = await book.getRecording(sha256);
  if (recording === undefined) return undefined;
  if (recording.seriesId !== input.seriesId)
    return refuse(elsewhere(recording, await book.get("series", recording.seriesId)));
  const cells = await cellsOf(book);
  const pulls = await book.list("pull", { recordingSha256: sha256 });
  return ok(
    { recording, pulls: pulls.map((pull) => withReading(pull, recording, cells)).sort(byOrder), known: true },
    sameLayout(recording.layout, input.layout) ? [] : [readOtherwise(recording)],
  );
}

async function addPulls(
  effects: Effects,
  book: StoreWork,
  recording: StoredRecording,
  benchId: string | undefined,
): Promise<Result<readonly StoredPull[]>> {
  const { sha256, seriesId, reading } = recording;
  const others = await book.list("pull", { seriesId });
  const last = others.reduce((highest, { order }) => Math.max(highest, order ?? 0), 0);
  const cells = await cellsOf(book);
  const pulls: StoredPull[] = [];
  for (const { index, startS } of reading.pulls) {
    const pulledAt = momentOf(reading.startedAt, startS);
    const created = await createIn(effects, book, "pull", {
      seriesId,
      recordingSha256: sha256,
      recordingPull: index,
      order: last + index,
      ...(benchId === undefined ? {} : { benchId }),
      ...(pulledAt === undefined ? {} : { pulledAt }),
    });
    if (!created.ok) return created;
    pulls.push(withReading(created.value, recording, cells));
  }
  return ok(pulls);
}

/** Keeps a layout under its name; a layout of that name is brought up to date. */
async function saveLayout(
  effects: Effects,
  book: StoreWork,
  name: string | undefined,
  layout: Layout,
): Promise<Result<unknown>> {
  if (name === undefined) return ok(null);
  const known = (await book.list("layout")).find((saved) => saved.name === name);
  if (known === undefined) return createIn(effects, book, "layout", { name, layout });
  return sameLayout(known.layout, layout)
    ? ok(null)
    : changeIn(effects, book, "layout", known.id, known.revision, { layout });
}

/** When a pull began, as far as the file says when it began itself; to the second, in the file's own zone. */
export function momentOf(startedAt: string | undefined, startS: number | undefined): string | undefined {
  if (startedAt === undefined) return undefined;
  const zone = /(Z|[+-]\d\d:?\d\d)$/.exec(startedAt)?.[0] ?? "";
  const moment = Date.parse(`${startedAt.slice(0, startedAt.length - zone.length).replace(" ", "T")}Z`);
  if (Number.isNaN(moment)) return undefined;
  return new Date(moment + (startS ?? 0) * 1000).toISOString().slice(0, 19) + zone;
}

function sameLayout(one: Layout, other: Layout): boolean {
  // Both have been through the same schema, which fixes the order of fields.
  return JSON.stringify(layoutFields.parse(one)) === JSON.stringify(layoutFields.parse(other));
}

function elsewhere(recording: StoredRecording, series: StoredRecord<"series"> | undefined): Problem {
  return {
    code: "BOOK_ELSEWHERE",
    message: `This recording is in the book already, as "${recording.fileName}" of series "${series?.title ?? recording.seriesId}".`,
    where: { file: recording.fileName },
    found: recording.seriesId,
    wayOut: "Work with it there, or remove it there before it is imported here.",
  };
}

function readOtherwise(recording: StoredRecording): Warning {
  return {
    code: "INPUT_DOUBT",
    message: "This recording was read by another layout when it was imported; that reading stands.",
    where: { file: recording.fileName },
    wayOut: "To read it by the other layout, change the recording's layout.",
  };
}

function tooLarge(sizeBytes: number): Problem {
  return {
    code: "TRACE_TOO_LARGE",
    message: "The file is larger than a recording may be.",
    found: `${sizeBytes} bytes`,
    expected: `at most ${maxRecordingBytes / 1024 / 1024} MiB`,
    wayOut: "Split the file at a rest, or export fewer columns or a lower rate.",
  };
}

function inFile(problem: Problem, file: string): Problem {
  return { ...problem, where: { file, ...problem.where } };
}

function sizeOf(bytes: readonly Uint8Array[]): number {
  return bytes.reduce((sum, part) => sum + part.length, 0);
}
