import type { Reread, RereadChange } from "../../app/mod.ts";
import { openBook } from "../book.ts";
import { type ExitCode, exitCodes, plain, refuseAloud, type Terminal, toJson } from "../terminal.ts";

export type RereadOptions = {
  readonly series?: string;
  readonly dryRun?: boolean;
  readonly book?: string;
  readonly json?: boolean;
};

/** Reads the book's recordings again from their bytes, and says of each pull what came out otherwise. */
export async function rereadBook(options: RereadOptions, terminal: Terminal): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    const reread = await app.reread({
      dryRun: options.dryRun === true,
      ...(options.series === undefined ? {} : { seriesId: options.series }),
    });
    if (!reread.ok) return refuseAloud(terminal, "Cannot read again", reread.problems, options);
    if (options.json) terminal.out(toJson(reread.value));
    else sayReread(reread.value, terminal);
    return reread.value.refused.length > 0 ? exitCodes.inputProblems : exitCodes.done;
  } finally {
    await close();
  }
}

function sayReread({ dryRun, recordings, changes, refused }: Reread, terminal: Terminal): void {
  for (const [file, ofFile] of groupBy(changes, ({ fileName }) => fileName)) {
    const { fromMethod, toMethod } = ofFile[0] as RereadChange;
    const methods =
      fromMethod === toMethod ? `method ${toMethod}` : `method ${fromMethod} before, ${toMethod} now`;
    terminal.out(`${terminal.paint.bold(plain(file))} (${methods})`);
    for (const [pull, ofPull] of groupBy(ofFile, ({ pullId }) => pullId ?? "a pull that was not there")) {
      terminal.out(plain(`  ${pull}`));
      for (const { field, from, to } of ofPull)
        terminal.out(plain(`    ${field}: ${from ?? "nothing"} -> ${to ?? "nothing"}`));
    }
  }
  for (const { fileName, problems } of refused)
    refuseAloud(terminal, `Cannot read ${fileName} again: its reading stands as it was`, problems);
  const read = `${recordings} ${recordings === 1 ? "recording" : "recordings"}`;
  const changed = new Set(changes.map(({ recordingSha256 }) => recordingSha256)).size;
  terminal.out(
    `${read} read again, ${changed === 0 ? "none came out otherwise" : `${changed} came out otherwise`}${dryRun ? "; nothing was stored" : ""}`,
  );
}

function groupBy<T>(list: readonly T[], keyOf: (one: T) => string): ReadonlyMap<string, readonly T[]> {
  const groups = new Map<string, T[]>();
  for (const one of list) groups.set(keyOf(one), [...(groups.get(keyOf(one)) ?? []), one]);
  return groups;
}
