import { ok, type Result, refuse, type Warning } from "../problem/mod.ts";
import {
  type DeepReading,
  type Layout,
  type PullReading,
  type ReadingContext,
  readTrace,
  type Trace,
} from "../trace/mod.ts";

/** Rows of a recording, both ends in, counted from 1. */
export type Rows = { readonly fromRow: number; readonly toRow: number };

/**
 * Reads some rows of a trace as one pull: what a person says is a pull although it was not read as one.
 *
 * `within` are the rows around it that belong to no other load; what of them lies no further away than the stretch is
 * long is looked at too, since the level at rest is found there. Rows in the result count in the whole recording; its
 * `index` is 0, for it is none of those that were found. Refused where nothing in the stretch rises above its scatter.
 *
 * @example
 * readStretch(trace, { stretch: { fromRow: 200, toRow: 420 }, within: { fromRow: 1, toRow: 900 }, layout })
 */
export function readStretch(
  trace: Trace,
  {
    stretch,
    within,
    layout,
    context,
  }: {
    readonly stretch: Rows;
    readonly within: Rows;
    readonly layout: Layout;
    readonly context?: ReadingContext;
  },
): Result<PullReading> {
  const rows = trace.forceN.length;
  const length = stretch.toRow - stretch.fromRow + 1;
  const from = Math.max(1, within.fromRow, stretch.fromRow - length);
  const to = Math.min(rows, within.toRow, stretch.toRow + length);
  const part = sliceOf(trace, from - 1, to);
  const read = readTrace(part, { layout, ...(context === undefined ? {} : { context }) });
  const pull = read.pulls
    .map((one) => ({ one, shared: sharedRows(shiftPull(one, from - 1), stretch) }))
    .filter(({ shared }) => shared > 0)
    .sort((a, b) => b.shared - a.shared)[0]?.one;
  if (pull === undefined)
    return refuse({
      code: "READING_NO_PULL",
      message: "No pull can be read in these rows: the force does not rise clearly above its own scatter.",
      found: `rows ${stretch.fromRow} to ${stretch.toRow}`,
      wayOut: "Name the rows from the rest before the load to the rest after it.",
    });
  const shifted = shiftPull(pull, from - 1);
  // Doubts of the samples around it are doubts of this pull.
  const doubts = read.warnings.filter(({ code }) => code.startsWith("READING_"));
  return ok({
    ...shifted,
    index: 0,
    warnings: [...shifted.warnings, ...doubts.map((doubt) => shiftWarning(doubt, from - 1))],
  });
}

/** How many rows two stretches have in common. */
export function sharedRows(
  pull: { readonly startRow: number; readonly endRow: number },
  { fromRow, toRow }: Rows,
): number {
  return Math.max(0, Math.min(pull.endRow, toRow) - Math.max(pull.startRow, fromRow) + 1);
}

/** Without the segments: a stretch that a person named is one pull, whatever the segments in it. */
function sliceOf({ forceN, timeS, displacementM }: Trace, from: number, to: number): Trace {
  const force = forceN.slice(from, to);
  return {
    forceN: force,
    missing: force.reduce((count, value) => count + (Number.isNaN(value) ? 1 : 0), 0),
    ...(timeS === undefined ? {} : { timeS: timeS.slice(from, to) }),
    ...(displacementM === undefined ? {} : { displacementM: displacementM.slice(from, to) }),
  };
}

function shiftPull(pull: PullReading, by: number): PullReading {
  return {
    ...pull,
    startRow: pull.startRow + by,
    endRow: pull.endRow + by,
    peakRow: pull.peakRow + by,
    drops: pull.drops.map((drop) => ({ ...drop, row: drop.row + by })),
    warnings: pull.warnings.map((warning) => shiftWarning(warning, by)),
    ...(pull.collapse === undefined ? {} : { collapse: { ...pull.collapse, row: pull.collapse.row + by } }),
    ...(pull.deep === undefined ? {} : { deep: shiftDeep(pull.deep, by) }),
  };
}

function shiftDeep(deep: DeepReading, by: number): DeepReading {
  const rows = <T extends Rows>(stretch: T): T => ({
    ...stretch,
    fromRow: stretch.fromRow + by,
    toRow: stretch.toRow + by,
  });
  return {
    ...deep,
    phases: deep.phases.map(rows),
    slips: deep.slips.map((slip) => ({ ...slip, row: slip.row + by })),
    ...(deep.hold === undefined ? {} : { hold: rows(deep.hold) }),
  };
}

function shiftWarning(warning: Warning, by: number): Warning {
  return warning.where?.row === undefined
    ? warning
    : { ...warning, where: { ...warning.where, row: warning.where.row + by } };
}
