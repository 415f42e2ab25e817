import { z } from "zod";
import { ok, type Result, refuse } from "../../problem/mod.ts";
import {
  alignments,
  type ReportInput,
  type Scheme,
  type SeriesFigure,
  type SeriesFigureKind,
  schemes,
  seriesFigure,
  seriesFigureKinds,
  seriesFigures,
  standAlone,
} from "../../report/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects, FigureFile, ListedFigure } from "../contract.ts";
import { reportInput } from "./report-input.ts";
import type { SlipOrBreakWork } from "./slip-or-break.ts";
import type { TraceCache } from "./trace-cache.ts";
import { orTrouble } from "./transact.ts";

/** As what a figure can be taken away. */
export const figureFormats = ["svg", "png", "csv"] as const;

/** What may be said of a figure that is asked for; the same in all doors. */
export const figureFields = z.object({
  format: z.enum(figureFormats).default("svg"),
  scheme: z.enum(schemes).default("light"),
  align: z.enum(alignments).exactOptional(),
  number: z.coerce.number().int().min(1).max(1000).exactOptional(),
  width: z.coerce.number().int().min(320).max(4000).default(900),
});

/** The figures that a series has something for. */
export async function listFigures(
  effects: Effects,
  traces: TraceCache,
  slips: SlipOrBreakWork,
  seriesId: string,
): Promise<Result<readonly ListedFigure[]>> {
  return orTrouble(async () => {
    const input = await reportInput(effects, traces, slips, seriesId);
    if (!input.ok) return input;
    return ok(
      seriesFigures(input.value).map(({ asked: { kind, number }, title }) => ({
        kind,
        title,
        shows: seriesFigureKinds[kind],
        ...(number === undefined ? {} : { number }),
      })),
    );
  });
}

/** One figure of a series as a file. */
export async function figureFile(
  effects: Effects,
  traces: TraceCache,
  slips: SlipOrBreakWork,
  of: { readonly seriesId: string; readonly kind: string; readonly asked: unknown },
): Promise<Result<FigureFile>> {
  const asked = checkInput(figureFields, of.asked);
  if (!asked.ok) return asked;
  const { kind } = of;
  if (!isKind(kind))
    return refuse({
      code: "INPUT_UNKNOWN",
      message: "There is no figure of this name.",
      where: { field: "kind" },
      found: kind,
      expected: Object.keys(seriesFigureKinds).join(", "),
    });
  return orTrouble(async () => {
    const input = await reportInput(effects, traces, slips, of.seriesId);
    if (!input.ok) return input;
    const { format, scheme, width, ...rest } = asked.value;
    const figure = seriesFigure(input.value, { kind, ...rest, width: width - paperMargins });
    if (!figure.ok) return figure;
    const name = `${of.seriesId}-${kind}${rest.number === undefined ? "" : `-${rest.number}`}`;
    if (format === "csv")
      return ok({
        fileName: `${name}.csv`,
        mediaType: "text/csv; charset=utf-8",
        bytes: new TextEncoder().encode(figure.value.csv),
      });
    const svg = figureOnPaper(figure.value, { ...input.value, scheme });
    const fileName = `${name}${scheme === "dark" ? "-dark" : ""}.${format}`;
    if (format === "svg")
      return ok({ fileName, mediaType: "image/svg+xml", bytes: new TextEncoder().encode(svg) });
    const png = await effects.paintPng(svg, pixelsEach);
    return png.ok ? ok({ fileName, mediaType: "image/png", bytes: png.value }) : png;
  });
}

/** A figure on its own paper, with where it comes from beneath. */
export function figureOnPaper(
  { title, drawing, csv }: SeriesFigure,
  of: Pick<ReportInput, "series" | "revision" | "program"> & { readonly scheme: Scheme },
): string {
  const { series, revision, program, scheme } = of;
  return standAlone(drawing, {
    title,
    of: series.title,
    csv,
    scheme,
    source: [
      series.simulated ? "Simulated: no rope was pulled." : "",
      `Source: ${series.tester === "" ? "tester not named" : series.tester}, series ${series.id}, ${revision === undefined ? "not published" : `revision ${revision.number} of ${revision.publishedAt.slice(0, 10)}`}; drawn by ${program.name} ${program.version}.`,
      "The data lie in this figure’s file. A bench result is no certificate.",
    ]
      .filter(Boolean)
      .join(" "),
  });
}

/** What a figure on paper is wider than its drawing. */
const paperMargins = 40;
/** Pixels of a PNG to each of the figure's own: sharp on a fine screen and in print. */
const pixelsEach = 2;

function isKind(kind: string): kind is SeriesFigureKind {
  return Object.hasOwn(seriesFigureKinds, kind);
}
