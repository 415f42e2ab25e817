import type { LayoutReason } from "../layout.ts";
import { displacementWords, hasWord, segmentWords } from "./header-words.ts";
import { reason } from "./layout-words.ts";
import { type Column, isNumeric } from "./sketch.ts";

/** Displacement where its unit is known, and a column that parts the pulls. */
export function extraColumns(
  columns: readonly Column[],
  taken: readonly (number | undefined)[],
  reasons: LayoutReason[],
) {
  const free = columns.filter(({ sketch }) => !taken.includes(sketch.column));
  const displacement = free.find(
    (column) =>
      isNumeric(column) &&
      column.heading.lengthUnit !== undefined &&
      column.sketch.kind === "number" &&
      hasWord(column.heading.words, displacementWords),
  );
  const segment = free.find(
    (column) => hasWord(column.heading.words, segmentWords) && stepsThroughPulls(column),
  );
  const unit = displacement?.heading.lengthUnit;
  if (displacement !== undefined)
    reasons.push(
      reason("displacement", `${JSON.stringify(displacement.sketch.name)} is the displacement, in ${unit}.`),
    );
  if (segment !== undefined)
    reasons.push(
      reason("segment", `Each change in ${JSON.stringify(segment.sketch.name)} starts another pull.`),
    );
  return {
    ...(displacement === undefined || unit === undefined
      ? {}
      : { displacement: { column: displacement.sketch.column, unit } }),
    ...(segment === undefined ? {} : { segment: { column: segment.sketch.column } }),
  };
}

/** Filled throughout, changed now and then, and never back to a value that was there before. */
function stepsThroughPulls({ cells, sketch }: Column): boolean {
  if (sketch.kind === "empty" || sketch.missing > 0) return false;
  const seen = new Set<string>();
  let last: string | undefined;
  for (const cell of cells) {
    if (cell === last) continue;
    if (seen.has(cell)) return false;
    seen.add(cell);
    last = cell;
  }
  return seen.size <= Math.max(1, cells.length / 20);
}
