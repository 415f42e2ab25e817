import { mkdir, readdir, readFile, rm, stat, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import type { SiteFolder } from "../../app/mod.ts";
import { openBook } from "../book.ts";
import { fileProblem } from "../files.ts";
import { type ExitCode, exitCodes, refuseAloud, sayWarnings, type Terminal, toJson } from "../terminal.ts";

export type SiteOptions = {
  readonly out: string;
  readonly title?: string;
  readonly url?: string;
  readonly book?: string;
  readonly json?: boolean;
};

/** Makes a site of all published reports in a folder, or brings the one that is there up to date. */
export async function writeSite(options: SiteOptions, terminal: Terminal): Promise<ExitCode> {
  const { out, title, url } = options;
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    await mkdir(out, { recursive: true });
    const built = await app.site(folderAt(out), {
      ...(title === undefined ? {} : { title }),
      ...(url === undefined ? {} : { url }),
    });
    if (!built.ok) return refuseAloud(terminal, "Cannot make the site", built.problems, options);
    const { reports, gone, unchanged, written, removed } = built.value;
    if (options.json) terminal.out(toJson({ folder: out, ...built.value, warnings: built.warnings }));
    else {
      terminal.out(
        `${join(out, "index.html")}: ${reports} ${reports === 1 ? "report" : "reports"}, ${unchanged} unchanged; ${written} files written, ${removed} removed`,
      );
      if (gone > 0) terminal.out(`  ${gone} that the book no longer has say so`);
      if (url === undefined) terminal.out("  no sitemap: say with --url where the site will stand");
      sayWarnings(terminal.out, built.warnings, "  ");
    }
    return exitCodes.done;
  } catch (error) {
    const problem = fileProblem(error, out);
    if (problem === undefined) throw error;
    return refuseAloud(terminal, "Cannot write the site", [problem], options);
  } finally {
    await close();
  }
}

/** A folder on the disk, as the site sees it. */
export function folderAt(root: string): SiteFolder {
  const absent = (error: NodeJS.ErrnoException) => {
    if (error.code === "ENOENT") return undefined;
    throw error;
  };
  return {
    isEmpty: async () => (await readdir(root)).length === 0,
    read: (path) => readFile(join(root, path), "utf8").catch(absent),
    sizeOf: async (path) => (await stat(join(root, path)).catch(absent))?.size,
    write: async (path, bytes) => {
      const file = join(root, path);
      await mkdir(dirname(file), { recursive: true });
      await writeFile(file, bytes);
    },
    remove: (path) => rm(join(root, path), { force: true }),
  };
}
