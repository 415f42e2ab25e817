import type { Problem, Warning } from "../../problem/mod.ts";
import { stepRange } from "../kernel/steps.ts";
import type { Layout } from "../layout.ts";
import { clockResets } from "../samples/clock.ts";

/** With fewer rows a straight line proves nothing. */
const fewestForStraight = 20;

/**
 * Whether the force is an exact straight line in the row number or in time, as a counter or a clock is and a measured
 * force never is. A value may lie off the line by one unit of its last printed digit, where the column spans 100 of them.
 *
 * @param resolution one unit of the last printed digit, in newtons.
 */
export function checkForce(
  forceN: Float64Array,
  timeS: Float64Array | undefined,
  layout: Layout,
  resolution: number,
): Problem | undefined {
  if (forceN.length < fewestForStraight) return undefined;
  const byRow = isStraight(forceN, undefined, resolution);
  if (!byRow && !(timeS !== undefined && isStraight(forceN, timeS, resolution))) return undefined;
  const name = layout.columnNames[layout.force.column - 1] ?? `column ${layout.force.column}`;
  return {
    code: "TRACE_FORCE_STRAIGHT",
    message:
      `Column ${JSON.stringify(name)} is an exact straight line in ${byRow ? "the row number" : "time"}: ` +
      "a counter, a clock or a position, and no measured force.",
    where: { column: name },
    found: `${forceN[0]} to ${forceN.at(-1)} N in even steps`,
    expected: "a column of measured force",
    wayOut: "Name the column of force with --force-column.",
  };
}

function isStraight(force: Float64Array, along: Float64Array | undefined, resolution: number): boolean {
  let first = 0;
  let last = force.length - 1;
  while (first < last && Number.isNaN(force[first] as number)) first++;
  while (last > first && Number.isNaN(force[last] as number)) last--;
  if (last - first + 1 < fewestForStraight) return false;
  const at = (row: number) => (along === undefined ? row : (along[row] as number));
  const rise = (force[last] as number) - (force[first] as number);
  const run = at(last) - at(first);
  if (rise === 0 || !(run > 0)) return false;
  // Both ends of the line and the value itself are rounded by up to half a digit.
  const rounding = Math.abs(rise) >= 100 * resolution ? 1.01 * resolution : 0;
  const tolerance = Math.max(rounding, 1e-9 * Math.abs(rise));
  for (let row = first; row <= last; row++) {
    const value = force[row] as number;
    if (Number.isNaN(value)) continue;
    const onLine = (force[first] as number) + (rise * (at(row) - at(first))) / run;
    if (Math.abs(value - onLine) > tolerance) return false;
  }
  return true;
}

/** A column of time may run backward in this part of its steps; with more it is no clock. */
const mostBackward = 0.05;

/** Whether a column of time runs as a clock does; where it steps back, a warning says so and where. */
export function checkTime(timeS: Float64Array, layout: Layout): { problem?: Problem; warnings: Warning[] } {
  // Mostly it does, and the range of its steps says so: a row without a time is none (12 ms less for 1e7 rows).
  if (stepRange(timeS).shortest >= 0) return { warnings: [] };
  let backward = 0;
  let first = -1;
  let before = timeS[0] as number;
  for (let row = 1; row < timeS.length; row++) {
    const now = timeS[row] as number;
    if (!(now >= before)) {
      backward++;
      if (first < 0) first = row;
    }
    before = now;
  }
  if (backward === 0) return { warnings: [] };
  const column = layout.time.kind === "column" ? layout.time.column : 0;
  const name = layout.columnNames[column - 1] ?? `column ${column}`;
  const found = `${timeS[first]} s after ${timeS[first - 1]} s in row ${first + 1}`;
  if (backward > Math.max(2, mostBackward * (timeS.length - 1)) || backward > (timeS.length - 1) / 2) {
    return {
      problem: {
        code: "TRACE_TIME_BACKWARD",
        message: `Column ${JSON.stringify(name)} runs backward in ${backward} of ${timeS.length - 1} steps: it is no clock.`,
        where: { row: first + 1, column: name },
        found,
        expected: "times that do not fall",
        wayOut: "Name another column with --time-column, or give the logger's rate with --rate-hz.",
      },
      warnings: [],
    };
  }
  const resets = clockResets(timeS).length;
  if (resets === backward) {
    return {
      warnings: [
        {
          code: "TRACE_CLOCK_RESET",
          message: `The clock starts again ${resets === 1 ? "once" : `${resets} times`}, first in row ${first + 1}: times before and after cannot be compared.`,
          where: { row: first + 1, column: name },
          found,
        },
      ],
    };
  }
  return {
    warnings: [
      {
        code: "TRACE_TIME_BACKWARD",
        message: `The time runs backward in ${backward} row${backward === 1 ? "" : "s"}, first in row ${first + 1}.`,
        where: { row: first + 1, column: name },
        found,
        expected: "times that do not fall",
      },
    ],
  };
}
