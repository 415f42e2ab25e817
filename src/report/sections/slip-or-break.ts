import {
  buryBoundText,
  buryText,
  chanceText,
  levelText,
  pullName,
  type SeriesSlipOrBreak,
} from "../../findings/mod.ts";
import { type Markup, markup } from "../markup.ts";
import { folded, heading, outcomeWord, table, terms } from "../page-parts.ts";
import { sharedDecimals, sharedPercents, toDecimals } from "../shared-digits.ts";
import type { ReportInput } from "../types.ts";
import { answers } from "./answer.ts";
import { figureOf } from "./figure-of.ts";

/** Whether the bury is long enough: the sentences first, then the figure, then its numbers. */
export function slipOrBreakSection(input: ReportInput): Markup {
  const { slipOrBreak: found, findings } = input;
  if (found === undefined) return markup``;
  const names = new Map(findings.pulls.map((pull) => [pull.pullId, pullName(pull)]));
  return markup`<section aria-labelledby="slip-or-break"><h2 id="slip-or-break">Slip or break</h2>
${answers(found.findings, names)}
${figureOf(input, {
  kind: "slip-or-break",
  id: "slip-or-break",
  caption: `Above, each mark is one pull at its full bury: a filled dot broke, an open triangle slipped, an arrow was borne without an end. Where the climbing line of the slip strength passes the level line of the break strength, as many slip as break.${found.answer.curve.length === 0 ? "" : " Below, the chance of slipping first; each edge of its band is a bound. The bury to state is where the upper edge falls to the chance asked for, drawn dashed."}`,
})}
${lengthsTable(found)}
${levelsTable(found)}
${folded("The numbers of the figure, line by line and mark by mark", [curveTable(found), pointsTable(found)])}</section>`;
}

function lengthsTable({ answer }: SeriesSlipOrBreak): Markup {
  const { lengths, length, confidence } = answer;
  if (answer.given === "counts") return markup``;
  const all = lengths.some(({ chance }) => chance === length.chance) ? lengths : [length, ...lengths];
  const basis = `${chanceText(confidence)} confidence, likelihood refitted, n\u00a0=\u00a0${answer.n}`;
  return markup`${table({
    caption: "The full bury at which slipping first has a chance",
    head: [
      heading("Chance of slipping first"),
      heading("Estimate", true),
      heading(`Not longer than, ${chanceText(confidence)} confidence`, true),
    ],
    rows: all.map(
      (one) =>
        markup`<tr><th scope="row">${chanceText(one.chance)}</th><td class="num">${buryText(one)}</td><td class="num bound">${buryBoundText(one)}<small>${basis}</small></td></tr>`,
    ),
  })}${terms([
    [
      "Full bury",
      "The length that is buried at full thickness, without the taper, in diameters d of the rope.",
    ],
    ["Estimate", "The bury that fits these pulls best: as likely too short as too long."],
    [
      "Not longer than",
      "The bound to go by: made anew from other pulls many times, it would reach the true length as often as the confidence says.",
    ],
  ])}`;
}

function levelsTable({ byLevel, answer }: SeriesSlipOrBreak): Markup {
  if (byLevel.length === 0) return markup``;
  return table({
    caption: `The full bury at which ${chanceText(answer.length.chance)} slip first, by what else was varied; the others at the mean of their pulls`,
    head: [
      heading("Level"),
      heading("n", true),
      heading("Estimate", true),
      heading(`Not longer than, ${chanceText(answer.confidence)} confidence`, true),
    ],
    rows: byLevel.map(
      (one) =>
        markup`<tr><th scope="row">${levelText(one)}</th><td class="num">${one.pulls.length}</td><td class="num">${buryText(one)}</td><td class="num bound">${buryBoundText(one)}</td></tr>`,
    ),
  });
}

/** Every fourth place of the curve: enough to draw it again. */
function curveTable({ answer, points }: SeriesSlipOrBreak): Markup {
  const strongest = Math.max(...points.map(({ strength }) => strength));
  const places = answer.curve.filter((_, i) => i % 4 === 0);
  if (places.length === 0) return markup``;
  const percent = sharedPercents([
    places.map(({ slipStrength }) => ({ value: slipStrength, uncertainty: slipStrength / 100 })),
  ]);
  return table({
    caption: "The lines of the figure",
    head: [
      heading("Full bury", true),
      heading("Median slip strength", true),
      heading("Slips first", true),
      heading(`Bounds of that, each ${chanceText(answer.confidence)}`, true),
    ],
    rows: places.map(
      ({ buryDiameters, slipStrength, probability, lower, upper }) =>
        markup`<tr><td class="num">${buryDiameters.toFixed(1)} d</td><td class="num">${slipStrength > strongest ? "above all pulls" : percent(slipStrength)}</td><td class="num">${chance(probability)}</td><td class="num">${chance(lower)} to ${chance(upper)}</td></tr>`,
    ),
  });
}

function pointsTable({ points }: SeriesSlipOrBreak): Markup {
  // A bury is measured to a few millimetres: some tenths of a diameter.
  const decimals = sharedDecimals([
    points.map(({ buryDiameters }) => ({ value: buryDiameters, uncertainty: 0.3 })),
  ]);
  const percent = sharedPercents([
    points.map(({ strength }) => ({ value: strength, uncertainty: strength / 100 })),
  ]);
  return table({
    caption: "The marks of the figure",
    head: [
      heading("Pull"),
      heading("Full bury", true),
      heading("Strength, of legs × rated", true),
      heading("How it ended"),
    ],
    rows: points
      .toSorted((a, b) => a.buryDiameters - b.buryDiameters)
      .map(
        ({ name, buryDiameters, buryFrom, strength, outcome }) =>
          markup`<tr><th scope="row">${name}</th><td class="num">${toDecimals(buryDiameters, decimals)} d${buryFrom === "plan" ? markup`<small>as planned</small>` : ""}</td><td class="num">${percent(strength)}</td><td>${outcomeWord(outcome)}</td></tr>`,
      ),
  });
}

/** A chance to a tenth of a per cent; nearer to never or always than that, it says so instead of looking like either. */
function chance(fraction: number): string {
  if (fraction < 0.0005) return "below 0.1 %";
  if (fraction > 0.9995) return "above 99.9 %";
  return `${(100 * fraction).toFixed(1)} %`;
}
