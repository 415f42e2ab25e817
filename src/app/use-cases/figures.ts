import { z } from "zod";
import { judgePull, pullsForSlipOrBreak, variesBury } from "../../findings/mod.ts";
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
  sourceOf,
  standAlone,
} from "../../report/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects, FigureFile, ListedFigure } from "../contract.ts";
import { pullToJudge } from "./judge.ts";
import { holdingsOf } from "./overview.ts";
import { curvesOf, reportFacts } from "./report-input.ts";
import { type SlipOrBreakWork, slipOrBreakOf } from "./slip-or-break.ts";
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
  seriesId: string,
): Promise<Result<readonly ListedFigure[]>> {
  return orTrouble(async () => {
    const held = await holdingsOf(effects.store.read, seriesId);
    if (!held.ok) return held;
    const curves = await curvesOf(effects, traces, held.value);
    if (!curves.ok) return curves;
    const drawn = seriesFigures({ ...reportFacts(held.value), traces: curves.value, pictures: [] });
    // The fit of slip or break takes long: that its pulls are there is known without it.
    const judged = held.value.pulls.map((pull) => judgePull(pullToJudge(pull, held.value)));
    const bury = variesBury(held.value.series.factors) && pullsForSlipOrBreak(held.value.series, judged).ok;
    const listed = [
      ...drawn.map(({ asked: { kind, number }, title }) => ({
        kind,
        title,
        ...(number === undefined ? {} : { number }),
      })),
      ...(bury ? [{ kind: "slip-or-break" as const, title: "Slip or break" }] : []),
    ];
    const order = Object.keys(seriesFigureKinds);
    return ok(
      listed
        .sort((a, b) => order.indexOf(a.kind) - order.indexOf(b.kind))
        .map((one) => ({ ...one, shows: seriesFigureKinds[one.kind] })),
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
    const input = await inputFor(effects, traces, slips, { seriesId: of.seriesId, kind });
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

/** What a figure is drawn from: curves and the fit of slip or break take time, and are made only where they are drawn. */
async function inputFor(
  effects: Effects,
  traces: TraceCache,
  slips: SlipOrBreakWork,
  { seriesId, kind }: { readonly seriesId: string; readonly kind: SeriesFigureKind },
): Promise<Result<ReportInput>> {
  const held = await holdingsOf(effects.store.read, seriesId);
  if (!held.ok) return held;
  const curves =
    kind === "overlay" || kind === "settling" ? await curvesOf(effects, traces, held.value) : ok({});
  if (!curves.ok) return curves;
  const fits = kind === "slip-or-break" && variesBury(held.value.series.factors);
  const bury = fits ? await slipOrBreakOf(effects, slips, held.value) : undefined;
  if (bury !== undefined && !bury.ok) return bury;
  return ok({
    ...reportFacts(held.value),
    ...(bury === undefined ? {} : { slipOrBreak: bury.value }),
    traces: curves.value,
    pictures: [],
  });
}

/** A figure on its own paper, with where it comes from beneath. */
export function figureOnPaper(
  { title, drawing, csv }: SeriesFigure,
  of: Pick<ReportInput, "series" | "revision" | "program"> & { readonly scheme: Scheme },
): string {
  const { series, program, scheme } = of;
  return standAlone(drawing, {
    title,
    of: series.title,
    csv,
    scheme,
    source: [
      series.simulated ? "Simulated: no rope was pulled." : "",
      `${sourceOf(of)}; drawn by ${program.name} ${program.version}.`,
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
