import { openBook } from "../book.ts";
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

export type SlipOrBreakOptions = {
  readonly book?: string;
  readonly json?: boolean;
  readonly chance?: string;
  readonly confidence?: string;
  readonly growth?: string;
  readonly refits?: string;
  readonly seed?: string;
};

/** Prints from which bury on the specimens of a series break before they slip: sentences, then a table. */
export async function showSlipOrBreak(
  seriesId: string,
  options: SlipOrBreakOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    const said = await app.slipOrBreak(seriesId, askedOf(options));
    if (!said.ok) return refuseAloud(terminal, `Cannot judge ${seriesId}`, said.problems, options);
    const { value: found } = said;
    if (options.json) {
      terminal.out(toJson(found));
      return exitCodes.done;
    }
    for (const { sentence } of found.findings) terminal.out(plain(`- ${sentence}`));
    const { lengths, length, curve, refits } = found.answer;
    if (curve.length > 0) {
      const asked = lengths.some(({ chance }) => chance === length.chance) ? [] : [length];
      const rows = [...lengths, ...asked].map(({ chance, estimate, upper }) => [
        `${Number((100 * chance).toPrecision(3))} %`,
        diameters(estimate),
        diameters(upper),
      ]);
      const head = ["slip first", "bury, d", `bound, d`];
      terminal.out("");
      for (const line of formatTable([head, ...rows], "rrr")) terminal.out(line);
    }
    if (refits.made > 0) terminal.out(terminal.paint.dim(`${refits.made} refits, seed ${refits.seed}.`));
    sayWarnings(terminal.out, found.warnings);
    terminal.out("What was pulled on a bench is no certificate.");
    return exitCodes.done;
  } finally {
    await close();
  }
}

/** What was said, as numbers; words that are none are refused with the field's name. */
function askedOf({ chance, confidence, growth, refits, seed }: SlipOrBreakOptions): object {
  const numbers = Object.entries({ chance, confidence, refits, seed }).flatMap(([name, text]) =>
    text === undefined ? [] : [[name, text.trim() === "" ? text : Number(text)] as const],
  );
  return { ...Object.fromEntries(numbers), ...(growth === undefined ? {} : { growth }) };
}

function diameters(bury: number | undefined): string {
  return bury === undefined ? "-" : bury.toFixed(1);
}
