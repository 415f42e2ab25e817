import { useEffect, useState } from "preact/hooks";
import { Scroll } from "../parts/scroll.tsx";

type Figures = typeof import("./figures.ts");

/** A drawing of the report's, put on the page once its code is there. */
export function Drawing(props: {
  readonly draw: (figures: Figures) => string;
  /** What a drawing wider than a phone is called where it runs sideways in a frame of its own. */
  readonly wideAs?: string;
}) {
  const [figures, setFigures] = useState<Figures>();
  useEffect(() => {
    let here = true;
    import("./figures.ts").then((loaded) => {
      if (here) setFigures(loaded);
    });
    return () => {
      here = false;
    };
  }, []);
  // The drawing is our own: src/report escapes every text that goes into it.
  const drawn = (
    <div
      class="drawing"
      dangerouslySetInnerHTML={{ __html: figures === undefined ? "" : props.draw(figures) }}
    />
  );
  return props.wideAs === undefined ? drawn : <Scroll label={props.wideAs}>{drawn}</Scroll>;
}
