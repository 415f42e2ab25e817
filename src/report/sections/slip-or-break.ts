import { buryBoundText, buryText, chanceText, pullName, type SeriesSlipOrBreak } from "../../findings/mod.ts";
import { figureSlipOrBreak } from "../figure-slip-or-break.ts";
import { Markup, markup } from "../markup.ts";
import { heading, outcomeWord, table } from "../page-parts.ts";
import type { ReportInput } from "../types.ts";
import { answers } from "./answer.ts";

/** Whether the bury is long enough: the sentences first, then the figure, then its numbers. */
export function slipOrBreakSection({ slipOrBreak: found, series, findings }: ReportInput): Markup {
  if (found === undefined) return markup``;
  const { simulated } = series;
  const names = new Map(findings.pulls.map((pull) => [pull.pullId, pullName(pull)]));
  const draw = (id: string, width: number) => new Markup(figureSlipOrBreak(found, { id, width, simulated }));
  return markup`<section aria-labelledby="slip-or-break"><h2 id="slip-or-break">Slip or break</h2>
${answers(found.findings, names)}
<figure><div class="wide">${draw("slip-or-break-wide", 860)}</div><div class="narrow">${draw("slip-or-break-narrow", 350)}</div>
<figcaption>${simulated ? markup`<strong>Simulated data.</strong> ` : ""}Above, each mark is one pull at its full bury: a filled dot broke, an open triangle slipped, an arrow was borne without an end. Where the climbing line of the slip strength passes the level line of the break strength, as many slip as break. ${found.answer.curve.length === 0 ? "" : "Below, the chance of slipping first; each edge of its band is a bound. The bury to state is where the upper edge falls to the chance asked for, drawn dashed."}</figcaption></figure>
${lengthsTable(found)}
${curveTable(found)}
${pointsTable(found)}</section>`;
}

function lengthsTable({ answer }: SeriesSlipOrBreak): Markup {
  const { lengths, length, confidence } = answer;
  if (answer.given === "counts") return markup``;
  const all = lengths.some(({ chance }) => chance === length.chance) ? lengths : [length, ...lengths];
  return table({
    caption: "The full bury at which slipping first has a chance",
    head: [
      heading("Chance of slipping first"),
      heading("Estimate", true),
      heading(`Not longer than, ${chanceText(confidence)} confidence`, true),
    ],
    rows: all.map(
      (one) =>
        markup`<tr><th scope="row">${chanceText(one.chance)}</th><td class="num">${buryText(one)}</td><td class="num">${buryBoundText(one)}</td></tr>`,
    ),
  });
}

/** Every fourth place of the curve: enough to draw it again. */
function curveTable({ answer, points }: SeriesSlipOrBreak): Markup {
  const strongest = Math.max(...points.map(({ strength }) => strength));
  const places = answer.curve.filter((_, i) => i % 4 === 0);
  if (places.length === 0) return markup``;
  return table({
    caption: "The lines of the figure",
    head: [
      heading("Full bury", true),
      heading("Median slip strength", true),
      heading("Slips first", true),
      heading("Bounds of that", true),
    ],
    rows: places.map(
      ({ buryDiameters, slipStrength, probability, lower, upper }) =>
        markup`<tr><td class="num">${buryDiameters.toFixed(1)} d</td><td class="num">${slipStrength > strongest ? "above all pulls" : percent(slipStrength)}</td><td class="num">${percent(probability)}</td><td class="num">${percent(lower)} to ${percent(upper)}</td></tr>`,
    ),
  });
}

function pointsTable({ points }: SeriesSlipOrBreak): Markup {
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
          markup`<tr><th scope="row">${name}</th><td class="num">${buryDiameters.toFixed(1)} d${buryFrom === "plan" ? markup`<small>as planned</small>` : ""}</td><td class="num">${percent(strength)}</td><td>${outcomeWord(outcome)}</td></tr>`,
      ),
  });
}

function percent(fraction: number): string {
  return `${(100 * fraction).toFixed(1)} %`;
}
