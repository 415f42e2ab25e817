import { writeFile } from "node:fs/promises";
import { openBook } from "../book.ts";
import { fileProblem } from "../files.ts";
import { type ExitCode, exitCodes, plain, refuseAloud, type Terminal, toJson } from "../terminal.ts";

export type CutSheetOptions = {
  readonly out: string;
  readonly paper: string;
  readonly all?: boolean;
  readonly link?: string;
  readonly book?: string;
  readonly json?: boolean;
};

/** Writes the cut sheet of a series as one page, and says what cannot be cut yet. */
export async function writeCutSheet(
  seriesId: string,
  options: CutSheetOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    const asked = {
      paper: options.paper,
      all: options.all === true,
      ...(options.link === undefined ? {} : { linkBase: options.link }),
    };
    const [sheet, page] = [await app.cutSheet(seriesId, asked), await app.cutSheetPage(seriesId, asked)];
    if (!sheet.ok)
      return refuseAloud(terminal, `Cannot plan the cuts of ${seriesId}`, sheet.problems, options);
    if (!page.ok) return refuseAloud(terminal, `Cannot plan the cuts of ${seriesId}`, page.problems, options);
    await writeFile(options.out, page.value);
    const { batches, open, ropeM } = sheet.value;
    if (options.json) terminal.out(toJson({ file: options.out, ...sheet.value }));
    else {
      const count = batches.reduce((sum, { specimens }) => sum + specimens.length, 0);
      terminal.out(`${options.out}: ${count} to cut, ${ropeM.toFixed(2)} m of rope`);
      for (const { label, problems } of open)
        terminal.out(
          plain(`  ! ${label} cannot be cut yet: ${problems.map(({ message }) => message).join(" ")}`),
        );
    }
    return exitCodes.done;
  } catch (error) {
    const problem = fileProblem(error, options.out);
    if (problem === undefined) throw error;
    return refuseAloud(terminal, "Cannot write the cut sheet", [problem], options);
  } finally {
    await close();
  }
}
