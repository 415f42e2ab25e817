import { useEffect, useRef, useState } from "preact/hooks";

/** The width of an element in pixels, followed as the page changes; 0 until it is on the page. */
export function useWidth<E extends HTMLElement>() {
  const place = useRef<E>(null);
  const [width, setWidth] = useState(0);
  useEffect(() => {
    if (place.current === null) return;
    // What is folded away is measured as well, so that it is there when it is searched or printed.
    setWidth(Math.round(place.current.getBoundingClientRect().width));
    const watch = new ResizeObserver(([entry]) => {
      // A browser may say of what is folded away that it has no width.
      const seen = Math.round(entry?.contentRect.width ?? 0);
      if (seen > 0) setWidth(seen);
    });
    watch.observe(place.current);
    return () => watch.disconnect();
  }, []);
  return { place, width };
}
