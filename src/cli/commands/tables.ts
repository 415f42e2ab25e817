import { writeFile } from "node:fs/promises";
import type { App } from "../../app/mod.ts";
import type { Result } from "../../problem/mod.ts";
import { openBook } from "../book.ts";
import { fileProblem } from "../files.ts";
import { type ExitCode, exitCodes, refuseAloud, sayWarnings, type Terminal, toJson } from "../terminal.ts";

export type OutOptions = { readonly out: string; readonly book?: string; readonly json?: boolean };

/** Writes the tables of a series' report as a spreadsheet. */
export function writeTables(seriesId: string, options: OutOptions, terminal: Terminal): Promise<ExitCode> {
  return writeOne(`the tables of ${seriesId}`, options, terminal, (app) => app.reportSpreadsheet(seriesId));
}

/** Writes the record of one pull as a page to print. */
export function writePullRecord(pullId: string, options: OutOptions, terminal: Terminal): Promise<ExitCode> {
  return writeOne(`the record of ${pullId}`, options, terminal, (app) => app.pullRecord(pullId));
}

export type CaptionOptions = OutOptions & {
  readonly moment?: string;
  readonly at?: number;
  readonly filmStarted?: string;
  readonly rate?: number;
  readonly unit?: string;
};

/** Writes the force of a pull as captions for its film. */
export function writeCaptions(
  pullId: string,
  options: CaptionOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const { moment, at, filmStarted, rate, unit } = options;
  return writeOne(`captions of ${pullId}`, options, terminal, (app) =>
    app.captions(pullId, {
      ...(moment === undefined ? {} : { moment }),
      ...(at === undefined ? {} : { filmMomentS: at }),
      ...(filmStarted === undefined ? {} : { filmStartedAt: filmStarted }),
      ...(rate === undefined ? {} : { ratePerS: rate }),
      ...(unit === undefined ? {} : { unit }),
    }),
  );
}

async function writeOne(
  what: string,
  options: OutOptions,
  terminal: Terminal,
  make: (app: App) => Promise<Result<string | Uint8Array>>,
): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    const made = await make(app);
    if (!made.ok) return refuseAloud(terminal, `Cannot write ${what}`, made.problems, options);
    await writeFile(options.out, made.value);
    if (options.json) terminal.out(toJson({ file: options.out, warnings: made.warnings }));
    else {
      terminal.out(`${options.out}: ${what}`);
      sayWarnings(terminal.out, made.warnings, "  ");
    }
    return exitCodes.done;
  } catch (error) {
    const problem = fileProblem(error, options.out);
    if (problem === undefined) throw error;
    return refuseAloud(terminal, `Cannot write ${what}`, [problem], options);
  } finally {
    await close();
  }
}
