import { bothForces, forcesHead } from "../forces-shown.ts";
import { type Markup, markup } from "../markup.ts";
import { heading, table, terms } from "../page-parts.ts";
import { type Measured, sharedForces, sharedPercents } from "../shared-digits.ts";
import type { ReportInput } from "../types.ts";
import { figureOf } from "./figure-of.ts";

/** What mattered: the effects, the parts of the scatter, where it failed, each as a figure with its numbers in a table. */
export function matteredSection(input: ReportInput): Markup {
  const { findings } = input;
  const effects = figureOf(input, {
    kind: "effects",
    id: "effects",
    caption:
      "Each level against the first of its factor. The line is the 95 % interval: an effect whose line crosses zero is not shown by these pulls.",
  });
  const parts = figureOf(input, {
    kind: "scatter",
    id: "parts",
    caption:
      "How far ropes, spools, makers and single pulls scatter, each as a standard deviation. An arrow: the interval goes on. Few groups make it wide.",
  });
  const places = figureOf(input, {
    kind: "places",
    id: "places",
    caption: "The drawing is of no scale: it only shows where. A filled dot broke, an open triangle slipped.",
  });
  if (`${effects}${parts}${places}` === "") return markup``;
  return markup`<section aria-labelledby="mattered"><h2 id="mattered">What mattered</h2>
${effects}${effects.text === "" ? "" : effectsTable(findings)}
${parts}
${places}
${placesTables(findings)}</section>`;
}

/** Claims and other series beside these pulls; nothing where none was entered. */
export function outsideSection(input: ReportInput): Markup {
  const { claims, pooled } = input.findings;
  if (claims.length === 0 && pooled.length === 0) return markup``;
  return markup`<section aria-labelledby="outside"><h2 id="outside">Beside what others say</h2>
${figureOf(input, {
  kind: "claims",
  id: "claims",
  caption:
    "The ring is the published figure, the square the mean of these pulls with its 95 % interval, both brought to one basis.",
})}
${pooled.map((_, at) =>
  figureOf(input, {
    kind: "forest",
    number: at + 1,
    id: `forest-${at + 1}`,
    caption:
      "Each square is one series, larger where it counts more, with its 95 % interval. The lozenge is what they come to; the thin line says where the mean of the next bench would lie.",
  }),
)}
${pooled.map(pooledTable)}</section>`;
}

function pooledTable({ about, sources }: ReportInput["findings"]["pooled"][number]): Markup {
  const percent = sharedPercents([
    sources.map(({ mean }) => estimated(mean)),
    sources.map(({ mean }) => ({ ...estimated(mean), value: mean.interval[0] })),
    sources.map(({ mean }) => ({ ...estimated(mean), value: mean.interval[1] })),
  ]);
  return table({
    caption: `Series set together: ${about}`,
    head: [
      heading("Series"),
      heading("n", true),
      heading("Mean leg efficiency, 95 % interval", true),
      heading("Weight", true),
      heading("Source"),
    ],
    rows: sources.map(
      ({ name, n, mean, weight, source }) =>
        markup`<tr><th scope="row">${name}</th><td class="num">${n}</td><td class="num">${percent(mean.value)}<small>${percent(mean.interval[0])} to ${percent(mean.interval[1])}</small></td><td class="num">${weight === undefined ? "none" : `${(100 * weight).toFixed(1)} %`}</td><td>${source}</td></tr>`,
    ),
  });
}

function effectsTable({ mattered }: ReportInput["findings"]): Markup {
  const compared = mattered.effects.flatMap(({ factor, effect }) =>
    effect.ok ? effect.value.pairs.map((pair) => ({ factor, effect: effect.value, pair })) : [],
  );
  if (compared.length === 0) return markup``;
  const percent = sharedPercents([
    compared.map(({ pair }) => estimated(pair.relative)),
    compared.map(({ pair }) => ({ ...estimated(pair.relative), value: pair.relative.interval[0] })),
    compared.map(({ pair }) => ({ ...estimated(pair.relative), value: pair.relative.interval[1] })),
  ]);
  const inForce = compared.filter(({ effect }) => effect.by === "strength");
  const force = sharedForces([inForce.map(({ pair }) => estimated(pair.difference))]);
  return markup`${table({
    caption: "Each two levels of a factor",
    head: [
      heading("Factor"),
      heading("n", true),
      heading("Stronger, 95 % interval", true),
      heading(forcesHead("In force"), true),
      heading("Would have been seen", true),
    ],
    rows: compared.map(({ factor, effect, pair: { from, to, relative, difference, wouldSee } }) => {
      const [low, high] = relative.interval;
      return markup`<tr><th scope="row">${factor}<small>${to} against ${from}</small></th><td class="num">${effect.n}</td><td class="num">${percent(relative.value)}<small>${percent(low)} to ${percent(high)}</small></td><td class="num">${effect.by === "strength" ? bothForces(force(difference.value)) : "not compared"}</td><td class="num">${percent(wouldSee)}</td></tr>`;
    }),
  })}${terms([
    [
      "Stronger",
      "How much more the second level bore than the first, as a share; below zero: less. Its 95 % interval is where the true difference probably lies. Where it holds zero, these pulls do not show that the factor matters.",
    ],
    [
      "Would have been seen",
      "The least difference that so many pulls would have shown four times in five. What is smaller may be there and was not seen.",
    ],
  ])}`;
}

/** A quarter of a 95 % interval is about its standard uncertainty. */
function estimated(found: {
  readonly value: number;
  readonly interval: readonly [number, number];
}): Measured {
  return { value: found.value, uncertainty: (found.interval[1] - found.interval[0]) / 4 };
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
