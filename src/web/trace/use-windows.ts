import { useEffect, useRef, useState } from "preact/hooks";
import type { TraceWindow } from "../../trace/mod.ts";
import { isSharp, pieceFor, type View } from "./view.ts";

/** Where the extremes between two rows come from: the server, or the worker that read a dropped file. */
export type TraceSource = (
  fromRow: number,
  toRow: number,
  columns: number,
) => Promise<TraceWindow | undefined>;

/** What is there to draw a view from. */
export type Windows = {
  /** The whole recording, coarse. */
  readonly whole: TraceWindow | undefined;
  /** The piece that was fetched last. */
  readonly near: TraceWindow | undefined;
  /** Whether the view is there as finely as the screen can show it. */
  readonly sharp: boolean;
  readonly failed: boolean;
};

const wholeColumns = 1000;
/** Less than this share of a view left beside it, and the next piece is fetched before the hand gets there. */
const spare = 0.15;

/**
 * The pieces of a recording that a moving view needs. The whole of it comes first; then one piece is under way at a time,
 * and what is asked for next is what is in view by then: views that a hand has passed meanwhile are never fetched.
 */
export function useWindows(source: TraceSource, rows: number, view: View, columns: number): Windows {
  const [whole, setWhole] = useState<TraceWindow>();
  const [near, setNear] = useState<TraceWindow>();
  const [failed, setFailed] = useState(false);
  const wanted = useRef({ view, columns });
  wanted.current = { view, columns };
  const follow = useRef(() => {});

  useEffect(() => {
    let left = false;
    let underWay = true;
    const pieces: TraceWindow[] = [];
    setWhole(undefined);
    setNear(undefined);
    setFailed(false);

    follow.current = async () => {
      if (underWay) return;
      underWay = true;
      let last: View | undefined;
      while (!left) {
        const { view, columns } = wanted.current;
        // A view that was fetched is not fetched again, whatever came of it.
        if (view === last || pieces.some((piece) => isSharp(piece, view, rows, columns, spare))) break;
        last = view;
        const piece = pieceFor(view, rows, columns);
        const window = await source(piece.from, piece.to, piece.columns);
        if (left) return;
        setFailed(window === undefined);
        if (window === undefined) continue;
        pieces[1] = window;
        setNear(window);
      }
      underWay = false;
    };

    source(1, rows, wholeColumns).then((window) => {
      if (left) return;
      setFailed(window === undefined);
      if (window === undefined) return;
      underWay = false;
      pieces[0] = window;
      setWhole(window);
      follow.current();
    });
    return () => {
      left = true;
    };
  }, [source, rows]);

  useEffect(() => follow.current(), [source, rows, view, columns]);

  const sharp = [whole, near].some((piece) => piece !== undefined && isSharp(piece, view, rows, columns));
  return { whole, near, sharp, failed };
}
