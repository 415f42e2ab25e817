import { useMemo } from "preact/hooks";
import { type SavedFigure, SaveFigure } from "../parts/save-figure.tsx";
import { useWidth } from "../parts/use-width.ts";
import { useLater } from "./use-later.ts";

type Figures = typeof import("../figures.ts");
const loadFigures = (): Promise<Figures> => import("../figures.ts");

/**
 * A figure of the report, drawn as wide as its place. The drawing comes after the words: its code is fetched only here.
 * `draw` must stay the same while what it draws does (useCallback); where it draws nothing, nothing stands there.
 */
export function ReportFigure(props: {
  readonly label: string;
  /** A figure that takes most of a screen: its place is kept from the beginning, so that nothing jumps. */
  readonly tall?: boolean;
  /** Where it can be saved from, as the report has it. */
  readonly save?: SavedFigure;
  readonly draw: (figures: Figures, width: number) => string | undefined;
}) {
  const { draw } = props;
  const { place, width } = useWidth<HTMLDivElement>();
  const figures = useLater(loadFigures);
  const drawing = useMemo(
    () => (width === 0 || figures === undefined ? "" : draw(figures, Math.max(320, Math.min(width, 1100)))),
    [draw, figures, width],
  );
  return (
    <div ref={place}>
      {drawing !== undefined && (
        <section
          class={props.tall === true ? "figure-from-report tall" : "figure-from-report"}
          aria-label={`Figure: ${props.label}`}
          // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard
          tabIndex={0}
          // The drawing is our own: src/report escapes every text that goes into it.

          dangerouslySetInnerHTML={{ __html: drawing }}
        />
      )}
      {drawing !== undefined && props.save !== undefined && <SaveFigure of={props.save} name={props.label} />}
    </div>
  );
}
