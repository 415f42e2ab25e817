import { useEffect, useRef, useState } from "preact/hooks";
import type { Plot } from "./trace-drawing.tsx";
import { panned, type View, zoomed } from "./view.ts";

/** Hands on the trace: dragging, wheel and two fingers. */
export function useHands(props: {
  readonly sheet: { readonly current: HTMLDivElement | null };
  readonly view: View;
  readonly setView: (view: View) => void;
  readonly rows: number;
  readonly toRow: (pixel: number) => number;
  readonly plot: Plot;
}) {
  const [held, setHeld] = useState(false);
  const fingers = useRef(new Map<number, number>());
  const now = useRef(props);
  now.current = props;

  useEffect(() => {
    const place = props.sheet.current;
    if (place === null) return;
    // Listened to by hand, since only a listener that is not passive can keep the page from scrolling.
    const onWheel = (event: WheelEvent): void => {
      if (!event.ctrlKey && document.activeElement !== place) return;
      event.preventDefault();
      const { view, rows, toRow, setView } = now.current;
      const at = event.clientX - place.getBoundingClientRect().left;
      if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) setView(panned(view, rows, event.deltaX / 600));
      else setView(zoomed(view, rows, Math.exp(event.deltaY * (event.ctrlKey ? 0.01 : 0.0016)), toRow(at)));
    };
    place.addEventListener("wheel", onWheel, { passive: false });
    return () => place.removeEventListener("wheel", onWheel);
  }, [props.sheet]);

  const on = {
    onPointerDown(event: PointerEvent): void {
      if (event.button !== 0) return;
      fingers.current.set(event.pointerId, event.clientX);
      if (event.currentTarget instanceof Element) event.currentTarget.setPointerCapture(event.pointerId);
      setHeld(true);
    },
    onPointerMove(event: PointerEvent): void {
      const before = fingers.current.get(event.pointerId);
      if (before === undefined) return;
      const { view, rows, plot, sheet, toRow, setView } = now.current;
      const others = [...fingers.current].filter(([id]) => id !== event.pointerId);
      const other = others[0]?.[1];
      if (other === undefined) {
        setView(panned(view, rows, -(event.clientX - before) / (plot.right - plot.left)));
      } else {
        const apart = Math.max(20, Math.abs(before - other));
        const nowApart = Math.max(20, Math.abs(event.clientX - other));
        const left = sheet.current?.getBoundingClientRect().left ?? 0;
        setView(zoomed(view, rows, apart / nowApart, toRow((event.clientX + other) / 2 - left)));
      }
      fingers.current.set(event.pointerId, event.clientX);
    },
    onPointerUp(event: PointerEvent): void {
      fingers.current.delete(event.pointerId);
      setHeld(fingers.current.size > 0);
    },
    onPointerCancel(event: PointerEvent): void {
      fingers.current.delete(event.pointerId);
      setHeld(fingers.current.size > 0);
    },
  };
  return { held, on };
}
