import type { PastedCalibration, StoredRecord } from "../../app/mod.ts";
import type { Problem, Warning } from "../../problem/mod.ts";
import { type ForceUnit, formatForce, formatNumber, newtons } from "../../units/mod.ts";
import { openBook } from "../book.ts";
import { readBytes } from "../files.ts";
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

export type CertificateOptions = {
  readonly cell?: string;
  readonly appliedUnit?: ForceUnit;
  readonly indicatedUnit?: ForceUnit;
  readonly calibratedOn?: string;
  readonly accuracyClass?: number;
  readonly dryRun?: boolean;
  readonly book?: string;
  readonly json?: boolean;
};

/**
 * Keeps the points of a load cell's certificate, in place of those that it had; the pulls measured with the cell are read
 * again with them. Without a file: lists the load cells of the book.
 */
export async function keepCertificate(
  file: string | undefined,
  options: CertificateOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  if (file === undefined) return listCells(options, terminal);
  const { cell: id } = options;
  if (id === undefined) {
    terminal.err(
      "error: --cell ID says whose certificate this is; `bitterend certificate` lists the load cells\nTry --help.",
    );
    return exitCodes.wrongUsage;
  }
  const heading = `Cannot keep ${file}: nothing was stored`;
  const bytes = await readBytes(file, terminal.input);
  if (!bytes.ok) return refuseAloud(terminal, heading, bytes.problems, options);
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    const { appliedUnit, indicatedUnit, calibratedOn, accuracyClass } = options;
    const read = app.readCalibration({
      text: textOf(bytes.value.bytes),
      ...(appliedUnit === undefined ? {} : { appliedUnit }),
      ...(indicatedUnit === undefined ? {} : { indicatedUnit }),
    });
    if (!read.ok) return refuseAloud(terminal, heading, read.problems.map(withOption), options);
    const before = await app.get("load-cell", id);
    if (!before.ok) return refuseAloud(terminal, heading, before.problems, options);
    if (options.dryRun === true) {
      say(read.value, before.value, read.warnings, { ...options, kept: false }, terminal);
      return exitCodes.done;
    }
    const changed = await app.change("load-cell", id, before.value.revision, {
      calibrationPoints: read.value.points,
      ...(calibratedOn === undefined ? {} : { calibratedOn }),
      ...(accuracyClass === undefined ? {} : { accuracyClass }),
    });
    if (!changed.ok) return refuseAloud(terminal, heading, changed.problems, options);
    const warnings = [...read.warnings, ...changed.warnings];
    say(read.value, changed.value, warnings, { ...options, kept: true, before: before.value }, terminal);
    return exitCodes.done;
  } finally {
    await close();
  }
}

type LoadCell = StoredRecord<"load-cell">;

async function listCells(options: CertificateOptions, terminal: Terminal): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    const cells = await app.list("load-cell");
    if (options.json) terminal.out(toJson(cells));
    else if (cells.length === 0)
      terminal.out("The book holds no load cell yet. Enter one in the web app: bitterend start");
    else {
      const rows = cells.map(({ id, name, calibrationPoints, calibratedOn }) => [
        id,
        plain(name),
        String(calibrationPoints.length),
        calibratedOn ?? "-",
      ]);
      const [head = "", ...lines] = formatTable(
        [["id", "load cell", "points", "calibrated on"], ...rows],
        "llrl",
      );
      terminal.out(terminal.paint.dim(head));
      for (const line of lines) terminal.out(line);
    }
    return exitCodes.done;
  } finally {
    await close();
  }
}

function say(
  { points, appliedUnit, indicatedUnit }: PastedCalibration,
  cell: LoadCell,
  warnings: readonly Warning[],
  { json, kept, before }: { readonly json?: boolean; readonly kept: boolean; readonly before?: LoadCell },
  terminal: Terminal,
): void {
  if (json) {
    terminal.out(toJson({ dryRun: !kept, loadCell: cell, points, appliedUnit, indicatedUnit, warnings }));
    return;
  }
  const rows = points.map(({ appliedN, indicatedN }) => [
    force(appliedN),
    force(indicatedN),
    formatNumber(indicatedN - appliedN, { significant: 3 }),
  ]);
  const [head = "", ...lines] = formatTable([["applied", "shown", "error, N"], ...rows], "rrr");
  terminal.out(terminal.paint.dim(head));
  for (const line of lines) terminal.out(line);
  const instead = before?.calibrationPoints.length ?? 0;
  terminal.out(
    kept
      ? plain(
          `${counted(points.length)} kept for ${cell.name}${instead === 0 ? "" : `, in place of ${instead}`}; the pulls measured with it were read again`,
        )
      : plain(`${counted(points.length)} read for ${cell.name}; nothing was stored`),
  );
  sayWarnings(terminal.out, warnings);
}

function counted(points: number): string {
  return `${points} ${points === 1 ? "point" : "points"}`;
}

/** To six digits: no certificate says more. */
function force(forceN: number): string {
  return formatForce(newtons(forceN), "kN", { significant: 6 }).text;
}

/** The same problem with the option that answers it. */
function withOption(problem: Problem): Problem {
  const option = { appliedUnit: "--applied-unit", indicatedUnit: "--indicated-unit" }[
    problem.where?.field ?? ""
  ];
  return option === undefined
    ? problem
    : { ...problem, wayOut: `Say it with ${option} kN, or another unit.` };
}

/** A spreadsheet saves text as UTF-8 or as UTF-16 with a mark at its head; the mark is no part of the text. */
function textOf(chunks: readonly Uint8Array[]): string {
  const bytes = Buffer.concat(chunks);
  const [first, second] = bytes;
  const encoding =
    first === 0xff && second === 0xfe ? "utf-16le" : first === 0xfe && second === 0xff ? "utf-16be" : "utf-8";
  return new TextDecoder(encoding).decode(bytes);
}
