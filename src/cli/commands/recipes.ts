import { builtInRecipes } from "../../app/mod.ts";
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

/** Lists the program's recipes, and with a book its own. */
export async function listRecipes(
  options: { readonly book?: string; readonly json?: boolean },
  terminal: Terminal,
): Promise<ExitCode> {
  const own = options.book === undefined ? undefined : await openBook(options.book);
  if (own !== undefined && !own.ok)
    return refuseAloud(terminal, "Cannot open the book", own.problems, options);
  try {
    const stored = (await own?.value.app.list("recipe")) ?? [];
    const all = [...builtInRecipes.map(({ id, fields }) => ({ id, ...fields })), ...stored];
    if (options.json) terminal.out(toJson(all));
    else {
      const said = (value: number | undefined) => (value === undefined ? "" : `${value} d`);
      const rows = all.map(({ id, name, buryFullDiameters, buryTaperDiameters }) => [
        id,
        plain(name),
        said(buryFullDiameters),
        said(buryTaperDiameters),
      ]);
      for (const line of formatTable([["id", "name", "full bury", "taper"], ...rows], "llrr"))
        terminal.out(line);
    }
    return exitCodes.done;
  } finally {
    await own?.value.close();
  }
}
