import { ok, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { type CellCalibration, fitCell, type PullReading } from "../../trace/mod.ts";
import type { Effects } from "../contract.ts";
import type { StoredRecord } from "../records.ts";
import type { ReadingOfRecording, StoredPull, StoreWork } from "../store.ts";
import { applyOverrides } from "./apply-overrides.ts";
import { type Cells, calibrationKey, calibrationOf, cellsOf } from "./cells.ts";
import { notFound, orTrouble } from "./transact.ts";

/** A pull with what was read for it. */
export async function getPull({ store }: Effects, id: string): Promise<Result<StoredPull>> {
  return orTrouble(async () => pullIn(store.read, id));
}

/** The same inside a transaction of the caller. */
export async function pullIn(
  book: Pick<StoreWork, "get" | "list" | "getRecording">,
  id: string,
): Promise<Result<StoredPull>> {
  const pull = await book.get("pull", id);
  if (pull === undefined) return refuse(notFound("pull", id));
  const recording =
    pull.recordingSha256 === undefined ? undefined : await book.getRecording(pull.recordingSha256);
  return ok(withReading(pull, recording, await cellsOf(book)));
}

/**
 * The pull with its part of the recording's reading and what a person corrected of it. A reading that was made with
 * another calibration than its cell has now carries a warning: it is never shown as if it were up to date.
 */
export function withReading(
  pull: StoredRecord<"pull">,
  recording: ReadingOfRecording | undefined,
  cells: Cells,
): StoredPull {
  const machine = recording === undefined ? undefined : machineReading(pull, recording);
  if (machine === undefined) return pull;
  const now = calibrationOf(pull.benchId, cells);
  const doubted =
    calibrationKey(now) === calibrationKey(machine.calibration)
      ? machine.reading
      : { ...machine.reading, warnings: [...machine.reading.warnings, outOfDate] };
  const cell =
    machine.calibration === undefined || pull.overrides.length === 0
      ? undefined
      : fitCell(machine.calibration);
  const { reading } = applyOverrides(doubted, pull.overrides, cell);
  return { ...pull, reading, ...(reading === doubted ? {} : { machineReading: doubted }) };
}

/** Whether the reading of a pull was made with what is known of its cell now. */
export function isUpToDate(pull: StoredRecord<"pull">, recording: ReadingOfRecording, cells: Cells): boolean {
  const machine = machineReading(pull, recording);
  return (
    machine === undefined ||
    calibrationKey(machine.calibration) === calibrationKey(calibrationOf(pull.benchId, cells))
  );
}

/** The rows that a person named as this pull, where it was not read as one. */
export function stretchOf({ overrides }: Pick<StoredRecord<"pull">, "overrides">) {
  return overrides.find((override) => override.what === "pull");
}

/** In the order of pulling; those without one come last, in the order in which they came to the book. */
export function byOrder(a: StoredRecord<"pull">, b: StoredRecord<"pull">): number {
  return (a.order ?? Number.MAX_SAFE_INTEGER) - (b.order ?? Number.MAX_SAFE_INTEGER);
}

type MachineReading = { readonly reading: PullReading; readonly calibration: CellCalibration | undefined };

function machineReading(
  pull: StoredRecord<"pull">,
  { reading, readWith, stretches }: ReadingOfRecording,
): MachineReading | undefined {
  const { recordingPull } = pull;
  if (recordingPull !== undefined) {
    const found = reading.pulls.find(({ index }) => index === recordingPull);
    const calibration = readWith.find(({ pulls }) => pulls.includes(recordingPull))?.calibration;
    return found === undefined ? undefined : { reading: withDoubts(found, reading.warnings), calibration };
  }
  const named = stretchOf(pull);
  const stretch = stretches.find(
    ({ fromRow, toRow, pullId }) =>
      pullId === undefined && fromRow === named?.fromRow && toRow === named?.toRow,
  );
  return stretch === undefined ? undefined : { reading: stretch.reading, calibration: stretch.calibration };
}

/** What is doubted of the samples of a whole recording, or of its cell, touches each pull in it. */
function withDoubts(reading: PullReading, ofRecording: readonly Warning[]): PullReading {
  const doubts = ofRecording.filter(({ code }) => code.startsWith("READING_"));
  return doubts.length === 0 ? reading : { ...reading, warnings: [...reading.warnings, ...doubts] };
}

const outOfDate: Warning = {
  code: "READING_OUT_OF_DATE",
  message: "This was read before the load cell or its calibration was entered as it stands now.",
  wayOut: "Read it again: bitterend reread.",
};
