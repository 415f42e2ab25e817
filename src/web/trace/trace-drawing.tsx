import { useMemo } from "preact/hooks";
import type { PullReading, TraceWindow } from "../../trace/mod.ts";
import { fromForceUnit, newtons, toForceUnit } from "../../units/mod.ts";
import { trimmed } from "../book/quantity.ts";
import { force, forceUnit } from "../shown-units.ts";
import { abscissaOf, curvePath, forceRange, rowOfSpan, ticks, type View } from "./view.ts";

/** The part of the picture in which the curve lies, in pixels. */
export type Plot = {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
};

/** Axes, curve and marks of what is in view. `base` is the whole recording, `shown` the finest piece at hand. */
export function TraceDrawing(props: {
  readonly base: TraceWindow;
  readonly shown: TraceWindow;
  readonly view: View;
  readonly plot: Plot;
  readonly pulls: readonly PullReading[];
  readonly focus?: PullReading;
}) {
  const { base, shown, view, plot, focus } = props;
  const unit = forceUnit.value;
  const range = forceRange(base) ?? [0, 1];
  const low = Math.min(0, range[0]);
  const high = Math.max(range[1], low + 1) * 1.04;
  const x0 = abscissaOf(base, view.from);
  const x1 = Math.max(abscissaOf(base, view.to), x0 + 1e-9);
  const across = (abscissa: number): number =>
    plot.left + ((abscissa - x0) / (x1 - x0)) * (plot.right - plot.left);
  const acrossRow = (row: number): number => across(abscissaOf(base, row));
  const up = (forceN: number): number =>
    plot.bottom - ((forceN - low) / (high - low)) * (plot.bottom - plot.top);
  const curve = useMemo(
    () => curvePath(shown, (span) => across(shown.x[span] ?? rowOfSpan(shown, span)), up),
    [shown, base, x0, x1, plot.right, low, high],
  );
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
        {props.pulls.map((pull) => (
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
      <text class="axis" x={plot.left - 8} y={16} text-anchor="end">
        {unit}
      </text>
      <text class="axis" x={plot.right} y={plot.bottom + 36} text-anchor="end">
        {base.xIsTime ? "seconds" : "rows"}
      </text>
      <g clip-path="url(#trace-paper)">
        <path class="curve" d={curve} />
        {props.pulls.map((pull) => (
          <Marks
            across={across}
            key={pull.index}
            pull={pull}
            plot={plot}
            row={acrossRow}
            up={up}
            named={pull === focus || props.pulls.length < 4}
            full={pull === focus}
          />
        ))}
      </g>
    </>
  );
}

/** What was read, drawn over the curve: start and end, rest, the ramp of the loading rate, drops by number, the peak. */
function Marks(props: {
  readonly pull: PullReading;
  readonly plot: Plot;
  readonly row: (row: number) => number;
  readonly up: (forceN: number) => number;
  readonly across: (abscissa: number) => number;
  readonly named: boolean;
  readonly full: boolean;
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
      {pull.restN !== undefined && (
        <path class="rest" d={`M${row(pull.startRow)} ${up(pull.restN)}H${row(pull.endRow)}`} />
      )}
      {props.full && pull.loadingRateFromS !== undefined && pull.loadingRateToS !== undefined && (
        <path
          class="rate"
          d={`M${props.across(pull.loadingRateFromS)} ${plot.bottom - 3}H${props.across(pull.loadingRateToS)}`}
        />
      )}
      {props.full &&
        pull.drops.map((drop, at) => (
          <g key={drop.row}>
            <path class="fall" d={`M${row(drop.row)} ${up(drop.fromN)}V${up(drop.toN)}`} />
            {drop.row !== pull.peakRow && (
              <text class="point-name" x={row(drop.row) - 4} y={up(drop.fromN) - 7} text-anchor="end">
                {at + 1}
              </text>
            )}
          </g>
        ))}
      <circle class="point" cx={peakX} cy={peakY} r="6" />
      {props.named && (
        <text
          class="point-name peak"
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
