import { z } from "zod";
import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import type { Override } from "../../series/mod.ts";
import type { PullReading, Trace } from "../../trace/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects } from "../contract.ts";
import type { Rows } from "../read-stretch.ts";
import type { StoredRecord } from "../records.ts";
import type { StoredPull, StoreWork } from "../store.ts";
import { applyOverrides } from "./apply-overrides.ts";
import { calibrationOf, cellsOf } from "./cells.ts";
import { pullIn } from "./pulls.ts";
import { contextOf, firstOf, freeRowsAround } from "./read-anew.ts";
import { changeIn, createIn } from "./records.ts";
import type { TraceCache } from "./trace-cache.ts";
import { traceOf } from "./trace-of.ts";
import { notFound, orTrouble, refusalProblem, transact } from "./transact.ts";

/** Keeps a person's correction of a pull's reading beside the reading. */
export async function override(
  effects: Effects,
  traces: TraceCache,
  pullId: string,
  revision: number,
  input: unknown,
): Promise<Result<StoredPull>> {
  const checked = checkInput(correctionFields, input);
  if (!checked.ok) return checked;
  return orTrouble(async () => {
    const { read } = effects.store;
    const pull = await pullIn(read, pullId);
    if (!pull.ok) return pull;
    const stale = changedSince(pull.value, revision);
    if (stale !== undefined) return refuse(stale);
    const { reading, recordingSha256 } = pull.value;
    if (reading === undefined || recordingSha256 === undefined) return refuse(noReading);
    const trace = await traceOf(effects, traces, recordingSha256);
    if (!trace.ok) return trace;
    const made = complete(checked.value, effects.now(), reading, trace.value);
    if (!made.ok) return made;
    return storeOverrides(effects, pull.value, revision, [...pull.value.overrides, made.value]);
  });
}

/** Takes a correction back: the last one, or the one with this number from 1. */
export async function undo(
  effects: Effects,
  pullId: string,
  revision: number,
  number?: number,
): Promise<Result<StoredPull>> {
  return orTrouble(async () => {
    const pull = await pullIn(effects.store.read, pullId);
    if (!pull.ok) return pull;
    const stale = changedSince(pull.value, revision);
    if (stale !== undefined) return refuse(stale);
    const { overrides } = pull.value;
    const place = (number ?? overrides.length) - 1;
    const taken = overrides[place];
    if (taken === undefined)
      return refuse({
        code: "BOOK_NOT_FOUND",
        message: overrides.length === 0 ? "Nothing was corrected here." : "There is no such correction.",
        found: String(number ?? overrides.length),
      });
    // The record is there because of it.
    if (taken.what === "pull")
      return refuse({
        code: "INPUT_FIELD",
        message: "This pull is there because somebody named its rows; without them it would be nothing.",
        wayOut: "Remove the pull itself.",
      });
    return storeOverrides(
      effects,
      pull.value,
      revision,
      overrides.filter((_, at) => at !== place),
    );
  });
}

/** Makes a pull of rows of a recording that were not read as one, such as an other load. */
export async function addPullOfRows(
  effects: Effects,
  sha256: string,
  input: unknown,
): Promise<Result<StoredPull>> {
  const checked = checkInput(rowsFields, input);
  if (!checked.ok) return checked;
  const { fromRow, toRow, by, why } = checked.value;
  return orTrouble(async () => {
    const { read } = effects.store;
    const recording = await read.getRecording(sha256);
    const bytes = await read.recordingBytes(sha256);
    if (recording === undefined || bytes === undefined) return refuse(notFound("recording", sha256));
    if (toRow > recording.reading.rows)
      return refuse(fieldProblem("toRow", toRow, `a row of the recording, 1 to ${recording.reading.rows}`));
    const pulls = await read.list("pull", { recordingSha256: sha256 });
    const benchId = firstOf(pulls)?.benchId;
    const calibration = calibrationOf(benchId, await cellsOf(read));
    const stretch = { fromRow, toRow };
    const reading = await effects.readStretch([bytes], recording.layout, {
      stretch,
      within: freeRowsAround(stretch, recording.reading),
      context: contextOf(calibration, recording.importedAt),
    });
    if (!reading.ok) return reading;
    return transact(effects.store, async (book) => {
      const now = await book.getRecording(sha256);
      if (now === undefined) return refuse(notFound("recording", sha256));
      const taken = await pullWithRows(book, sha256, stretch);
      if (taken !== undefined) return refuse(taken);
      const known = now.stretches.filter(
        (one) => one.pullId !== undefined || one.fromRow !== fromRow || one.toRow !== toRow,
      );
      await book.updateReading(sha256, {
        ...now,
        stretches: [
          ...known,
          { ...stretch, reading: reading.value, ...(calibration === undefined ? {} : { calibration }) },
        ],
      });
      const others = await book.list("pull", { seriesId: now.seriesId });
      const created = await createIn(effects, book, "pull", {
        seriesId: now.seriesId,
        recordingSha256: sha256,
        order: 1 + others.reduce((highest, { order }) => Math.max(highest, order ?? 0), 0),
        overrides: [{ what: "pull", ...stretch, by, at: effects.now(), why }],
        ...(benchId === undefined ? {} : { benchId }),
      });
      return created.ok ? pullIn(book, created.value.id) : created;
    });
  });
}

/** The pull that has some of these rows already, as why no other can be made of them; rows that are no pull are free. */
async function pullWithRows(
  book: Pick<StoreWork, "get" | "list" | "getRecording">,
  sha256: string,
  { fromRow, toRow }: Rows,
): Promise<Problem | undefined> {
  for (const { id, overrides } of await book.list("pull", { recordingSha256: sha256 })) {
    if (overrides.some(({ what }) => what === "other load")) continue;
    const pull = await pullIn(book, id);
    const read = pull.ok ? (pull.value.machineReading ?? pull.value.reading) : undefined;
    if (!pull.ok || read === undefined || read.endRow < fromRow || toRow < read.startRow) continue;
    const { specimenId, order } = pull.value;
    const specimen = specimenId === undefined ? undefined : await book.get("specimen", specimenId);
    const name = specimen === undefined ? `number ${order ?? "?"} in the order of pulling` : specimen.label;
    return {
      code: "BOOK_ROWS_TAKEN",
      message: `Some of these rows are a pull already: ${name}.`,
      where: { field: "fromRow" },
      found: `${id}, rows ${read.startRow} to ${read.endRow}`,
      wayOut: "Correct that pull, or say of it first that it is no pull but another load.",
    };
  }
  return undefined;
}

const row = z.number().int().min(1);
const said = {
  by: z.string().trim().max(200).default(""),
  why: z.string().trim().max(1000).default(""),
};

/** What a person says of a reading; what was measured there, and when it was said, is filled in here. */
export const correctionFields = z.discriminatedUnion("what", [
  z.object({ what: z.literal("boundary"), fromRow: row, toRow: row, ...said }),
  z.object({ what: z.literal("strike slip"), fromRow: row, ...said }),
  z.object({ what: z.literal("add slip"), fromRow: row, toRow: row, ...said }),
  z.object({ what: z.literal("other load"), ...said }),
]);

/** Rows of a recording that are a pull. */
export const rowsFields = z
  .object({ fromRow: row, toRow: row, ...said })
  .refine(({ fromRow, toRow }) => fromRow < toRow, { path: ["toRow"], message: "a row after fromRow" });

type Correction = z.infer<typeof correctionFields>;

/** The correction as it is kept; refused where the reading has nothing that it could correct. */
function complete(correction: Correction, at: string, reading: PullReading, trace: Trace): Result<Override> {
  const { by, why, what } = correction;
  const made = { by, at, why };
  if (what === "other load") return ok({ what, ...made });
  if (reading.deep === undefined) return refuse(notDeep);
  const timeAt = (at: number) => trace.timeS?.[at - 1];
  switch (what) {
    case "boundary": {
      const { fromRow, toRow } = correction;
      const { phases } = reading.deep;
      const starts = phases.find((phase) => phase.fromRow === fromRow);
      const last = phases.at(-1);
      const phase = starts ?? (last?.toRow === fromRow ? last : undefined);
      if (phase === undefined)
        return refuse(
          fieldProblem(
            "fromRow",
            fromRow,
            `a row at which a phase starts: ${phases.map((one) => one.fromRow).join(", ")}`,
          ),
        );
      const toS = timeAt(toRow);
      const forceN = netForceAt(trace, toRow, reading);
      return fitting(reading, "toRow", toRow, {
        what,
        phase: phase.name,
        edge: starts === undefined ? "end" : "start",
        fromRow,
        toRow,
        ...(toS === undefined ? {} : { toS }),
        ...(forceN === undefined ? {} : { forceN }),
        ...made,
      });
    }
    case "strike slip":
      return fitting(reading, "fromRow", correction.fromRow, { what, fromRow: correction.fromRow, ...made });
    case "add slip": {
      const { fromRow, toRow } = correction;
      if (toRow <= fromRow || fromRow < reading.startRow || toRow > reading.endRow)
        return refuse(
          fieldProblem(
            "toRow",
            toRow,
            `a row after fromRow, within the pull's ${reading.startRow} to ${reading.endRow}`,
          ),
        );
      const fromN = netForceAt(trace, fromRow, reading);
      const toN = netForceAt(trace, toRow, reading);
      if (fromN === undefined || toN === undefined || toN >= fromN)
        return refuse(fieldProblem("toRow", toRow, "a row at which the force is lower than at fromRow"));
      const fromS = timeAt(fromRow);
      return ok({ what, fromRow, toRow, ...(fromS === undefined ? {} : { fromS }), fromN, toN, ...made });
    }
  }
}

/** Tried on the reading first: a correction that would be lost at once is refused. */
function fitting(reading: PullReading, field: string, found: number, made: Override): Result<Override> {
  const { lost } = applyOverrides(reading, [made]);
  return lost.length === 0
    ? ok(made)
    : refuse(
        fieldProblem(
          field,
          found,
          made.what === "boundary"
            ? "a row between the neighbouring boundaries"
            : "the row of a slip that was read",
        ),
      );
}

/** The force at a row net of the rest as recorded: the cell's certificate corrects it when the reading is shown. */
function netForceAt(trace: Trace, at: number, { restN = 0 }: PullReading): number | undefined {
  const force = trace.forceN[at - 1];
  return force === undefined || Number.isNaN(force) ? undefined : force - restN;
}

async function storeOverrides(
  effects: Effects,
  pull: StoredRecord<"pull">,
  revision: number,
  overrides: readonly Override[],
): Promise<Result<StoredPull>> {
  return transact(effects.store, async (book) => {
    const changed = await changeIn(effects, book, "pull", pull.id, revision, { overrides });
    return changed.ok ? pullIn(book, pull.id) : changed;
  });
}

function changedSince(pull: StoredPull, revision: number): Problem | undefined {
  return pull.revision === revision
    ? undefined
    : refusalProblem({ kind: "changed-meanwhile", id: pull.id, revision: pull.revision });
}

const noReading: Problem = {
  code: "READING_NO_PULL",
  message: "Nothing was read for this pull, so there is nothing to correct.",
};

const notDeep: Problem = {
  code: "READING_NO_PULL",
  message: "This pull was read by a method that finds no phases and slips.",
  wayOut: "Read it again: bitterend reread.",
};

function fieldProblem(field: string, found: number, expected: string): Problem {
  return {
    code: "INPUT_FIELD",
    message: `This is not what is wanted here: ${expected}.`,
    where: { field },
    found: String(found),
    expected,
  };
}
