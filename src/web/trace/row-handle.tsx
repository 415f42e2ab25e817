import { useEffect, useRef } from "preact/hooks";
import { seconds } from "../shown-units.ts";
import type { Sheet } from "./trace-picture.tsx";

/** How long a boundary rests under the keys before it is kept. */
const restMs = 900;

/**
 * A row of the recording that a hand may move: dragged by its grip, or with the arrow keys by a row, with Shift by ten,
 * with Home and End to the rows between which it may lie. Escape puts it back before it is kept.
 */
export function RowHandle(props: {
  readonly sheet: Sheet;
  readonly name: string;
  readonly row: number;
  readonly least: number;
  readonly most: number;
  /** Grips that lie close are set at different heights, from 0. */
  readonly level?: number;
  readonly onMove: (row: number) => void;
  /** The hand has let go: what was moved is to be kept. */
  readonly onRest: () => void;
  readonly onEscape: () => void;
}) {
  const { sheet, row, least, most } = props;
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const held = useRef(false);
  const place = useRef<HTMLDivElement>(null);
  const now = useRef(props);
  now.current = props;
  useEffect(() => () => clearTimeout(timer.current), []);

  const moveTo = (to: number): void => now.current.onMove(Math.min(Math.max(Math.round(to), least), most));
  const rest = (): void => {
    clearTimeout(timer.current);
    now.current.onRest();
  };
  const across = sheet.acrossRow(row);
  const inView = across >= sheet.plot.left - 2 && across <= sheet.plot.right + 2;
  // A grip that is moved out of the sheet by keys waits at its edge: taken away, it would take the focus with it.
  if (!inView && (place.current === null || place.current !== document.activeElement)) return null;
  const x = Math.min(Math.max(across, sheet.plot.left), sheet.plot.right);
  const time = sheet.timeOf(row);
  return (
    <div
      ref={place}
      role="slider"
      tabIndex={0}
      class="row-handle"
      aria-label={props.name}
      aria-orientation="horizontal"
      aria-valuemin={least}
      aria-valuemax={most}
      aria-valuenow={row}
      aria-valuetext={time === undefined ? `row ${row}` : `${seconds(time)}, row ${row}`}
      title={props.name}
      style={{
        left: `${x}px`,
        top: `${sheet.plot.top}px`,
        height: `${sheet.plot.bottom - sheet.plot.top}px`,
        "--level": props.level ?? 0,
      }}
      onKeyDown={(event) => {
        const step = event.shiftKey ? 10 : 1;
        const moves: Readonly<Record<string, number>> = {
          ArrowLeft: row - step,
          ArrowDown: row - step,
          ArrowRight: row + step,
          ArrowUp: row + step,
          PageDown: row - 100,
          PageUp: row + 100,
          Home: least,
          End: most,
        };
        const to = moves[event.key];
        if (to === undefined && event.key !== "Escape" && event.key !== "Enter") return;
        event.preventDefault();
        event.stopPropagation(); // the sheet beneath answers the same keys
        clearTimeout(timer.current);
        if (event.key === "Escape") props.onEscape();
        else if (to === undefined) rest();
        else {
          moveTo(to);
          timer.current = setTimeout(rest, restMs);
        }
      }}
      onBlur={rest}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        event.stopPropagation();
        event.currentTarget.setPointerCapture(event.pointerId);
        held.current = true;
      }}
      onPointerMove={(event) => {
        if (!held.current) return;
        event.stopPropagation();
        const left = event.currentTarget.parentElement?.getBoundingClientRect().left ?? 0;
        moveTo(sheet.rowAcross(event.clientX - left));
      }}
      onPointerUp={(event) => {
        if (!held.current) return;
        event.stopPropagation();
        held.current = false;
        rest();
      }}
      onPointerCancel={() => {
        held.current = false;
        props.onEscape();
      }}
    >
      <span class="grip" />
    </div>
  );
}
