import { csvLink } from "../csv.ts";
import { Markup, markup, type Part } from "../markup.ts";
import { csvOf } from "../series-figures/figure-data.ts";
import { drawFigure, type SeriesFigureAsked, sourceOf } from "../series-figures/series-figure.ts";
import type { ReportInput } from "../types.ts";

/**
 * A figure of the page: drawn once for wide pages and once for narrow ones, with its title, what it shows, where it comes from,
 * and the very data that it draws to take away. Nothing where there is nothing to draw.
 */
export function figureOf(
  input: ReportInput,
  about: SeriesFigureAsked & { readonly id: string; readonly caption: Part },
): Markup {
  const { id, caption, ...asked } = about;
  const wide = drawFigure(input, asked, { id: `${id}-wide`, width: 860 });
  const narrow = drawFigure(input, asked, { id: `${id}-narrow`, width: 350 });
  if (wide === undefined || narrow === undefined) return markup``;
  const { simulated } = input.series;
  return markup`<figure><div class="wide">${new Markup(wide.drawing)}</div><div class="narrow">${new Markup(narrow.drawing)}</div>
<figcaption><strong class="figure-title">${wide.title}.</strong> ${simulated ? markup`<strong>Simulated data.</strong> ` : ""}${caption}<p class="source">${sourceOf(input)}. <a class="figure-data" download="${id}.csv" href="${csvLink(csvOf(wide.rows))}">The data of this figure (CSV)</a></p></figcaption></figure>`;
}
