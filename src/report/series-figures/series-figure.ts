import { ok, type Result, refuse } from "../../problem/mod.ts";
import { figureForest, forestRows, forestTitle } from "../figures/figure-forest.ts";
import {
  claimRows,
  effectRows,
  figureClaims,
  figureEffects,
  figureScatterParts,
  scatterRows,
} from "../figures/figure-mattered.ts";
import { type Alignment, figureOverlay, overlayCurves } from "../figures/figure-overlay.ts";
import { figurePlaces } from "../figures/figure-places.ts";
import {
  figureSettling,
  figureSettlingRates,
  settlingCurves,
  settlingRows,
} from "../figures/figure-settling.ts";
import { figureSlipOrBreak } from "../figures/figure-slip-or-break.ts";
import { figureStrip } from "../figures/figure-strip.ts";
import type { ReportInput } from "../types.ts";
import {
  csvOf,
  type DataRows,
  everyPullRows,
  intervalDataRows,
  overlayRows,
  placeRows,
  settlingDataRows,
  slipOrBreakRows,
} from "./figure-data.ts";

/** What a series can be drawn as, with what each shows. */
export const seriesFigureKinds = {
  "every-pull": "every pull against what was varied, with means and bounds",
  "slip-or-break": "strength and the chance of slipping first, against the bury",
  overlay: "the force-time curves over one another",
  settling: "how the force fell at the hold",
  "settling-rates": "how much of the force settles away, pull by pull",
  places: "where specimens failed, on a drawn connector",
  effects: "what mattered: each level against the first",
  scatter: "where the scatter comes from",
  claims: "what others claim against these pulls",
  forest: "this and other series together",
} as const;
export type SeriesFigureKind = keyof typeof seriesFigureKinds;

export type SeriesFigureAsked = {
  readonly kind: SeriesFigureKind;
  /** Width of the drawing in CSS pixels; 860 unless said. */
  readonly width?: number;
  /** For the overlay: where the curves have their common moment; the peak unless said. */
  readonly align?: Alignment;
  /** For the forest: which one, from 1, where several were set together. */
  readonly number?: number;
};

/** A figure of a series: the drawing, a title to stand over it, and what is drawn as CSV. */
export type SeriesFigure = {
  readonly kind: SeriesFigureKind;
  readonly title: string;
  readonly drawing: string;
  readonly csv: string;
};

/**
 * One figure of a series by its kind, the same drawing that report and screens show. Refused, with what is missing, where
 * the series holds nothing for it.
 *
 * @example
 * const figure = seriesFigure(input, { kind: "places", width: 600 });
 * figure.ok && figure.value.csv.split("\r\n")[0] // "place,broke,slipped"
 */
export function seriesFigure(input: ReportInput, asked: SeriesFigureAsked): Result<SeriesFigure> {
  const { kind, width = 860 } = asked;
  const made = drawFigure(input, asked, { id: kind, width });
  if (made === undefined)
    return refuse({
      code: "REPORT_FIGURE",
      message: `There is nothing to draw as "${kind}": the series lacks ${lacks[kind]}.`,
      where: { field: "kind" },
      found: kind,
      wayOut: "The other figures may still be drawn.",
    });
  return ok({ kind, title: made.title, drawing: made.drawing, csv: csvOf(made.rows) });
}

/** The same under an id that is the page's; nothing where there is nothing to draw. */
export function drawFigure(
  input: ReportInput,
  asked: SeriesFigureAsked,
  place: { readonly id: string; readonly width: number },
): { readonly title: string; readonly drawing: string; readonly rows: DataRows } | undefined {
  const made = makers[asked.kind](input, { ...place, simulated: input.series.simulated }, asked);
  return made?.drawing === undefined ? undefined : { ...made, drawing: made.drawing };
}

/** Where a figure of a series comes from, to stand beneath it. */
export function sourceOf({ series, revision }: Pick<ReportInput, "series" | "revision">): string {
  const which =
    revision === undefined
      ? "not published"
      : `revision ${revision.number} of ${revision.publishedAt.slice(0, 10)}`;
  return `Source: ${series.tester === "" ? "tester not named" : series.tester}, series ${series.id}, ${which}`;
}

/** The figures that a series has something for, in the order of the report; a forest for each that was set together. */
export function seriesFigures(input: ReportInput): readonly { asked: SeriesFigureAsked; title: string }[] {
  const kinds = Object.keys(seriesFigureKinds) as SeriesFigureKind[];
  const asked = kinds.flatMap((kind): SeriesFigureAsked[] =>
    kind === "forest" ? input.findings.pooled.map((_, index) => ({ kind, number: index + 1 })) : [{ kind }],
  );
  return asked.flatMap((one) => {
    const figure = seriesFigure(input, one);
    return figure.ok ? [{ asked: one, title: figure.value.title }] : [];
  });
}

type About = { readonly id: string; readonly width: number; readonly simulated: boolean };
type Made =
  | { readonly title: string; readonly drawing: string | undefined; readonly rows: DataRows }
  | undefined;
type Maker = (input: ReportInput, about: About, asked: SeriesFigureAsked) => Made;

const makers: Readonly<Record<SeriesFigureKind, Maker>> = {
  "every-pull": (input, about) =>
    input.findings.pulls.length === 0
      ? undefined
      : {
          title: "Every pull",
          drawing: figureStrip(input.series, input.findings, about),
          rows: everyPullRows(input),
        },
  "slip-or-break": ({ slipOrBreak }, about) =>
    slipOrBreak && {
      title: "Slip or break",
      drawing: figureSlipOrBreak(slipOrBreak, about),
      rows: slipOrBreakRows(slipOrBreak),
    },
  overlay: (input, about, { align = "peak" }) => {
    const curves = overlayCurves(input, align);
    const title = `Force over time, aligned at the ${align === "peak" ? "peak" : "start of the load"}`;
    return { title, drawing: figureOverlay(curves, { ...about, align }), rows: overlayRows(curves) };
  },
  settling: (input, about) => {
    const curves = settlingCurves(input);
    const title = "How the force settled at the hold";
    return { title, drawing: figureSettling(curves, about), rows: settlingDataRows(curves) };
  },
  "settling-rates": ({ findings }, about) => ({
    title: "How much of the force settles away",
    drawing: figureSettlingRates(findings, about),
    rows: intervalDataRows(settlingRows(findings), "% per tenfold of time"),
  }),
  places: (input, about) => ({
    title: "Where it failed",
    drawing: figurePlaces(input.findings.pulls, about),
    rows: placeRows(input),
  }),
  effects: ({ findings }, about) => ({
    title: "What mattered",
    drawing: figureEffects(findings, about),
    rows: intervalDataRows(effectRows(findings), "% stronger"),
  }),
  scatter: ({ findings }, about) => ({
    title: "Where the scatter comes from",
    drawing: figureScatterParts(findings, about),
    rows: intervalDataRows(scatterRows(findings), "standard deviation, % of the strength"),
  }),
  claims: ({ findings }, about) => ({
    title: "Claims against the pulls",
    drawing: figureClaims(findings, about),
    rows: intervalDataRows(claimRows(findings), "% of all legs' rated strength"),
  }),
  forest: ({ findings }, about, { number = 1 }) => {
    const one = findings.pooled[number - 1];
    if (one === undefined || one.sources.length === 0) return undefined;
    const rows = intervalDataRows(forestRows(one), "mean leg efficiency, %");
    return { title: forestTitle(one), drawing: figureForest(one, about), rows };
  },
};

/** What must be in a series before it can be drawn so. */
const lacks: Readonly<Record<SeriesFigureKind, string>> = {
  "every-pull": "pulls",
  "slip-or-break": "a varied bury with pulls that say how they ended",
  overlay: "recordings with times",
  settling: "recordings with a hold",
  "settling-rates": "holds whose settling could be read",
  places: "pulls that broke or slipped",
  effects: "a factor whose effect could be worked out",
  scatter: "groups whose scatter could be told apart",
  claims: "published claims that can be brought to the legs’ rated strength",
  forest: "other series to set it beside",
};
