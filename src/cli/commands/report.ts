import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { App, RequiredStatement } from "../../app/mod.ts";
import { ok } from "../../problem/mod.ts";
import { openBook } from "../book.ts";
import { fileProblem } from "../files.ts";
import {
  type ExitCode,
  exitCodes,
  plain,
  refuseAloud,
  sayWarnings,
  type Terminal,
  toJson,
} from "../terminal.ts";

export type ReportOptions = {
  readonly out: string;
  readonly publish?: boolean;
  readonly book?: string;
  readonly json?: boolean;
};

/** Writes the report of a series into a folder: as it stands now, or frozen under the next number with --publish. */
export async function writeReport(
  seriesId: string,
  options: ReportOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    // The folder is made first, so that nothing is frozen which could then not be written.
    await mkdir(options.out, { recursive: true });
    const page = options.publish === true ? await publish(app, seriesId) : await preview(app, seriesId);
    if (!page.ok) return refuseAloud(terminal, `Cannot report ${seriesId}`, page.problems, options);
    const { html, name, report } = page.value;
    const file = join(options.out, name);
    await writeFile(file, html);
    const required = await app.reportCompleteness(seriesId);
    const open = required.ok ? required.value.filter(({ state }) => state !== "covered") : [];
    if (options.json)
      terminal.out(
        toJson({
          file,
          ...(report === undefined ? {} : { report }),
          notStated: open,
          warnings: page.warnings,
        }),
      );
    else {
      terminal.out(
        report === undefined ? `${file}: a draft` : `${file}: published as number ${report.number}`,
      );
      sayWarnings(terminal.out, page.warnings, "  ");
      sayNotStated(terminal, open);
    }
    return exitCodes.done;
  } catch (error) {
    const problem = fileProblem(error, options.out);
    if (problem === undefined) throw error;
    return refuseAloud(terminal, "Cannot write the report", [problem], options);
  } finally {
    await close();
  }
}

/** What the standards ask of a test report and this one does not state, or not of all. */
function sayNotStated(terminal: Terminal, open: readonly RequiredStatement[]): void {
  if (open.length === 0) return;
  terminal.out("  What a test report must state and this one does not, or not of all:");
  for (const { standard, clause, asks, state, says } of open)
    terminal.out(plain(`    ${state}: ${asks} (${standard}, ${clause}): ${says}`));
}

async function preview(app: App, seriesId: string) {
  const html = await app.previewReport(seriesId);
  return html.ok
    ? ok({ html: html.value, name: `${seriesId}-draft.html`, report: undefined }, html.warnings)
    : html;
}

async function publish(app: App, seriesId: string) {
  const published = await app.publishReport(seriesId);
  if (!published.ok) return published;
  const page = await app.report(published.value.id);
  if (!page.ok) return page;
  const { report, html } = page.value;
  return ok({ html, name: `${seriesId}-${report.number}.html`, report }, published.warnings);
}
