import { useMemo } from "preact/hooks";
import { drawTraceMarks, type TraceFigure, traceMarks, valueWithin } from "../../report/mod.ts";
import type { PullReading, TraceWindow } from "../../trace/mod.ts";
import { fromForceUnit, newtons, toForceUnit } from "../../units/mod.ts";
import { trimmed } from "../book/quantity.ts";
import { force, forceUnit } from "../shown-units.ts";
import { TraceCurve } from "./trace-curve.tsx";
import { abscissaOf, forceRange, type Plot, ticks, type View } from "./view.ts";

/** Axes, curve and marks of what is in view. `base` is the whole recording, `shown` the finest piece at hand. */
export function TraceDrawing(props: {
  readonly base: TraceWindow;
  readonly shown: TraceWindow;
  readonly view: View;
  readonly plot: Plot;
  readonly pulls: readonly PullReading[];
  readonly focus?: PullReading;
  /** What the machine read, where a person corrected it: a faint line at each boundary that was moved. */
  readonly machine?: PullReading;
  /** Rows of samples that were left out of every figure. */
  readonly leftOut?: readonly number[];
}) {
  const { base, shown, view, plot, focus } = props;
  const unit = forceUnit.value;
  const range = useMemo(() => forceRange(base) ?? ([0, 1] as const), [base]);
  const low = Math.min(0, range[0]);
  const high = Math.max(range[1], low + 1) * 1.04;
  const x0 = abscissaOf(base, view.from);
  const x1 = Math.max(abscissaOf(base, view.to), x0 + 1e-9);
  const across = (abscissa: number): number =>
    plot.left + ((abscissa - x0) / (x1 - x0)) * (plot.right - plot.left);
  const acrossRow = (row: number): number => across(abscissaOf(base, row));
  const up = (forceN: number): number =>
    plot.bottom - ((forceN - low) / (high - low)) * (plot.bottom - plot.top);
  const told = focus === undefined ? undefined : marksOf(focus, props.leftOut ?? [], base, shown);
  const marks =
    told === undefined
      ? undefined
      : drawTraceMarks(told, {
          x: across,
          y: up,
          plot,
          xIsTime: base.xIsTime,
          small: false,
          textSize: plot.right - plot.left > 600 ? 14 : 12,
          force,
        });
  const forceTicks = ticks(toForceUnit(newtons(low), unit), toForceUnit(newtons(high), unit), 5);
  const timeTicks = ticks(x0, x1, plot.right - plot.left > 600 ? 7 : 4);
  const clip = { x: plot.left, y: 0, width: Math.max(1, plot.right - plot.left), height: plot.bottom };
  return (
    <>
      <defs>
        <clipPath id="trace-paper">
          <rect {...clip} />
        </clipPath>
      </defs>
      <g clip-path="url(#trace-paper)">
        {props.pulls
          .filter((pull) => pull !== focus || pull.deep === undefined)
          .map((pull) => (
            <rect
              key={pull.index}
              class="pulling"
              x={acrossRow(pull.startRow)}
              y={plot.top}
              width={Math.max(1, acrossRow(pull.endRow) - acrossRow(pull.startRow))}
              height={plot.bottom - plot.top}
            />
          ))}
      </g>
      {forceTicks.map((tick) => {
        const y = up(fromForceUnit(tick, unit));
        return (
          <g key={tick}>
            <path class="grid" d={`M${plot.left} ${y}H${plot.right}`} />
            <text class="axis" x={plot.left - 8} y={y + 5} text-anchor="end">
              {trimmed(tick)}
            </text>
          </g>
        );
      })}
      {timeTicks.map((tick) => (
        <text key={tick} class="axis" x={across(tick)} y={plot.bottom + 20} text-anchor="middle">
          {trimmed(tick)}
        </text>
      ))}
      <text
        class="axis"
        x={plot.left - 8}
        y={plot.top - (focus?.deep === undefined ? 18 : 6)}
        text-anchor="end"
      >
        {unit}
      </text>
      <text class="axis" x={plot.right} y={plot.bottom + 36} text-anchor="end">
        {base.xIsTime ? "seconds" : "rows"}
      </text>
      {marks !== undefined && (
        <g dangerouslySetInnerHTML={{ __html: marks.under.map(({ text }) => text).join("") }} />
      )}
      <g clip-path="url(#trace-paper)">
        {movedFrom(props.machine, focus).map((row) => (
          <path key={row} class="as-read" d={`M${acrossRow(row)} ${plot.top}V${plot.bottom}`}>
            <title>as the machine read it</title>
          </path>
        ))}
        <TraceCurve base={base} shown={shown} plot={plot} across={across} lowN={low} highN={high} />
        {props.pulls
          .filter((pull) => pull !== focus)
          .map((pull) => (
            <OtherPull
              key={pull.index}
              pull={pull}
              plot={plot}
              row={acrossRow}
              up={up}
              named={props.pulls.length < 4}
            />
          ))}
      </g>
      {/* Drawn by the code that draws the report's curves, which escapes every text. */}
      {marks !== undefined && (
        <g dangerouslySetInnerHTML={{ __html: marks.over.map(({ text }) => text).join("") }} />
      )}
    </>
  );
}

/** The marks of the pull that the page is about, in places and units of the screen. */
function marksOf(
  pull: PullReading,
  leftOut: readonly number[],
  base: TraceWindow,
  shown: TraceWindow,
): TraceFigure {
  const unit = forceUnit.value;
  const marks = traceMarks(pull, {
    // Rows tell the place to the sample, also where a boundary is being dragged and its time is not known yet.
    placeOf: (row) => abscissaOf(withinWindow(shown, row) ? shown : base, row),
    force,
    forceWithin: (forceN, expandedN) =>
      `${valueWithin(toForceUnit(newtons(forceN), unit), toForceUnit(newtons(expandedN), unit))} ${unit}`,
  });
  return {
    ...marks,
    leftOut: leftOut.map((row) => ({ x: abscissaOf(base, row), forceN: highestNear(shown, base, row) })),
  };
}

function withinWindow(window: TraceWindow, row: number): boolean {
  return row >= window.fromRow && row <= window.toRow;
}

/** The highest force of the span that holds a row: where a spike sticks out. */
function highestNear(shown: TraceWindow, base: TraceWindow, row: number): number {
  const window = withinWindow(shown, row) ? shown : base;
  const span = Math.floor(((row - window.fromRow) * window.x.length) / (window.toRow - window.fromRow + 1));
  return window.highN[Math.min(Math.max(span, 0), window.x.length - 1)] ?? 0;
}

/** A pull that the page is not about: where it starts and ends, and its peak. */
function OtherPull(props: {
  readonly pull: PullReading;
  readonly plot: Plot;
  readonly row: (row: number) => number;
  readonly up: (forceN: number) => number;
  readonly named: boolean;
}) {
  const { pull, plot, row, up } = props;
  const peakX = row(pull.peakRow);
  const peakY = up(pull.peakN);
  const toLeft = peakX > (plot.left + plot.right) / 2;
  return (
    <>
      <path
        class="edge"
        d={`M${row(pull.startRow)} ${plot.top}V${plot.bottom}M${row(pull.endRow)} ${plot.top}V${plot.bottom}`}
      />
      <circle class="point" cx={peakX} cy={peakY} r="6" />
      {props.named && (
        <text
          class="point-name"
          x={peakX + (toLeft ? -13 : 13)}
          y={Math.max(peakY - 6, 16)}
          text-anchor={toLeft ? "end" : "start"}
        >
          {force(pull.peakN)}
        </text>
      )}
    </>
  );
}

/** The rows of boundaries that a person moved, as the machine read them. */
function movedFrom(machine: PullReading | undefined, pull: PullReading | undefined): readonly number[] {
  const now = pull?.deep?.phases ?? [];
  return (machine?.deep?.phases ?? []).flatMap((phase, at) => {
    const rows: number[] = [];
    if (now[at] !== undefined && now[at].fromRow !== phase.fromRow) rows.push(phase.fromRow);
    if (at === now.length - 1 && now[at]?.toRow !== phase.toRow) rows.push(phase.toRow);
    return rows;
  });
}
