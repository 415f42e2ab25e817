import { ok, type Result, type Warning } from "../../problem/mod.ts";
import type { CellCalibration, Layout, PullReading, Reading, ReadingContext } from "../../trace/mod.ts";
import type { Effects } from "../contract.ts";
import type { Rows } from "../read-stretch.ts";
import { sharedRows } from "../read-stretch.ts";
import type { StoredRecord } from "../records.ts";
import type { ReadingOfRecording, ReadWith, StoredRecording, StretchReading } from "../store.ts";
import { type Cells, calibrationKey, calibrationOf } from "./cells.ts";
import { stretchOf } from "./pulls.ts";

/** A recording read again, and which of its pulls each record of a pull is now. */
export type ReadAnew = {
  readonly read: ReadingOfRecording;
  /** By the pull's id: its number now, or nothing where the recording no longer shows it. */
  readonly numbers: ReadonlyMap<string, number | undefined>;
  /** Numbers of pulls that were not there before, in no form. */
  readonly found: readonly number[];
};

/**
 * Reads a recording from its bytes as the book says now: by this layout, each pull with the calibration of its own
 * bench's cell, and the stretches that persons named. The records of its pulls are matched to what is read by the rows
 * that they share.
 *
 * Pulls of one recording are of one bench as a rule; where they are not, the recording is read once for each calibration.
 */
export async function readAnew(
  effects: Pick<Effects, "readRecording" | "readStretch">,
  bytes: Uint8Array,
  layout: Layout,
  known: {
    readonly recording: StoredRecording;
    readonly pulls: readonly StoredRecord<"pull">[];
    readonly cells: Cells;
  },
): Promise<Result<ReadAnew>> {
  const { recording, pulls, cells } = known;
  const readings = new Map<string, Reading>();
  const readWith = async (calibration: CellCalibration | undefined): Promise<Result<Reading>> => {
    const key = calibrationKey(calibration);
    const at = readings.get(key);
    if (at !== undefined) return ok(at);
    const context = contextOf(calibration, recording.importedAt);
    const read = await effects.readRecording([bytes], layout, { context });
    if (read.ok) readings.set(key, read.value);
    return read;
  };

  const first = calibrationOf(firstOf(pulls)?.benchId, cells);
  const base = await readWith(first);
  if (!base.ok) return base;
  const { numbers, lost } = matchRecords(recording, pulls, base.value.pulls);
  const read = [...base.value.pulls];
  const calibrations = new Map(
    read.map(({ index }): [number, CellCalibration | undefined] => [index, first]),
  );
  for (const pull of pulls) {
    const number = numbers.get(pull.id);
    const ofPull = calibrationOf(pull.benchId, cells);
    if (number === undefined || calibrationKey(ofPull) === calibrationKey(first)) continue;
    const other = await readWith(ofPull);
    if (!other.ok) return other;
    const place = read.findIndex(({ index }) => index === number);
    const same = bestMatch(read[place] as PullReading, other.value.pulls);
    // Read with this calibration it may be no pull: then it is shown as read with the other, marked as out of date.
    if (same === undefined) continue;
    read[place] = { ...same, index: number, warnings: [...same.warnings, ...ofCell(other.value.warnings)] };
    calibrations.set(number, ofPull);
  }
  // Doubts of one cell are no doubts of the pulls of another: then each pull carries those of its own.
  const mixed = readings.size > 1;
  const warnings = base.value.warnings.filter((warning) => !mixed || !isOfCell(warning));
  const own = read.map((pull) =>
    mixed && calibrationKey(calibrations.get(pull.index)) === calibrationKey(first)
      ? { ...pull, warnings: [...pull.warnings, ...ofCell(base.value.warnings)] }
      : pull,
  );

  const stretches = await readStretches(effects, bytes, layout, {
    reading: base.value,
    importedAt: recording.importedAt,
    wanted: pulls.flatMap((pull) => {
      const named = stretchOf(pull);
      return pull.recordingPull !== undefined || named === undefined
        ? []
        : [{ fromRow: named.fromRow, toRow: named.toRow, calibration: calibrationOf(pull.benchId, cells) }];
    }),
  });
  const given = new Set(numbers.values());
  const before = [...recording.reading.pulls, ...stretches.map(({ reading }) => reading)];
  return ok({
    read: {
      layout,
      reading: { ...base.value, pulls: own, warnings },
      readWith: groupByCalibration(calibrations),
      stretches: [...stretches, ...lost],
    },
    numbers,
    found: read
      .filter((pull) => !given.has(pull.index) && bestMatch(pull, before) === undefined)
      .map(({ index }) => index),
  });
}

/** The pull whose bench counts for what no record speaks of: the first that was read, or else the first there is. */
export function firstOf(pulls: readonly StoredRecord<"pull">[]): StoredRecord<"pull"> | undefined {
  const place = ({ recordingPull }: StoredRecord<"pull">) => recordingPull ?? Number.MAX_SAFE_INTEGER;
  return [...pulls].sort((a, b) => place(a) - place(b))[0];
}

/** What is known beside a recording: its cell, and the day on which it came, so that a later reading says the same. */
export function contextOf(calibration: CellCalibration | undefined, importedAt: string): ReadingContext {
  return { today: importedAt.slice(0, 10), ...(calibration === undefined ? {} : { calibration }) };
}

/** The pulls' numbers by the calibration that they were read with; those read without one are not named. */
export function groupByCalibration(
  calibrations: ReadonlyMap<number, CellCalibration | undefined>,
): readonly ReadWith[] {
  const groups = new Map<string, { calibration: CellCalibration; pulls: number[] }>();
  for (const [number, calibration] of calibrations) {
    if (calibration === undefined) continue;
    const key = calibrationKey(calibration);
    const group = groups.get(key) ?? { calibration, pulls: [] };
    group.pulls.push(number);
    groups.set(key, group);
  }
  return [...groups.values()];
}

/** Rows around a stretch that belong to no other load. */
export function freeRowsAround(
  { fromRow, toRow }: Rows,
  reading: Pick<Reading, "rows" | "pulls" | "otherLoads">,
): Rows {
  const others = [...reading.pulls, ...reading.otherLoads].filter(
    (load) => sharedRows(load, { fromRow, toRow }) === 0,
  );
  const before = others.map(({ endRow }) => endRow).filter((row) => row < fromRow);
  const after = others.map(({ startRow }) => startRow).filter((row) => row > toRow);
  return { fromRow: Math.max(0, ...before) + 1, toRow: Math.min(reading.rows + 1, ...after) - 1 };
}

async function readStretches(
  effects: Pick<Effects, "readStretch">,
  bytes: Uint8Array,
  layout: Layout,
  {
    reading,
    importedAt,
    wanted,
  }: {
    readonly reading: Reading;
    readonly importedAt: string;
    readonly wanted: readonly (Rows & { readonly calibration: CellCalibration | undefined })[];
  },
): Promise<readonly StretchReading[]> {
  const stretches: StretchReading[] = [];
  for (const { fromRow, toRow, calibration } of wanted) {
    const stretch = { fromRow, toRow };
    const read = await effects.readStretch([bytes], layout, {
      stretch,
      within: freeRowsAround(stretch, reading),
      context: contextOf(calibration, importedAt),
    });
    // Read by another layout there may be nothing in these rows: then the pull has no reading, and the changes say so.
    if (read.ok)
      stretches.push({
        ...stretch,
        reading: read.value,
        ...(calibration === undefined ? {} : { calibration }),
      });
  }
  return stretches;
}

function ofCell(warnings: readonly Warning[]): Warning[] {
  return warnings.filter(isOfCell);
}

/** Doubts that come from what is known of the load cell, not from the samples. */
function isOfCell({ code }: Warning): boolean {
  return code.startsWith("READING_CELL_") || code === "READING_ABOVE_CAPACITY";
}

/**
 * Which number each record of a pull has now. A record whose pull is no longer shown keeps its last rows among the
 * stretches, so that it is found again when a later reading, or the former layout, shows it again.
 */
function matchRecords(
  { reading, stretches }: StoredRecording,
  records: readonly StoredRecord<"pull">[],
  now: readonly PullReading[],
): { readonly numbers: Map<string, number | undefined>; readonly lost: readonly StretchReading[] } {
  const matched = matchPulls(reading.pulls, now);
  const numbers = new Map<string, number | undefined>();
  for (const { id, recordingPull } of records)
    if (recordingPull !== undefined) numbers.set(id, matched.get(recordingPull));
  const lost: StretchReading[] = [];
  for (const record of records) {
    const { id, recordingPull } = record;
    if (numbers.get(id) !== undefined || (recordingPull === undefined && stretchOf(record) !== undefined))
      continue;
    const last = reading.pulls.find(({ index }) => index === recordingPull);
    const rows =
      last === undefined
        ? stretches.find(({ pullId }) => pullId === id)
        : { ...rowsOf(last), reading: last, pullId: id };
    if (rows === undefined) continue;
    const given = new Set(numbers.values());
    const again = bestMatch(
      rows.reading,
      now.filter(({ index }) => !given.has(index)),
    );
    if (again === undefined) lost.push(rows);
    else numbers.set(id, again.index);
  }
  return { numbers, lost };
}

/** For each old pull's number the new one's: those that share most rows, each new one once. */
function matchPulls(old: readonly PullReading[], now: readonly PullReading[]): ReadonlyMap<number, number> {
  const pairs = old
    .flatMap((one) => now.map((other) => ({ one, other, shared: sharedRows(one, rowsOf(other)) })))
    .filter(({ shared }) => shared > 0)
    .sort((a, b) => b.shared - a.shared);
  const matched = new Map<number, number>();
  const taken = new Set<number>();
  for (const { one, other } of pairs) {
    if (matched.has(one.index) || taken.has(other.index)) continue;
    matched.set(one.index, other.index);
    taken.add(other.index);
  }
  return matched;
}

function bestMatch(pull: PullReading, among: readonly PullReading[]): PullReading | undefined {
  return among
    .map((other) => ({ other, shared: sharedRows(pull, rowsOf(other)) }))
    .filter(({ shared }) => shared > 0)
    .sort((a, b) => b.shared - a.shared)[0]?.other;
}

function rowsOf({ startRow, endRow }: PullReading): Rows {
  return { fromRow: startRow, toRow: endRow };
}
