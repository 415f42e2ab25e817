/**
 * Finding to document: the published page, its figures and its data.
 *
 * @example
 * const html = renderReport(input); // one page that fetches nothing and runs no script
 */

export { completeness, type ReportToCheck, type RequiredStatement } from "./completeness.ts";
export { csvCell, csvLink, pullsCsv } from "./csv.ts";
export { renderCutSheet } from "./cut-sheet/render-cut-sheet.ts";
export { ruleStrips, stripMm } from "./cut-sheet/rule-strip.ts";
export { schematic } from "./cut-sheet/schematic.ts";
export { type CalibrationFigure, figureCalibration } from "./figures/figure-calibration.ts";
export { figureForest } from "./figures/figure-forest.ts";
export { figureIntervals, type IntervalFigure, type IntervalRow } from "./figures/figure-intervals.ts";
export { figureClaims, figureEffects, figureScatterParts } from "./figures/figure-mattered.ts";
export {
  type Alignment,
  alignments,
  figureOverlay,
  type OverlayCurve,
  type OverlayFigure,
  overlayCurves,
} from "./figures/figure-overlay.ts";
export { figurePlaces } from "./figures/figure-places.ts";
export {
  figureSettling,
  figureSettlingRates,
  type SettlingCurve,
  settlingCurves,
} from "./figures/figure-settling.ts";
export { figureSlipOrBreak, type SlipOrBreakFigure } from "./figures/figure-slip-or-break.ts";
export { figureStrip, type StripFigure } from "./figures/figure-strip.ts";
export { figureTrace, type TraceScales, thinWindow, traceScales } from "./figures/figure-trace.ts";
export { traceMarks, valueWithin } from "./figures/marks-of-reading.ts";
export { markWords, outcomeMark } from "./figures/outcome-marks.ts";
export { drawRope, type LedRope, leadRope, type RopeDrawing, type Tuck } from "./figures/rope-drawing.ts";
export { drawStep } from "./figures/step-figures.ts";
export { chooseMeasure, type StripMeasure, stripMeasures } from "./figures/strip-panels.ts";
export type {
  TraceDrop,
  TraceFigure,
  TraceHold,
  TracePeak,
  TracePhase,
  TracePoint,
} from "./figures/trace-figure.ts";
export { drawTraceMarks, phaseLaneHeight, type TraceMarkup, type TracePlace } from "./figures/trace-marks.ts";
export { type FilmCaptions, filmCaptions } from "./film-captions.ts";
export { escapeText, Markup, markup } from "./markup.ts";
export { ownText } from "./own-text.ts";
export { declared, faces, type Scheme, schemes } from "./palette.ts";
export { type PublishedFigure, type PublishedPage, readReport } from "./read-report.ts";
export { type PullRecord, renderPullRecord } from "./render-pull-record.ts";
export { renderReport } from "./render-report.ts";
export { drawRig } from "./rig/draw-rig.ts";
export { renderRig } from "./rig/render-rig.ts";
export { withStanding } from "./sections/revisions.ts";
export {
  type SeriesFigure,
  type SeriesFigureAsked,
  type SeriesFigureKind,
  seriesFigure,
  seriesFigureKinds,
  seriesFigures,
  sourceOf,
} from "./series-figures/series-figure.ts";
export { type StandAlone, standAlone } from "./series-figures/stand-alone.ts";
export { style as pageStyle } from "./style.ts";
export { type ReportTable, reportTables } from "./tables.ts";
export type { PullDetails, ReportInput, ReportRevision } from "./types.ts";
