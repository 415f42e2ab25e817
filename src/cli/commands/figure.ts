import { writeFile } from "node:fs/promises";
import { extname } from "node:path";
import { type App, figureFormats } from "../../app/mod.ts";
import { openBook } from "../book.ts";
import { fileProblem } from "../files.ts";
import {
  type ExitCode,
  exitCodes,
  formatTable,
  plain,
  refuseAloud,
  type Terminal,
  toJson,
} from "../terminal.ts";

export type FigureOptions = {
  readonly out?: string;
  readonly scheme?: string;
  readonly align?: string;
  readonly number?: number;
  readonly width?: number;
  readonly book?: string;
  readonly json?: boolean;
};

/** Writes a figure of a series, as what the file's ending says; without a kind, lists those that can be drawn. */
export async function writeFigure(
  seriesId: string,
  kind: string | undefined,
  options: FigureOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const { out } = options;
  if ((kind === undefined) !== (out === undefined))
    return refuseAloud(
      terminal,
      "Cannot draw a figure",
      [
        {
          code: "INPUT_FIELD",
          message: "A figure needs its kind and the file to write it to; without both, the kinds are listed.",
          where: { field: kind === undefined ? "kind" : "--out" },
        },
      ],
      options,
    );
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    return kind === undefined || out === undefined
      ? await listKinds(app, seriesId, options, terminal)
      : await writeOne(app, { seriesId, kind, out }, options, terminal);
  } catch (error) {
    const problem = fileProblem(error, out ?? "");
    if (problem === undefined) throw error;
    return refuseAloud(terminal, "Cannot write the figure", [problem], options);
  } finally {
    await close();
  }
}

async function listKinds(
  app: App,
  seriesId: string,
  options: FigureOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const figures = await app.figures(seriesId);
  if (!figures.ok) return refuseAloud(terminal, `Cannot draw ${seriesId}`, figures.problems, options);
  if (options.json) terminal.out(toJson(figures.value));
  else {
    const rows = figures.value.map(({ kind, number, shows }) => [
      number === undefined || number === 1 ? kind : `${kind} --number ${number}`,
      shows,
    ]);
    for (const line of formatTable([["kind", "shows"], ...rows], "ll")) terminal.out(plain(line));
  }
  return exitCodes.done;
}

async function writeOne(
  app: App,
  of: { readonly seriesId: string; readonly kind: string; readonly out: string },
  options: FigureOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const format = extname(of.out).slice(1).toLowerCase();
  if (!figureFormats.some((known) => known === format))
    return refuseAloud(
      terminal,
      "Cannot write the figure",
      [
        {
          code: "INPUT_FIELD",
          message: "The file's ending says as what a figure is written.",
          where: { field: "--out" },
          found: of.out,
          expected: figureFormats.map((known) => `.${known}`).join(", "),
        },
      ],
      options,
    );
  const { scheme, align, number, width } = options;
  const figure = await app.figure(of.seriesId, of.kind, {
    format,
    ...(scheme === undefined ? {} : { scheme }),
    ...(align === undefined ? {} : { align }),
    ...(number === undefined ? {} : { number }),
    ...(width === undefined ? {} : { width }),
  });
  if (!figure.ok) return refuseAloud(terminal, `Cannot draw ${of.seriesId}`, figure.problems, options);
  await writeFile(of.out, figure.value.bytes);
  terminal.out(
    options.json
      ? toJson({ file: of.out, mediaType: figure.value.mediaType, sizeBytes: figure.value.bytes.length })
      : `${of.out}: ${of.kind}, ${figure.value.bytes.length} bytes`,
  );
  return exitCodes.done;
}
