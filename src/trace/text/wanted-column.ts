import type { GrowingColumn } from "./growing.ts";
import type { TimeCells } from "./time-cells.ts";

/** A column that the layout names, and where its numbers go. */
export type WantedColumn = {
  /** Its place in a row, from 1. */
  readonly column: number;
  readonly values: GrowingColumn;
  /** What its numbers are multiplied by; of a column of time, what reads its cells. */
  readonly scale: number | TimeCells;
};
