import { max, min } from "d3-array";
import { scaleLinear } from "d3-scale";
import { type CellCalibration, fitCell } from "../../trace/mod.ts";
import { formatNumber } from "../../units/mod.ts";
import { type Markup, markup } from "../markup.ts";
import { at, axisTicks, faint, figure, label, rule } from "./figure-parts.ts";

export type CalibrationFigure = {
  /** A word unique on the page. */
  readonly id?: string;
  readonly width?: number;
  readonly height?: number;
  readonly title?: string;
};

/**
 * A load cell's certificate as SVG: for each point how much more the cell showed than was applied, in per cent of what was
 * applied; the correction that a reading takes from them as a line with twice its standard uncertainty as a band; the
 * accuracy class as dashed lines. Points at or below zero force have no error in per cent and are not drawn.
 *
 * @example
 * figureCalibration({ points: [{ appliedN: 1000, indicatedN: 1003 }, { appliedN: 2000, indicatedN: 2005 }] }, { width: 400 })
 */
export function figureCalibration(cell: CellCalibration, about: CalibrationFigure = {}): string {
  const { width = 440, height = 200, title = "What the certificate says" } = about;
  const plot = { left: 52, top: 24, right: width - 12, bottom: height - 38 };
  const { accuracyClass } = cell;
  const points = errorsOf(cell);
  const curve = curveOf(cell, points);
  const limits = accuracyClass === undefined ? [] : [accuracyClass, -accuracyClass];
  const heights = [
    0,
    ...limits,
    ...points.map(({ error }) => error),
    ...curve.flatMap((one) => [one.low, one.high]),
  ];
  const spread = Math.max((max(heights) ?? 0) - (min(heights) ?? 0), 0.1);
  const x = scaleLinear([0, (max(points, (one) => one.appliedN) ?? 1000) * 1.06], [plot.left, plot.right]);
  const y = scaleLinear(
    [(min(heights) ?? 0) - spread * 0.12, (max(heights) ?? 0) + spread * 0.12],
    [plot.bottom, plot.top],
  );
  const [low = 0, high = 1] = y.domain();
  const axes = [
    ...axisTicks(low, high, 4).flatMap(({ value, text }) => [
      rule(plot.left, y(value), plot.right, y(value), Math.abs(value) < 1e-12 ? 0.5 : faint),
      label(plot.left - 6, y(value) + 4, text, { anchor: "end" }),
    ]),
    ...axisTicks(0, (x.domain()[1] ?? 1) / 1000, width > 360 ? 6 : 4).map(({ value, text }) =>
      label(x(value * 1000), plot.bottom + 16, text, { anchor: "middle" }),
    ),
    label(0, 13, "shown too much, % of what was applied", { weight: 700 }),
    label(plot.right, plot.bottom + 32, "applied, kN", { anchor: "end" }),
  ];
  const classLines = limits.map(
    (limit) =>
      markup`<g class="class"><title>accuracy class ${accuracyClass ?? ""}: ${signed(limit)}</title>${rule(plot.left, y(limit), plot.right, y(limit), 0.6, "6 4")}</g>`,
  );
  const marks = points.map(
    ({ appliedN, error }) =>
      markup`<circle class="point" cx="${at(x(appliedN))}" cy="${at(y(error))}" r="4" fill="currentColor"><title>at ${kN(appliedN)} the cell showed ${signed(error)}</title></circle>`,
  );
  const nothing =
    points.length > 0
      ? []
      : [
          label((plot.left + plot.right) / 2, (plot.top + plot.bottom) / 2, "no points yet", {
            anchor: "middle",
          }),
        ];
  return figure({
    id: about.id ?? "calibration",
    width,
    height,
    kind: "calibration",
    title,
    description:
      points.length === 0
        ? "No points above zero."
        : `${points.map(({ appliedN, error }) => `At ${kN(appliedN)} the cell showed ${signed(error)}`).join("; ")}.`,
    drawing: [...axes, ...classLines, ...fitMarks(curve, x, y), ...marks, ...nothing],
  });
}

type Point = { readonly appliedN: number; readonly indicatedN: number; readonly error: number };
type CurvePoint = {
  readonly appliedN: number;
  readonly error: number;
  readonly low: number;
  readonly high: number;
};

/** Net of what the cell showed of no force, as the correction is. */
function errorsOf(cell: CellCalibration): readonly Point[] {
  const zeroN = fitCell(cell)?.zeroN ?? 0;
  return cell.points
    .map(({ appliedN, indicatedN }) => ({ appliedN, indicatedN: indicatedN - zeroN }))
    .filter(({ appliedN, indicatedN }) => appliedN > 0 && indicatedN > 0)
    .map((point) => ({ ...point, error: (point.indicatedN / point.appliedN - 1) * 100 }));
}

/** The correction over the range of the points: what the cell would show too much, if the fit is right. */
function curveOf(cell: CellCalibration, points: readonly Point[]): readonly CurvePoint[] {
  const fit = fitCell(cell);
  const [from, to] = [min(points, (one) => one.indicatedN), max(points, (one) => one.indicatedN)];
  if (fit === undefined || from === undefined || to === undefined) return [];
  const steps = 24;
  return Array.from({ length: steps + 1 }, (_, step) => {
    const indicatedN = from + ((to - from) * step) / steps;
    const appliedN = fit.correct(indicatedN);
    const error = (indicatedN / appliedN - 1) * 100;
    const reach = (2 * fit.uncertaintyAt(indicatedN) * 100) / appliedN;
    return { appliedN, error, low: error - reach, high: error + reach };
  }).filter(({ appliedN }) => appliedN > 0);
}

type Scale = (value: number) => number;

function fitMarks(curve: readonly CurvePoint[], x: Scale, y: Scale): Markup[] {
  if (curve.length === 0) return [];
  const along = (side: (one: CurvePoint) => number, points = curve) =>
    points.map((one) => `${at(x(one.appliedN))} ${at(y(side(one)))}`).join("L");
  const band = `M${along(({ high }) => high)}L${along(({ low }) => low, [...curve].reverse())}Z`;
  return [
    markup`<path class="band" d="${band}" fill="currentColor" fill-opacity="0.12"><title>twice the standard uncertainty of the correction</title></path>`,
    markup`<path class="fit" d="M${along(({ error }) => error)}" fill="none" stroke="var(--accent, #a8480c)" stroke-width="2"><title>the correction that readings take</title></path>`,
  ];
}

function signed(percent: number): string {
  const figure = formatNumber(Math.abs(percent), { significant: 2 });
  return `${percent < 0 ? "−" : "+"}${figure} %`;
}

function kN(forceN: number): string {
  return `${formatNumber(forceN / 1000, { significant: 4 })} kN`;
}
