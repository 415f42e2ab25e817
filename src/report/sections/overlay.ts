import { overlayCurves } from "../figures/figure-overlay.ts";
import { settlingCurves } from "../figures/figure-settling.ts";
import { type Markup, markup } from "../markup.ts";
import type { ReportInput } from "../types.ts";
import { figureOf } from "./figure-of.ts";

/** All curves over one another, and how the force settled at the holds; to stand before the single curves. */
export function overlayFigures(input: ReportInput): Markup {
  const many = settlingCurves(input).length > 10;
  // One curve over nothing says no more than the curve itself.
  const several = overlayCurves(input, "peak").length > 1;
  return markup`${several ? figureOf(input, { kind: "overlay", id: "overlay", caption: "All curves with their peaks at one moment, net of what the load cell showed at rest. At each peak stands the mark of how the pull ended." }) : ""}
${figureOf(input, {
  kind: "settling",
  id: "settling",
  caption: `The force at each hold, as a share of that at its start, against the time since then.${many ? "" : " The dashed line falls by the part that is lost in each tenfold of time, as it was read."}`,
})}`;
}
