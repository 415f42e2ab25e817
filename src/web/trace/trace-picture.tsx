import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { PullReading, TraceWindow } from "../../trace/mod.ts";
import { announce } from "../announce.tsx";
import { trimmed } from "../book/quantity.ts";
import { force } from "../shown-units.ts";
import { TraceDrawing } from "./trace-drawing.tsx";
import { useHands } from "./use-hands.ts";
import { type TraceSource, useWindows } from "./use-windows.ts";
import {
  abscissaOf,
  aroundRows,
  isSharp,
  type Plot,
  panned,
  rowAt,
  type View,
  viewWords,
  within,
  zoomed,
} from "./view.ts";

const frame = { left: 62, right: 16, top: 34, bottom: 38 };
/** Room above the plot for three rows of words, where phases are told. */
const lane = 44;

/** Where rows lie on the sheet, for what is laid over the picture. */
export type Sheet = {
  readonly plot: Plot;
  readonly view: View;
  readonly acrossRow: (row: number) => number;
  readonly rowAcross: (pixel: number) => number;
  /** Time of a row, where the recording has a clock. */
  readonly timeOf: (row: number) => number | undefined;
};

/** A place that the page asks to be shown; a new object for each time of asking. */
export type Look = { readonly row: number };

/**
 * The trace with what was read out of it drawn over it: dragged or moved with the arrow keys, made larger and smaller
 * with the wheel, two fingers, + and −. What is there moves at once; the finer picture follows.
 */
export function TracePicture(props: {
  readonly source: TraceSource;
  readonly rows: number;
  readonly pulls: readonly PullReading[];
  /** The pull that the page is about; without one, the whole recording is shown. */
  readonly focus?: PullReading;
  readonly name: string;
  readonly machine?: PullReading;
  readonly leftOut?: readonly number[];
  readonly look?: Look;
  /** What is laid over the picture, such as handles. */
  readonly overlay?: (sheet: Sheet) => ComponentChildren;
}) {
  const { source, rows, focus } = props;
  const sheet = useRef<HTMLDivElement>(null);
  const about = useId();
  const [{ width, height }, setSize] = useState({ width: 900, height: 420 });
  const begin = focus === undefined ? { from: 1, to: rows } : aroundRows(focus.startRow, focus.endRow, rows);
  const [view, setView] = useState<View>(() => within(begin, rows));
  const columns = Math.max(200, Math.min(1600, Math.round(width)));

  useEffect(() => {
    const place = sheet.current;
    if (place === null) return;
    const watch = new ResizeObserver(([entry]) => {
      if (entry === undefined) return;
      const { width: wide, height: high } = entry.contentRect;
      setSize({ width: Math.max(280, Math.round(wide)), height: Math.max(200, Math.round(high)) });
    });
    watch.observe(place);
    return () => watch.disconnect();
  }, []);

  const { whole, near, sharp, failed } = useWindows(source, rows, view, columns);

  const base = whole;
  // The whole recording is one piece the less to draw where it is as fine as the screen.
  const inView = near !== undefined && near.fromRow < view.to && near.toRow > view.from ? near : whole;
  const shown = whole !== undefined && isSharp(whole, view, rows, columns) ? whole : inView;
  const plot = {
    left: frame.left,
    right: width - frame.right,
    top: frame.top + (focus?.deep === undefined ? 0 : lane),
    bottom: height - frame.bottom,
  };
  const toRow = (pixel: number): number => {
    if (base === undefined) return view.from;
    const low = abscissaOf(base, view.from);
    const high = abscissaOf(base, view.to);
    return rowAt(base, low + ((pixel - plot.left) / (plot.right - plot.left)) * (high - low));
  };
  const acrossRow = (row: number): number => {
    if (base === undefined) return plot.left;
    const low = abscissaOf(base, view.from);
    const high = abscissaOf(base, view.to);
    const place = (abscissaOf(finer(row), row) - low) / Math.max(high - low, 1e-9);
    return plot.left + place * (plot.right - plot.left);
  };
  /** The finest piece at hand that holds a row. */
  const finer = (row: number): TraceWindow =>
    (near !== undefined && row >= near.fromRow && row <= near.toRow ? near : base) as TraceWindow; // asked with a base only
  const move = (next: View): void => {
    if (next.from !== view.from || next.to !== view.to) setView(next);
  };
  const hands = useHands({ sheet, view, setView: move, rows, toRow, plot });

  /** By a key or a button: what is in view then is said as well, for those who do not see it. */
  const goTo = (next: View): void => {
    const kept = within(next, rows);
    move(kept);
    if (base !== undefined) announce(viewWords(base, kept, rows));
  };
  const all = view.to - view.from >= rows - 1;
  const zoom = (factor: number): void => goTo(zoomed(view, rows, factor, (view.from + view.to) / 2));
  const toBreak = (pull: PullReading): void => {
    const half = Math.max((pull.endRow - pull.startRow) * 0.03, 30);
    const row = pull.collapse?.row ?? pull.peakRow;
    goTo({ from: row - half, to: row + half });
  };
  useEffect(() => {
    if (props.look === undefined) return;
    const { row } = props.look;
    const half = focus === undefined ? rows * 0.02 : Math.max((focus.endRow - focus.startRow) * 0.04, 30);
    goTo({ from: row - half, to: row + half });
    sheet.current?.scrollIntoView({ block: "nearest" });
    sheet.current?.focus({ preventScroll: true });
  }, [props.look]);
  const pull = focus ?? (props.pulls.length === 1 ? props.pulls[0] : undefined);

  return (
    <div class="trace">
      {/* biome-ignore lint/a11y/useSemanticElements: a picture that answers keys has no element of its own */}
      <div
        class={`sheet${hands.held ? " held" : ""}${all ? " all" : ""}`}
        ref={sheet}
        role="group"
        aria-label={`Trace of ${props.name}. Left and right arrow move, plus and minus change the size, Home or 0 shows all.`}
        aria-describedby={about}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it answers keys
        tabIndex={0}
        onKeyDown={(event) => {
          const keys: Record<string, () => void> = {
            ArrowLeft: () => goTo(panned(view, rows, -0.15)),
            ArrowRight: () => goTo(panned(view, rows, 0.15)),
            "+": () => zoom(0.5),
            "=": () => zoom(0.5),
            "-": () => zoom(2),
            Home: () => goTo({ from: 1, to: rows }),
            "0": () => goTo({ from: 1, to: rows }),
          };
          const act = keys[event.key];
          if (act === undefined || event.ctrlKey || event.metaKey) return;
          event.preventDefault();
          act();
        }}
        {...hands.on}
      >
        <svg
          viewBox={`0 0 ${width} ${height}`}
          preserveAspectRatio="none"
          role="img"
          aria-label={sentenceOf(props.name, pull)}
          aria-busy={!sharp && !failed}
        >
          {base !== undefined && shown !== undefined && (
            <TraceDrawing
              base={base}
              shown={shown}
              view={view}
              plot={plot}
              pulls={props.pulls}
              {...(pull === undefined ? {} : { focus: pull })}
              {...(props.machine === undefined ? {} : { machine: props.machine })}
              {...(props.leftOut === undefined ? {} : { leftOut: props.leftOut })}
            />
          )}
          {base === undefined && !failed && (
            <text class="axis" x={plot.left} y={height / 2}>
              Drawing the trace …
            </text>
          )}
          {failed && (
            <text class="axis" x={plot.left} y={height / 2}>
              The trace cannot be drawn now; the figures below still stand.
            </text>
          )}
        </svg>
        {base !== undefined &&
          props.overlay?.({
            plot,
            view,
            acrossRow,
            rowAcross: toRow,
            timeOf: (row) => (base.xIsTime ? abscissaOf(finer(row), row) : undefined),
          })}
      </div>
      <div class="tools">
        <button type="button" aria-label="Earlier" onClick={() => goTo(panned(view, rows, -0.4))}>
          ←
        </button>
        <button type="button" aria-label="Later" onClick={() => goTo(panned(view, rows, 0.4))}>
          →
        </button>
        <button type="button" aria-label="Nearer" onClick={() => zoom(0.5)}>
          +
        </button>
        <button type="button" aria-label="Farther" onClick={() => zoom(2)}>
          −
        </button>
        {pull !== undefined && (
          <>
            <button type="button" onClick={() => toBreak(pull)}>
              The break
            </button>
            <button type="button" onClick={() => goTo(aroundRows(pull.startRow, pull.endRow, rows))}>
              The pull
            </button>
          </>
        )}
        <button type="button" disabled={all} onClick={() => goTo({ from: 1, to: rows })}>
          The whole recording
        </button>
      </div>
      <p class="how">
        {base !== undefined && <span id={about}>{viewWords(base, view, rows)}</span>}
        {failed && base !== undefined && " The finer picture did not come; the curve is coarse."} Drag to
        move. Wheel or two fingers change the size once the trace is pressed or has the keys.
      </p>
    </div>
  );
}

function sentenceOf(name: string, pull: PullReading | undefined): string {
  if (pull === undefined) return `Force against time of ${name}.`;
  const when = pull.peakTimeS === undefined ? `in row ${pull.peakRow}` : `at ${trimmed(pull.peakTimeS)} s`;
  return `Force against time of ${name}: the peak is ${force(pull.peakN)} ${when}.`;
}
