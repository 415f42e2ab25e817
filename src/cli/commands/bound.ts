import { openBook } from "../book.ts";
import {
  type ExitCode,
  exitCodes,
  plain,
  refuseAloud,
  sayWarnings,
  type Terminal,
  toJson,
} from "../terminal.ts";

type Options = {
  readonly method?: string;
  readonly content?: string;
  readonly confidence?: string;
  readonly book?: string;
  readonly json?: boolean;
};

/** Says by which bound a series states its strengths; with options, chooses another first. */
export async function chooseBound(seriesId: string, options: Options, terminal: Terminal): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    const series = await app.get("series", seriesId);
    if (!series.ok) return refuseAloud(terminal, `Cannot find ${seriesId}`, series.problems, options);
    const patch = {
      ...(options.method !== undefined && { boundMethod: options.method }),
      ...(options.content !== undefined && { boundContent: numberOr(options.content) }),
      ...(options.confidence !== undefined && { boundConfidence: numberOr(options.confidence) }),
    };
    if (Object.keys(patch).length > 0) {
      const changed = await app.change("series", seriesId, series.value.revision, patch);
      if (!changed.ok) return refuseAloud(terminal, "Cannot choose this bound", changed.problems, options);
    }
    const found = await app.findings(seriesId);
    if (!found.ok) return refuseAloud(terminal, `Cannot judge ${seriesId}`, found.problems, options);
    const { statedBy } = found.value;
    if (options.json) terminal.out(toJson(statedBy));
    else terminal.out(plain(`${series.value.title}: strengths are stated by the ${statedBy.name}.`));
    sayWarnings(terminal.err, found.warnings);
    return exitCodes.done;
  } finally {
    await close();
  }
}

/** A number as typed; what is none goes on as it is, so that the refusal names the field and what was found. */
function numberOr(text: string): number | string {
  const value = Number(text.replace(",", "."));
  return text.trim() === "" || Number.isNaN(value) ? text : value;
}
