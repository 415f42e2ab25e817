import { useId, useMemo } from "preact/hooks";
import type { TraceWindow } from "../../trace/mod.ts";
import { curvePath, type Plot } from "./view.ts";

/** Paths are laid out this wide and pulled to their place: a tenth of it is well below a pixel of any screen. */
const pathWidth = 20_000;

/**
 * The curve of what is in view: the finest piece at hand, and where it ends before the view does, the whole recording,
 * coarse. While a hand moves, the paths stay as they are and only their places change: made anew for each frame, a processor
 * of a quarter of the speed drew 45 frames a second in place of 58.
 */
export function TraceCurve(props: {
  readonly base: TraceWindow;
  readonly shown: TraceWindow;
  readonly plot: Plot;
  readonly across: (abscissa: number) => number;
  /** The forces at the foot and at the top of the plot. */
  readonly lowN: number;
  readonly highN: number;
}) {
  const { base, shown, plot, across } = props;
  const clip = useId();
  const [from, to] = [across(firstOf(shown)), across(lastOf(shown))];
  const [left, right] = [Math.max(from, plot.left), Math.min(to, plot.right)];
  const whole = shown === base || (left <= plot.left && right >= plot.right);
  const height = Math.max(0, plot.bottom);
  return (
    <>
      {!whole && (
        <>
          <clipPath id={clip}>
            <rect x={plot.left} y="0" width={Math.max(0, left - plot.left)} height={height} />
            <rect x={right} y="0" width={Math.max(0, plot.right - right)} height={height} />
          </clipPath>
          <g clip-path={`url(#${clip})`}>
            <Piece {...props} window={base} name="coarse" />
          </g>
        </>
      )}
      <Piece {...props} window={shown} name="curve" />
    </>
  );
}

function Piece(props: {
  readonly window: TraceWindow;
  readonly name: string;
  readonly plot: Plot;
  readonly across: (abscissa: number) => number;
  readonly lowN: number;
  readonly highN: number;
}) {
  const { window, plot, across, lowN, highN } = props;
  const first = firstOf(window);
  const length = Math.max(lastOf(window) - first, 1e-9);
  const path = useMemo(
    () =>
      curvePath(
        window,
        (span) => (((window.x[span] ?? first) - first) / length) * pathWidth,
        (forceN) => plot.bottom - ((forceN - lowN) / (highN - lowN)) * (plot.bottom - plot.top),
      ),
    [window, plot.top, plot.bottom, lowN, highN],
  );
  const from = across(first);
  const scale = (across(first + length) - from) / pathWidth;
  return <path class={props.name} d={path} transform={`matrix(${scale} 0 0 1 ${from} 0)`} />;
}

function firstOf({ x }: TraceWindow): number {
  return x[0] ?? 0;
}

function lastOf({ x }: TraceWindow): number {
  return x.at(-1) ?? 0;
}
