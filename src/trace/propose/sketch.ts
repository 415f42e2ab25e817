import type { ColumnSketch } from "../layout.ts";
import { parseNumberText } from "../text/numbers.ts";
import { kindOf } from "./dialect.ts";
import { type Heading, readHeading } from "./header-words.ts";

/** A column of the head with what was found out about it. */
export type Column = {
  readonly sketch: ColumnSketch;
  readonly heading: Heading;
  /** Cells as they stand, row by row. */
  readonly cells: readonly string[];
  /** Their numbers; NaN where missing. Empty for a column that is not one of numbers. */
  readonly values: Float64Array;
  /** The numbers without the missing ones. */
  readonly present: Float64Array;
};

const mostExamples = 3;

/** Describes one column of the head's rows. */
export function sketchColumn(
  column: number,
  name: string,
  unitCell: string | undefined,
  cells: readonly string[],
  decimal: "." | ",",
): Column {
  const heading = readHeading(name, unitCell);
  const counts = { number: 0, stamp: 0, missing: 0, text: 0 };
  const values = new Float64Array(cells.length);
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  cells.forEach((cell, row) => {
    const value = parseNumberText(cell, decimal);
    values[row] = value;
    if (Number.isNaN(value)) {
      counts[kindOf(cell, decimal)]++;
      return;
    }
    counts.number++;
    lowest = Math.min(lowest, value);
    highest = Math.max(highest, value);
  });
  const filled = cells.length - counts.missing;
  const texts = new Set<string>();
  for (let row = 0; row < cells.length && texts.size < mostExamples; row++)
    if (cells[row] !== "") texts.add(cells[row] as string);
  const isNumber = counts.number > 0 && counts.number >= 0.9 * filled;
  const constant = filled > 2 && texts.size === 1 && filled >= 0.5 * cells.length;
  const kind =
    filled === 0
      ? "empty"
      : constant
        ? "constant"
        : isNumber
          ? "number"
          : counts.stamp >= 0.9 * filled
            ? "time"
            : "text";
  const sketch: ColumnSketch = {
    column,
    name,
    ...(heading.unitText === undefined ? {} : { unit: heading.unitText }),
    kind,
    ...(isNumber ? { lowest, highest } : {}),
    missing: counts.missing,
    examples: [...texts],
  };
  const kept = isNumber ? values : new Float64Array(0);
  const present = counts.number < kept.length ? kept.filter((value) => !Number.isNaN(value)) : kept;
  return { sketch, heading, cells, values: kept, present };
}

/** Whether a column's numbers can be looked at. */
export function isNumeric(column: Column): boolean {
  return column.values.length > 0;
}
