import type { SeriesSlipOrBreak } from "../../findings/mod.ts";
import { pullName } from "../../findings/mod.ts";
import { csvCell } from "../csv.ts";
import type { IntervalRow } from "../figures/figure-intervals.ts";
import type { OverlayCurve } from "../figures/figure-overlay.ts";
import { failureCounts } from "../figures/figure-places.ts";
import type { SettlingCurve } from "../figures/figure-settling.ts";
import { boundOf, chooseMeasure, heightOf, intervalOf, meanOf } from "../figures/strip-panels.ts";
import type { ReportInput } from "../types.ts";

// What each figure draws, as rows of a table: one thing drawn is one row, with the names of the columns in the first.

export type DataCell = string | number | undefined;
export type DataRows = readonly (readonly DataCell[])[];

/** Rows as CSV after RFC 4180, guarded against formulas. */
export function csvOf(rows: DataRows): string {
  return `${rows.map((row) => row.map(csvCell).join(",")).join("\r\n")}\r\n`;
}

/** Every mark, and each cell's mean with its interval and its stated bound; forces in newtons, efficiencies as fractions. */
export function everyPullRows({ series, findings }: Pick<ReportInput, "series" | "findings">): DataRows {
  const measure = chooseMeasure(findings);
  const unit = measure === "strength" ? "N" : `${measure}, fraction`;
  const factors = series.factors.map(({ name }) => name);
  const levelsOf = (levels: Readonly<Record<string, DataCell>>) => factors.map((name) => levels[name]);
  const marks = findings.pulls.flatMap((pull) => {
    const value = heightOf(pull, measure);
    if (value === undefined) return [];
    return [
      [
        "pull",
        pullName(pull),
        ...levelsOf(pull.levels),
        pull.outcome?.kind,
        value,
        undefined,
        undefined,
        unit,
      ],
    ];
  });
  const ofCells = findings.cells.flatMap((cell) => {
    const [mean, interval, bound] = [
      meanOf(cell, measure),
      intervalOf(cell, measure),
      boundOf(cell, measure, findings.pulls),
    ];
    const named = [cell.label, ...levelsOf(cell.levels), `n = ${cell.n}`];
    return [
      ...(mean === undefined
        ? []
        : [["mean with its 95 % interval", ...named, mean, interval?.[0], interval?.[1], unit]]),
      ...(bound === undefined ? [] : [[findings.statedBy.name, ...named, bound, undefined, undefined, unit]]),
    ];
  });
  const head = [
    "what",
    "name",
    ...series.factors.map(({ name, unit: of }) => (of === "" ? name : `${name} (${of})`)),
  ];
  return [[...head, "outcome_or_n", "value", "low", "high", "unit"], ...marks, ...ofCells];
}

/** The marks, the fitted lines and the bury to state; strengths as fractions of all legs' rated strength. */
export function slipOrBreakRows({ points, answer }: SeriesSlipOrBreak): DataRows {
  const { length, break: rope } = answer;
  return [
    ["what", "name", "full_bury_d", "outcome", "value_fraction", "low", "high"],
    ...points.map(({ name, buryDiameters, outcome, strength }) => [
      "strength of a pull",
      name,
      buryDiameters,
      outcome,
      strength,
      undefined,
      undefined,
    ]),
    ...(rope === undefined
      ? []
      : [
          [
            "median break strength",
            undefined,
            undefined,
            undefined,
            rope.plateau.strength,
            rope.plateau.interval?.[0],
            rope.plateau.interval?.[1],
          ],
        ]),
    ...answer.curve.flatMap(({ buryDiameters, slipStrength, probability, lower, upper }) => [
      ["median slip strength", undefined, buryDiameters, undefined, slipStrength, undefined, undefined],
      ["chance of slipping first", undefined, buryDiameters, undefined, probability, lower, upper],
    ]),
    ...(length.upper === undefined
      ? []
      : [["bury to state", undefined, length.upper, undefined, length.chance, undefined, undefined]]),
  ];
}

/** The curves as they are drawn: thinned to the extremes of spans, net of the rest. */
export function overlayRows(curves: readonly OverlayCurve[]): DataRows {
  return [
    ["pull", "outcome", "time_s", "low_n", "high_n"],
    ...curves.flatMap(({ name, outcome, timesS, lowN, highN }) =>
      timesS.map((time, i) => [name, outcome, rounded(time, 4), rounded(lowN[i], 2), rounded(highN[i], 2)]),
    ),
  ];
}

/** The holds as they are drawn, and the loss per tenfold of time as it was read. */
export function settlingDataRows(curves: readonly SettlingCurve[]): DataRows {
  return [
    ["what", "pull", "since_hold_began_s", "value_fraction", "low", "high"],
    ...curves.flatMap(({ name, perDecade }) =>
      perDecade === undefined
        ? []
        : [["lost per tenfold of time", name, undefined, perDecade.value, ...perDecade.interval]],
    ),
    ...curves.flatMap(({ name, sinceS, low, high }) =>
      sinceS.map((since, i) => [
        "force",
        name,
        rounded(since, 4),
        undefined,
        rounded(low[i], 6),
        rounded(high[i], 6),
      ]),
    ),
  ];
}

/** How many broke and slipped at each place. */
export function placeRows({ findings }: Pick<ReportInput, "findings">): DataRows {
  return [
    ["place", "broke", "slipped"],
    ...failureCounts(findings.pulls).map(({ place, broke, slipped }) => [place, broke, slipped]),
  ];
}

/** Values with their intervals, as they stand under one another. */
export function intervalDataRows(rows: readonly IntervalRow[], unit: string): DataRows {
  return [
    ["name", "beside", "value", "low", "high", "next_low", "next_high", "weight", "unit"],
    ...rows.map(({ label, beside, value, interval, next, weight }) => [
      label,
      beside,
      value,
      interval?.[0],
      interval?.[1],
      next?.[0],
      next?.[1],
      weight,
      unit,
    ]),
  ];
}

/** The decimals that the drawing can show; the samples themselves stand in the recording. */
function rounded(value: number | null | undefined, decimals: number): number | undefined {
  return value === null || value === undefined ? undefined : Number(value.toFixed(decimals));
}
