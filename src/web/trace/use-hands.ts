import { useEffect, useRef, useState } from "preact/hooks";
import { type Plot, panned, type View, zoomed } from "./view.ts";

/** A wheel that counts in lines turns by three at a time, where others turn by some fifty pixels. */
const pixelsOfLine = 16;
/** Fingers that nearly touch would change the size by leaps. */
const leastApart = 24;

/**
 * Hands on the trace. The row under the hand stays under it: dragged, turned nearer and farther with the wheel, spread with
 * two fingers. Up and down a finger scrolls the page, and so does a wheel until the trace has been pressed.
 */
export function useHands(props: {
  readonly sheet: { readonly current: HTMLDivElement | null };
  readonly view: View;
  readonly setView: (view: View) => void;
  readonly rows: number;
  readonly toRow: (pixel: number) => number;
  readonly plot: Plot;
}) {
  const [held, setHeld] = useState(false);
  const fingers = useRef(new Map<number, Place>());
  const grip = useRef<Grip | undefined>(undefined);
  const now = useRef(props);
  now.current = props;

  useEffect(() => {
    const place = props.sheet.current;
    if (place === null) return;
    // Listened to by hand, since only a listener that is not passive can keep the page from scrolling.
    const onWheel = (event: WheelEvent): void => {
      if (!event.ctrlKey && document.activeElement !== place) return;
      const { view, rows, toRow, setView, plot } = now.current;
      const unit = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? pixelsOfLine : 1;
      const [across, down] = [event.deltaX * unit, event.deltaY * unit];
      const at = event.clientX - place.getBoundingClientRect().left;
      const sideways = Math.abs(across) > Math.abs(down);
      // Where all of it is in view and the wheel turns away from it, the page scrolls on.
      if (!event.ctrlKey && !sideways && down > 0 && view.to - view.from >= rows - 1) return;
      event.preventDefault();
      grip.current = undefined;
      if (sideways) setView(panned(view, rows, across / (plot.right - plot.left)));
      else setView(zoomed(view, rows, Math.exp(down * (event.ctrlKey ? 0.01 : 0.0016)), toRow(at)));
    };
    place.addEventListener("wheel", onWheel, { passive: false });
    return () => place.removeEventListener("wheel", onWheel);
  }, [props.sheet]);

  /** What the fingers hold when they come, when one leaves, and when the view was moved by other means. */
  function takeHold(): Grip {
    const { view, sheet, toRow } = now.current;
    const left = sheet.current?.getBoundingClientRect().left ?? 0;
    const between = spread(fingers.current);
    return { view, between, row: toRow(between.middle - left) };
  }

  function letGo(event: PointerEvent): void {
    fingers.current.delete(event.pointerId);
    grip.current = undefined;
    setHeld(fingers.current.size > 0);
  }

  const on = {
    onPointerDown(event: PointerEvent): void {
      if (event.button !== 0) return;
      fingers.current.set(event.pointerId, { x: event.clientX, y: event.clientY });
      grip.current = undefined;
      if (event.currentTarget instanceof Element) event.currentTarget.setPointerCapture(event.pointerId);
      setHeld(true);
    },
    onPointerMove(event: PointerEvent): void {
      if (!fingers.current.has(event.pointerId)) return;
      grip.current ??= takeHold();
      fingers.current.set(event.pointerId, { x: event.clientX, y: event.clientY });
      const { rows, plot, setView } = now.current;
      const { view, between, row } = grip.current;
      const to = spread(fingers.current);
      const sized = to.apart === between.apart ? view : zoomed(view, rows, between.apart / to.apart, row);
      setView(panned(sized, rows, (between.middle - to.middle) / (plot.right - plot.left)));
    },
    onPointerUp: letGo,
    onPointerCancel: letGo,
  };
  return { held, on };
}

type Place = { readonly x: number; readonly y: number };
/** Where fingers are: the middle between them across the page, and how far apart they are; one is at no distance. */
type Spread = { readonly middle: number; readonly apart: number };
type Grip = { readonly view: View; readonly between: Spread; readonly row: number };

function spread(fingers: ReadonlyMap<number, Place>): Spread {
  const [one, other] = [...fingers.values()];
  if (one === undefined) return { middle: 0, apart: leastApart };
  if (other === undefined) return { middle: one.x, apart: leastApart };
  return {
    middle: (one.x + other.x) / 2,
    apart: Math.max(leastApart, Math.hypot(one.x - other.x, one.y - other.y)),
  };
}
