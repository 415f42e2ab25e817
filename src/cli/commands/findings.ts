import type { App } from "../../app/mod.ts";
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

type SeriesFindings = Extract<Awaited<ReturnType<App["findings"]>>, { ok: true }>["value"];

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
      bound(cell.bound),
      percent(cell.meanLineEfficiency),
      percent(cell.meanLegEfficiency),
    ]);
    const [head = "", ...lines] = formatTable([tableHead(found.statedBy.name), ...rows], "lrrrrrrrr");
    terminal.out(terminal.paint.dim(head));
    for (const line of lines) terminal.out(line);
    for (const claim of claims(found)) terminal.out(terminal.paint.dim(plain(claim)));
    terminal.out("");
    for (const { sentence } of found.findings) terminal.out(plain(`- ${sentence}`));
    sayWarnings(terminal.out, [...found.warnings, ...warnings]);
    terminal.out("A dash: too few pulls to say. What was pulled on a bench is no certificate.");
    return exitCodes.done;
  } finally {
    await close();
  }
}

const tableHead = (bound: string) =>
  ["cell", "n", "mean", "SD", "CV", "lowest", bound, "line eff.", "leg eff."] as const;

/** What the bounds claim, each sentence once, with how many stopped pulls each counts. */
function claims(found: SeriesFindings): string[] {
  const stated = found.cells.flatMap(({ label, bound }) => (bound.ok ? [{ label, ...bound.value }] : []));
  const meanings = [...new Set(stated.map(({ meaning }) => meaning))];
  const counted = stated
    .filter(({ stopped }) => stopped > 0)
    .map(({ label, stopped, n }) => `${label}: ${stopped} of ${n}`);
  return [
    ...meanings.map((meaning) => `${found.statedBy.name}: ${meaning}`),
    ...(counted.length === 0
      ? []
      : [`Stopped, and counted in the bound as at least that: ${counted.join("; ")}.`]),
  ];
}

function force(value: Result<number>): string {
  return value.ok ? formatForce(newtons(value.value)).text : "-";
}

/** A bound below zero says no more than that: the figure behind it would only look exact. */
function bound(value: SeriesFindings["cells"][number]["bound"]): string {
  if (!value.ok) return "-";
  return value.value.boundN < 0 ? "below 0" : formatForce(newtons(value.value.boundN)).text;
}

function percent(value: Result<number>): string {
  return value.ok ? `${formatNumber(value.value * 100, { significant: 3 })} %` : "-";
}
