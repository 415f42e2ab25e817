import { convert, fromForceUnit } from "../../units/mod.ts";
import type { Layout } from "../layout.ts";
import { type ColumnMemory, createGrowingColumn } from "./growing.ts";
import type { TimeCells } from "./time-cells.ts";
import type { WantedColumn } from "./wanted-column.ts";

/** The columns that a layout names, empty; `memory` is where they begin to grow, in the order of `wanted`. */
export function createColumns(
  layout: Layout,
  timeCells: TimeCells | undefined,
  memory: readonly ColumnMemory[] = [],
) {
  const [force, time, displacement] = [
    createGrowingColumn(memory[0]),
    createGrowingColumn(timeCells === undefined ? undefined : memory[1]),
    createGrowingColumn(memory[timeCells === undefined ? 1 : 2]),
  ] as const;
  const factor = fromForceUnit(1, layout.force.unit) * (layout.force.inverted ? -1 : 1);
  const metres = layout.displacement === undefined ? 0 : lengthFactor(layout.displacement.unit);
  const timeColumn = layout.time.kind === "column" ? layout.time.column : 0;
  const wanted: readonly WantedColumn[] = [
    { column: layout.force.column, values: force, scale: factor },
    ...(timeCells === undefined ? [] : [{ column: timeColumn, values: time, scale: timeCells }]),
    ...(layout.displacement === undefined
      ? []
      : [{ column: layout.displacement.column, values: displacement, scale: metres }]),
  ];
  return { force, time, displacement, wanted, factor, metres };
}

function lengthFactor(unit: string): number {
  const converted = convert(1, unit, "m");
  return converted.ok ? converted.value : Number.NaN; // LengthUnit is a subset of the table, held by a test of units
}
