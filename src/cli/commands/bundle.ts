import { readFile, stat, writeFile } from "node:fs/promises";
import type { App, BundleMade, Verification } from "../../app/mod.ts";
import { ok, type Result, refuse } from "../../problem/mod.ts";
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

type Options = { readonly book?: string; readonly json?: boolean };

/** Writes the bundle of a series: as it stands, or as one of its revisions was published. */
export async function writeBundle(
  seriesId: string,
  options: Options & { readonly out: string; readonly revision?: number },
  terminal: Terminal,
): Promise<ExitCode> {
  return withBook(
    options,
    terminal,
    async (app) => {
      const made = await bundleOf(app, seriesId, options.revision);
      if (!made.ok) return refuseAloud(terminal, `Cannot bundle ${seriesId}`, made.problems, options);
      const { bytes, contentSha256, revision, publishedAt } = made.value;
      await writeFile(options.out, bytes);
      const about = {
        file: options.out,
        sizeBytes: bytes.length,
        contentSha256,
        ...(revision === undefined ? {} : { revision, publishedAt }),
      };
      if (options.json) terminal.out(toJson({ ...about, warnings: made.warnings }));
      else {
        const which = revision === undefined ? "the series as it stands" : `revision ${revision}`;
        terminal.out(`${options.out}: ${which}, ${bytes.length} bytes`);
        terminal.out(`  content ${contentSha256}`);
        sayWarnings(terminal.out, made.warnings, "  ");
      }
      return exitCodes.done;
    },
    options.out,
  );
}

/** Takes the series of bundles into the book, each whole or not at all; one that is refused does not stop the others. */
export async function importBundles(
  files: readonly string[],
  options: Options & { readonly replace?: boolean },
  terminal: Terminal,
): Promise<ExitCode> {
  return withBook(options, terminal, async (app) => {
    const answers: unknown[] = [];
    let failed = false;
    for (const file of files) {
      const bytes = await bytesOf(file);
      const imported = bytes.ok
        ? await app.importBundle({
            fileName: nameOf(file),
            bytes: bytes.value,
            replace: options.replace === true,
          })
        : bytes;
      failed ||= !imported.ok;
      answers.push({
        file,
        ...(imported.ok ? { ...imported.value, warnings: imported.warnings } : imported),
      });
      if (options.json) continue;
      if (!imported.ok) {
        refuseAloud(terminal, `Cannot import ${file}: nothing was stored`, imported.problems);
        continue;
      }
      const { series, known } = imported.value;
      terminal.out(
        plain(
          known
            ? `${file}: is in the book already, as ${series.id}, “${series.title}”`
            : `${file}: imported as ${series.id}, “${series.title}”`,
        ),
      );
      sayWarnings(terminal.out, imported.warnings, "  ");
    }
    if (options.json) terminal.out(toJson(answers.length === 1 ? answers[0] : answers));
    return failed ? exitCodes.inputProblems : exitCodes.done;
  });
}

/** Calculates everything in a bundle again; needs no book. */
export async function verify(
  file: string,
  options: { readonly json?: boolean },
  terminal: Terminal,
): Promise<ExitCode> {
  const [{ verifyBundle }, { nodeWorkings }] = await Promise.all([
    import("../../app/mod.ts"),
    import("../../app/node/mod.ts"),
  ]);
  const bytes = await bytesOf(file);
  const verified = bytes.ok
    ? await verifyBundle(nodeWorkings(), { fileName: nameOf(file), bytes: bytes.value })
    : bytes;
  if (!verified.ok) return refuseAloud(terminal, `Cannot verify ${file}`, verified.problems, options);
  if (options.json) terminal.out(toJson({ ...verified.value, warnings: verified.warnings }));
  else {
    sayVerified(file, verified.value, terminal);
    sayWarnings(terminal.out, verified.warnings, "  ");
  }
  return verified.value.same ? exitCodes.done : exitCodes.inputProblems;
}

/** Withdraws a report, or lists them all. */
export async function withdraw(
  id: string | undefined,
  options: Options & { readonly reason?: string },
  terminal: Terminal,
): Promise<ExitCode> {
  return withBook(options, terminal, async (app) => {
    if (id === undefined) {
      const reports = await app.reports();
      if (options.json) terminal.out(toJson(reports));
      else if (reports.length === 0) terminal.out("Nothing is published yet.");
      else
        for (const report of reports)
          terminal.out(
            plain(
              `${report.id}  revision ${report.number}, ${report.publishedAt.slice(0, 10)}  ${report.title}${report.withdrawn === undefined ? "" : `  (withdrawn: ${report.withdrawn.reason})`}`,
            ),
          );
      return exitCodes.done;
    }
    const withdrawn = await app.withdrawReport(id, { reason: options.reason ?? "" });
    if (!withdrawn.ok) return refuseAloud(terminal, `Cannot withdraw ${id}`, withdrawn.problems, options);
    if (options.json) terminal.out(toJson(withdrawn.value));
    else terminal.out(`${id}: revision ${withdrawn.value.number} is withdrawn; its page stays and says so`);
    return exitCodes.done;
  });
}

function sayVerified(file: string, verified: Verification, terminal: Terminal): void {
  const { same, title, revision, recordings, readings, figures, differences, differenceCount } = verified;
  const which = revision === undefined ? "not published" : `revision ${revision}`;
  terminal.out(plain(`${file}: “${title}”, ${which}`));
  terminal.out(
    `  read again: ${recordings} recordings, ${readings} pulls; calculated again: ${figures} figures; to 9 digits`,
  );
  if (same) {
    terminal.out("  same numbers");
    return;
  }
  terminal.out(`  ${differenceCount} ${differenceCount === 1 ? "difference" : "differences"}:`);
  for (const { where, stated, recomputed } of differences) {
    terminal.out(plain(`  ${where}`));
    terminal.out(plain(`    says ${stated ?? "nothing"}, comes out as ${recomputed ?? "nothing"}`));
  }
  if (differenceCount > differences.length)
    terminal.out(`  and ${differenceCount - differences.length} more`);
}

async function bundleOf(
  app: App,
  seriesId: string,
  revision: number | undefined,
): Promise<Result<BundleMade>> {
  if (revision === undefined) return app.bundleOfSeries(seriesId);
  const found = (await app.reports()).find(
    (report) => report.seriesId === seriesId && report.number === revision,
  );
  if (found !== undefined) return app.bundleOfReport(found.id);
  return refuse({
    code: "BOOK_NOT_FOUND",
    message: "The series has no published revision of this number.",
    found: String(revision),
  });
}

async function withBook(
  options: Options,
  terminal: Terminal,
  work: (app: App) => Promise<ExitCode>,
  file = "",
): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  try {
    return await work(book.value.app);
  } catch (error) {
    const problem = fileProblem(error, file);
    if (problem === undefined) throw error;
    return refuseAloud(terminal, "Cannot write the bundle", [problem], options);
  } finally {
    await book.value.close();
  }
}

/** A bundle's bytes; one that is larger than a bundle may be is refused unread. */
async function bytesOf(file: string): Promise<Result<Uint8Array>> {
  const { maxBundleBytes } = await import("../../app/mod.ts");
  try {
    const { size } = await stat(file);
    if (size > maxBundleBytes)
      return refuse({
        code: "BUNDLE_TOO_LARGE",
        message: "The bundle is larger than a bundle may be; nothing of it was read.",
        where: { file },
        found: `${size} bytes`,
        expected: `at most ${maxBundleBytes} bytes`,
      });
    return ok(await readFile(file));
  } catch (error) {
    const problem = fileProblem(error, file);
    if (problem === undefined) throw error;
    return refuse(problem);
  }
}

function nameOf(file: string): string {
  return file.split(/[\\/]/).at(-1) ?? file;
}
