import { figureForest } from "../figure-forest.ts";
import { figureClaims, figureEffects, figureScatterParts } from "../figure-mattered.ts";
import { figurePlaces } from "../figure-places.ts";
import { Markup, markup } from "../markup.ts";
import { heading, table } from "../page-parts.ts";
import type { ReportInput } from "../types.ts";

/** What mattered: the effects, the parts of the scatter, where it failed, each as a figure with its numbers in a table. */
export function matteredSection({ findings, series }: ReportInput): Markup {
  const { simulated } = series;
  const effects = pair((id, width) => figureEffects(findings, { id, width, simulated }), "effects");
  const parts = pair((id, width) => figureScatterParts(findings, { id, width, simulated }), "parts");
  const places = pair((id, width) => figurePlaces(findings.pulls, { id, width, simulated }), "places");
  if (effects === undefined && parts === undefined && places === undefined) return markup``;
  return markup`<section aria-labelledby="mattered"><h2 id="mattered">What mattered</h2>
${effects === undefined ? "" : markup`<figure>${effects}<figcaption>Each level against the first of its factor. The line is the 95 % interval: an effect whose line crosses zero is not shown by these pulls.</figcaption></figure>${effectsTable(findings)}`}
${parts === undefined ? "" : markup`<figure>${parts}<figcaption>How far ropes, spools, makers and single pulls scatter, each as a standard deviation. An arrow: the interval goes on. Few groups make it wide.</figcaption></figure>`}
${places === undefined ? "" : markup`<figure>${places}<figcaption>The drawing is of no scale and of one leg: it only shows where. A filled dot broke, an open triangle slipped.</figcaption></figure>`}
${placesTables(findings)}</section>`;
}

/** Claims and other series beside these pulls; nothing where none was entered. */
export function outsideSection({ findings, series }: ReportInput): Markup {
  const { claims, pooled } = findings;
  if (claims.length === 0 && pooled.length === 0) return markup``;
  const { simulated } = series;
  const drawn = pair((id, width) => figureClaims(findings, { id, width, simulated }), "claims");
  const forests = pooled.map((one, at) =>
    one.sources.length === 0
      ? undefined
      : pair((id, width) => figureForest(one, { id, width, simulated }), `forest-${at + 1}`),
  );
  return markup`<section aria-labelledby="outside"><h2 id="outside">Beside what others say</h2>
${drawn === undefined ? "" : markup`<figure>${drawn}<figcaption>The ring is the published figure, the square the mean of these pulls with its 95 % interval, both brought to one basis.</figcaption></figure>`}
${forests.map((forest) => (forest === undefined ? "" : markup`<figure>${forest}<figcaption>Each square is one series, larger where it counts more, with its 95 % interval. The lozenge is what they come to; the thin line says where the mean of the next bench would lie.</figcaption></figure>`))}
${pooled.map((one) =>
  table({
    caption: `Series set together: ${one.about}`,
    head: [
      heading("Series"),
      heading("n", true),
      heading("Mean leg efficiency", true),
      heading("Weight", true),
      heading("Source"),
    ],
    rows: one.sources.map(
      ({ name, n, mean, weight, source }) =>
        markup`<tr><th scope="row">${name}</th><td class="num">${n}</td><td class="num">${rounded(mean.value)}<small>${rounded(mean.interval[0])} to ${rounded(mean.interval[1])}</small></td><td class="num">${weight === undefined ? "none" : rounded(weight)}</td><td>${source}</td></tr>`,
    ),
  }),
)}</section>`;
}

/** Drawn once for wide pages and once for narrow ones. */
function pair(draw: (id: string, width: number) => string | undefined, id: string): Markup | undefined {
  const [wide, narrow] = [draw(`${id}-wide`, 860), draw(`${id}-narrow`, 350)];
  if (wide === undefined || narrow === undefined) return undefined;
  return markup`<div class="wide">${new Markup(wide)}</div><div class="narrow">${new Markup(narrow)}</div>`;
}

function effectsTable({ mattered }: ReportInput["findings"]): Markup {
  const rows = mattered.effects.flatMap(({ factor, effect }) =>
    effect.ok
      ? effect.value.pairs.map(
          ({ from, to, relative, difference, wouldSee }) =>
            markup`<tr><th scope="row">${factor}<small>${to} against ${from}</small></th><td class="num">${effect.value.n}</td><td class="num">${rounded(relative.value)}<small>${rounded(relative.interval[0])} to ${rounded(relative.interval[1])}</small></td><td class="num">${effect.value.by === "strength" ? `${(difference.value / 1000).toFixed(1)} kN` : "not compared in kN"}</td><td class="num">${rounded(wouldSee)}</td></tr>`,
        )
      : [],
  );
  if (rows.length === 0) return markup``;
  return table({
    caption: "Each two levels of a factor",
    head: [
      heading("Factor"),
      heading("n", true),
      heading("Stronger, 95 % interval", true),
      heading("In force", true),
      heading("Would have been seen", true),
    ],
    rows,
  });
}

function placesTables({ mattered }: ReportInput["findings"]): Markup[] {
  return mattered.failurePlaces.map(({ factor, places, rows }) =>
    table({
      caption: factor === "" ? "Where it failed" : `Where it failed, by ${factor}`,
      head: [
        heading(factor === "" ? "Pulls" : factor),
        heading("n", true),
        ...places.map((place) => heading(place, true)),
      ],
      rows: rows.map(
        ({ label, n, counts }) =>
          markup`<tr><th scope="row">${label}</th><td class="num">${n}</td>${counts.map(({ count, share }) => markup`<td class="num">${count}<small>${Math.round(100 * share.interval[0])} to ${Math.round(100 * share.interval[1])} %</small></td>`)}</tr>`,
      ),
    }),
  );
}

function rounded(fraction: number): string {
  return `${(100 * fraction).toFixed(1)} %`;
}
