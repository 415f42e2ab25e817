import { useEffect, useState } from "preact/hooks";

/**
 * A part of a page that is fetched after the page itself stands; undefined until it is there. Where it cannot be fetched,
 * that is thrown, and said by the page's own boundary.
 *
 * @example
 * const figures = useLater(loadFigures); // const loadFigures = () => import("../figures.ts")
 */
export function useLater<M>(load: () => Promise<M>): M | undefined {
  const [part, setPart] = useState<{ readonly module: M } | { readonly error: Error }>();
  useEffect(() => {
    let left = false;
    load().then(
      (module) => !left && setPart({ module }),
      (error: Error) => !left && setPart({ error }),
    );
    return () => {
      left = true;
    };
  }, [load]);
  if (part !== undefined && "error" in part) throw part.error;
  return part?.module;
}
