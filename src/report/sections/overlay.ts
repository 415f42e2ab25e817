import { figureOverlay, overlayCurves } from "../figure-overlay.ts";
import { figureSettling, settlingCurves } from "../figure-settling.ts";
import { type Markup, markup } from "../markup.ts";
import type { ReportInput } from "../types.ts";
import { wideAndNarrow } from "./wide-and-narrow.ts";

/** All curves over one another, and how the force settled at the holds; to stand before the single curves. */
export function overlayFigures(input: ReportInput): Markup {
  const { simulated } = input.series;
  const curves = overlayCurves(input, "peak");
  const holds = settlingCurves(input);
  // One curve over nothing says no more than the curve itself.
  const overlay =
    curves.length < 2
      ? undefined
      : wideAndNarrow(
          (id, width) => figureOverlay(curves, { id, width, align: "peak", simulated }),
          "overlay",
        );
  const settling = wideAndNarrow((id, width) => figureSettling(holds, { id, width, simulated }), "settling");
  return markup`${overlay === undefined ? "" : markup`<figure>${overlay}<figcaption>All curves with their peaks at one moment, net of what the load cell showed at rest. At each peak stands the mark of how the pull ended.</figcaption></figure>`}
${settling === undefined ? "" : markup`<figure>${settling}<figcaption>The force at each hold, as a share of that at its start, against the time since then.${holds.length > 10 ? "" : " The dashed line falls by the part that is lost in each tenfold of time, as it was read."}</figcaption></figure>`}`;
}
