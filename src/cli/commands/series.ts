import { openBook } from "../book.ts";
import {
  type ExitCode,
  exitCodes,
  formatTable,
  plain,
  refuseAloud,
  type Terminal,
  toJson,
} from "../terminal.ts";

/** Lists the series of the book: other commands ask for their ids. */
export async function listSeries(
  options: { readonly book?: string; readonly json?: boolean },
  terminal: Terminal,
): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    const series = await app.list("series");
    if (options.json) terminal.out(toJson(series));
    else if (series.length === 0)
      terminal.out("The book holds no series yet. Begin one in the web app: bitterend start");
    else {
      const rows = series.map(({ id, title, simulated }) => [
        id,
        plain(title) + (simulated && !/simulated/i.test(title) ? " (simulated)" : ""),
      ]);
      const [head = "", ...lines] = formatTable([["id", "title"], ...rows], "ll");
      terminal.out(terminal.paint.dim(head));
      for (const line of lines) terminal.out(line);
    }
    return exitCodes.done;
  } finally {
    await close();
  }
}
