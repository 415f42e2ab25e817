import type { Result } from "../../problem/mod.ts";
import { formatForce, formatNumber, newtons } from "../../units/mod.ts";
import { openBook } from "../book.ts";
import {
  type ExitCode,
  exitCodes,
  formatTable,
  plain,
  refuseAloud,
  sayWarnings,
  type Terminal,
  toJson,
} from "../terminal.ts";

/** Prints what a series shows: outcomes, a table of the plan's cells, and the sentences. */
export async function showFindings(
  seriesId: string,
  options: { readonly book?: string; readonly json?: boolean },
  terminal: Terminal,
): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    const judged = await app.findings(seriesId);
    if (!judged.ok) return refuseAloud(terminal, `Cannot judge ${seriesId}`, judged.problems, options);
    const { value: found, warnings } = judged;
    if (options.json) {
      terminal.out(toJson({ ...found, warnings: [...found.warnings, ...warnings] }));
      return exitCodes.done;
    }
    const { broke, slipped, stopped, void: voided } = found.outcomes;
    terminal.out(
      `${found.pulls.length} pulls: ${broke} broke, ${slipped} slipped, ${stopped} stopped, ${voided} void`,
    );
    terminal.out("");
    const rows = found.cells.map((cell) => [
      plain(cell.label),
      String(cell.n),
      force(cell.meanN),
      force(cell.sdN),
      percent(cell.cv),
      force(cell.lowestN),
      bound(cell.toleranceBoundN),
      percent(cell.meanLineEfficiency),
      percent(cell.meanLegEfficiency),
    ]);
    const [head = "", ...lines] = formatTable([tableHead, ...rows], "lrrrrrrrr");
    terminal.out(terminal.paint.dim(head));
    for (const line of lines) terminal.out(line);
    terminal.out("");
    for (const { sentence } of found.findings) terminal.out(plain(`- ${sentence}`));
    sayWarnings(terminal.out, [...found.warnings, ...warnings]);
    terminal.out("A dash: too few pulls to say. What was pulled on a bench is no certificate.");
    return exitCodes.done;
  } finally {
    await close();
  }
}

const tableHead = ["cell", "n", "mean", "SD", "CV", "lowest", "95/95 bound", "line eff.", "leg eff."];

function force(value: Result<number>): string {
  return value.ok ? formatForce(newtons(value.value)).text : "-";
}

/** A bound below zero says no more than that: the figure behind it would only look exact. */
function bound(value: Result<number>): string {
  return value.ok && value.value < 0 ? "below 0" : force(value);
}

function percent(value: Result<number>): string {
  return value.ok ? `${formatNumber(value.value * 100, { significant: 3 })} %` : "-";
}
