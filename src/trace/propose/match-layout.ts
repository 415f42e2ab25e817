import type { Layout, LayoutProposal } from "../layout.ts";
import { splitCells } from "../text/cells.ts";
import { kindOf } from "./dialect.ts";

export type SavedLayout = { readonly id: string; readonly layout: Layout };

/** A saved layout that fits a file, and by what. */
export type LayoutMatch = SavedLayout & {
  /** By the names in the header; or, where there is no header, only by number and kind of the columns. */
  readonly by: "names" | "shape";
  readonly reason: string;
};

/**
 * Which saved layout fits this file, so that a correction made once holds for the logger's next file. It fits where the
 * file's first lines, read by it, have its columns under its headings, its time is time, and its force is numbers. What
 * it says of unit, columns and clock is then answered. Headings decide before mere shape, and earlier ones in the list
 * before later ones: put the newest first.
 *
 * @example
 * matchLayout(proposal, [{ id: "crane scale", layout }])?.layout.force.unit
 */
export function matchLayout(
  proposal: LayoutProposal,
  saved: readonly SavedLayout[],
): LayoutMatch | undefined {
  const byShape: LayoutMatch[] = [];
  for (const { id, layout } of saved) {
    if (!fits(proposal, layout)) continue;
    if (layout.headerRow)
      return {
        id,
        layout,
        by: "names",
        reason: `The columns have the names that layout ${JSON.stringify(id)} knows.`,
      };
    byShape.push({
      id,
      layout,
      by: "shape",
      reason: `The file has no header, and as many columns of the same kinds as layout ${JSON.stringify(id)}: check the unit.`,
    });
  }
  return byShape[0];
}

function fits({ layout: draft, preview }: LayoutProposal, saved: Layout): boolean {
  if (draft.encoding.startsWith("utf-16") !== saved.encoding.startsWith("utf-16")) return false;
  if (saved.headerRow !== draft.headerRow && sameDialect(draft, saved)) return false;
  const rest = preview.lines.slice(saved.preambleLines).filter((line) => line.trim() !== "");
  if (saved.headerRow) {
    const header = rest.shift()?.replace(/^\s*[#%]\s*/, "") ?? "";
    const names = splitCells(header, saved.separator);
    const same = sameDialect(draft, saved) ? draft.columnNames : names;
    if (
      !saved.columnNames.every((name, at) => same[at] === name || (same[at] ?? "") === "") ||
      same.length > saved.columnNames.length
    )
      return false;
  }
  if (saved.unitRow) rest.shift();
  // Where the preamble is longer than the preview there are no lines to look at; the names have to do.
  const rows = rest.map((line) => splitCells(line, saved.separator));
  if (rows.length === 0) return saved.headerRow && sameDialect(draft, saved);
  return rows.every((cells) => cells.length === saved.columnNames.length && cellsFit(cells, saved));
}

function cellsFit(cells: readonly string[], { force, time, decimal }: Layout): boolean {
  const forceKind = kindOf(cells[force.column - 1] ?? "", decimal);
  if (forceKind !== "number" && forceKind !== "missing") return false;
  if (time.kind !== "column") return true;
  const timeKind = kindOf(cells[time.column - 1] ?? "", decimal);
  const stamped = time.format === "date-time" || time.format === "time-of-day";
  return timeKind === "missing" || timeKind === (stamped ? "stamp" : "number");
}

function sameDialect(draft: LayoutProposal["layout"], saved: Layout): boolean {
  return draft.separator === saved.separator && draft.decimal === saved.decimal;
}
