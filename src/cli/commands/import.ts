import type { App, Imported } from "../../app/mod.ts";
import { ok, type Result } from "../../problem/mod.ts";
import { completeLayout, type LayoutHints } from "../../trace/mod.ts";
import { formatForceTwice, newtons } from "../../units/mod.ts";
import { openBook } from "../book.ts";
import { readBytes } from "../files.ts";
import { hintsOf, type LayoutOptions } from "../layout-options.ts";
import { headOf } from "../read-file.ts";
import { type ExitCode, exitCodes, refuseAloud, sayWarnings, type Terminal, toJson } from "../terminal.ts";

export type ImportOptions = LayoutOptions & {
  readonly series: string;
  readonly bench?: string;
  readonly saveLayout?: string;
  readonly book?: string;
  readonly json?: boolean;
};

/** Keeps files as recordings of a series, each whole or not at all; one that is refused does not stop the others. */
export async function importFiles(
  files: readonly string[],
  options: ImportOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  const answers: unknown[] = [];
  let failed = false;
  try {
    for (const [index, file] of files.entries()) {
      // The layout is kept once, with the first file; the others are files of the same logger.
      const imported = await importFile(
        file,
        index === 0 ? options : without(options, "saveLayout"),
        app,
        terminal,
      );
      failed ||= !imported.ok;
      answers.push({
        file,
        ...(imported.ok ? { ...imported.value, warnings: imported.warnings } : imported),
      });
      if (!options.json) sayImported(file, imported, terminal);
    }
  } finally {
    await close();
  }
  if (options.json) terminal.out(toJson(answers.length === 1 ? answers[0] : answers));
  return failed ? exitCodes.inputProblems : exitCodes.done;
}

async function importFile(
  file: string,
  options: ImportOptions,
  app: App,
  terminal: Terminal,
): Promise<Result<Imported>> {
  const hints: LayoutHints = hintsOf(options);
  const bytes = await readBytes(file, terminal.input);
  if (!bytes.ok) return bytes;
  const fileName = file === "-" ? "standard input" : (file.split(/[\\/]/).at(-1) ?? file);
  const proposal = await app.proposeLayout(headOf(bytes.value), {
    fileName,
    totalBytes: bytes.value.sizeBytes,
    hints,
  });
  if (!proposal.ok) return proposal;
  const layout = completeLayout(proposal.value.layout, hints);
  if (!layout.ok) return layout;
  const imported = await app.importRecording({
    seriesId: options.series,
    fileName,
    bytes: bytes.value.bytes,
    layout: layout.value,
    ...(options.bench === undefined ? {} : { benchId: options.bench }),
    ...(options.saveLayout === undefined ? {} : { saveLayoutAs: options.saveLayout }),
  });
  if (!imported.ok) return imported;
  return ok(imported.value, [...proposal.warnings, ...imported.warnings]);
}

function sayImported(file: string, imported: Result<Imported>, terminal: Terminal): void {
  if (!imported.ok) {
    refuseAloud(terminal, `Cannot import ${file}: nothing was stored`, imported.problems);
    return;
  }
  const { pulls, known, recording } = imported.value;
  const what = known
    ? "was in the book already; nothing was stored again"
    : `kept, with ${pulls.length} ${pulls.length === 1 ? "pull" : "pulls"}`;
  terminal.out(`${terminal.paint.bold(file)}: ${what}`);
  for (const { index, peakN } of recording.reading.pulls)
    terminal.out(`  pull ${index}: peak ${formatForceTwice(newtons(peakN), 4)}`);
  sayWarnings(terminal.out, imported.warnings, "  ");
}

function without<T extends object, K extends keyof T>(from: T, key: K): Omit<T, K> {
  const { [key]: _, ...rest } = from;
  return rest;
}
