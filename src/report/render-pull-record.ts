import { forceText, type JudgedPull, pullName, singlePullUncertainty } from "../findings/mod.ts";
import type { SeriesFields, SpecimenFields } from "../series/mod.ts";
import type { RecipeFields, RopeFields } from "../splice/mod.ts";
import type { PullReading, TraceWindow } from "../trace/mod.ts";
import { figureTrace, thinWindow } from "./figures/figure-trace.ts";
import { traceMarks } from "./figures/marks-of-reading.ts";
import { forcesShownStyle, unitChoice } from "./forces-shown.ts";
import { Markup, markup } from "./markup.ts";
import { cares, computed, dayText, facts, heading, outcomeWord, ownWords, table } from "./page-parts.ts";
import { benchFacts, recipeFacts, ropeFacts } from "./sections/method.ts";
import { sharedForces } from "./shared-digits.ts";
import { style } from "./style.ts";
import type { PullDetails, ReportInput } from "./types.ts";

/** All that the record of one pull shows. */
export type PullRecord = {
  readonly series: SeriesFields & { readonly id: string };
  readonly pull: JudgedPull;
  readonly details: PullDetails;
  readonly specimen?: SpecimenFields;
  readonly rope?: RopeFields;
  readonly recipe?: RecipeFields;
  readonly bench?: ReportInput["benches"][number];
  readonly reading?: PullReading;
  readonly trace?: TraceWindow;
  readonly recording?: ReportInput["recordings"][number];
  readonly program: ReportInput["program"];
};

/**
 * One pull as a plain page to print: what it was, what happened, its curve, what was read with its uncertainty. It is no
 * certificate and says so first: it speaks of that one specimen, which is no longer there.
 *
 * Like a report it runs no script and asks for nothing; every text of the user's is escaped. The same input gives the same bytes.
 *
 * @example
 * renderPullRecord(record).includes("certifies nothing") // true
 */
export function renderPullRecord(record: PullRecord): string {
  const { series, pull, details, program } = record;
  const name = pullName(pull);
  const page = markup`<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">
<meta name="referrer" content="no-referrer">
<title>Record of pull ${name}${series.simulated ? " (simulated)" : ""}</title>
<style>${new Markup(`${style}${forcesShownStyle}`)}</style>
</head>
<body>
<header>
<p class="kicker">Record of one pull</p>
<h1>${name}</h1>
<p class="meta">Of the series “${series.title}”.${details.pulledAt === undefined ? "" : ` Pulled on ${dayText(details.pulledAt)}.`}${details.operator === undefined ? "" : ` By ${details.operator}.`}</p>
${series.simulated ? markup`<p class="simulated">Simulated. <span>No rope was pulled.</span></p>` : ""}
<p class="simulated">This record certifies nothing beyond that specimen. <span>It says what one specimen bore once, and that specimen is used up. It says nothing for certain of the next piece, and is no certificate of a rope, a splice or a maker. Where a life depends on it, use certified equipment, local codes and licensed practice.</span></p>
${unitChoice()}</header>
<main>
${whatHappened(record)}
${curve(record)}
${uncertainty(record)}
${asMade(record)}
${markup`<section aria-labelledby="how"><h2 id="how">How it was done</h2>${record.rope === undefined ? "" : ropeFacts(record.rope)}${record.recipe === undefined ? "" : recipeFacts(record.recipe)}${record.bench === undefined ? markup`<p>Nobody said on which bench.</p>` : benchFacts(record.bench, record.rope === undefined ? [] : [record.rope])}</section>`}
</main>
<footer><p>Pull <code>${pull.pullId}</code> of series <code>${series.id}</code>. Made by ${program.name} ${program.version}; it fetches nothing and runs no script.</p></footer>
</body>
</html>
`;
  return `<!doctype html>\n${page.text}`;
}

function whatHappened({ series, pull, details, reading, recording }: PullRecord): Markup {
  const { outcome, strengthN, strengthExpandedN: expandedN } = pull;
  const place = outcome?.kind === "broke" || outcome?.kind === "slipped" ? outcome.place : "";
  const reason = outcome?.kind === "stopped" || outcome?.kind === "void" ? outcome.reason : "";
  const force = (forceN: number | undefined, uncertaintyN = singlePullUncertainty(forceN ?? 0)) =>
    forceN === undefined ? "" : computed(forceText(forceN, uncertaintyN));
  const hold = reading?.deep?.hold;
  const strength =
    strengthN === undefined
      ? markup`not read`
      : markup`${pull.use === "lower bound" ? "at least " : ""}${force(strengthN, expandedN === undefined ? undefined : expandedN / 2)}${expandedN === undefined ? "" : markup`, expanded uncertainty (k = 2) ${force(expandedN, expandedN / 2)}`}${pull.strengthSource === "typed" ? ", read off a display" : ""}`;
  return markup`<section aria-labelledby="happened"><h2 id="happened">What happened</h2>${facts([
    [
      "How it ended",
      markup`${outcomeWord(outcome?.kind)}${place === "" ? "" : `, ${place}`}${reason === "" ? "" : `, ${reason}`}`,
    ],
    ["Greatest force, rest taken off", strength],
    ["First slip", force(pull.firstSlipN)],
    ["Line efficiency", percent(pull.lineEfficiency, "of the rated strength")],
    ["Leg efficiency", percent(pull.legEfficiency, "of legs × rated strength")],
    [
      "Loading rate",
      pull.loadingRateNPerS === undefined ? "" : `${(pull.loadingRateNPerS / 1000).toPrecision(2)} kN/s`,
    ],
    ["Hold", hold === undefined ? "" : force(hold.startN)],
    ["Counts in the series as", `${pull.use}${pull.whyLeftOut === undefined ? "" : `: ${pull.whyLeftOut}`}`],
    [
      "Varied in the series",
      series.factors
        .map(
          ({ name, unit }) => `${name} ${pull.levels[name] ?? "not given"}${unit === "" ? "" : ` ${unit}`}`,
        )
        .join(", "),
    ],
    [
      "Recording",
      recording === undefined
        ? ""
        : markup`${recording.fileName}${details.recordingPull === undefined ? "" : `, pull ${details.recordingPull} in it`}; SHA-256 <code>${recording.sha256}</code>`,
    ],
  ])}${cares(pull.warnings)}${ownWords("The tester’s notes", details.notes ?? "")}</section>`;
}

function percent(fraction: number | undefined, of: string): string {
  return fraction === undefined ? "" : `${(fraction * 100).toPrecision(3)} % ${of}`;
}

function curve({ series, pull, trace, reading }: PullRecord): Markup {
  if (trace === undefined) return markup``;
  const svg = figureTrace(thinWindow(trace, 600), {
    id: "trace",
    title: `Force over time, ${pullName(pull)}`,
    width: 860,
    height: 320,
    simulated: series.simulated,
    ...traceMarks(reading),
  });
  return markup`<section aria-labelledby="curve"><h2 id="curve">The curve</h2><figure>${new Markup(svg)}<figcaption>As recorded: the load cell’s reading at rest is still in it. The ring marks the peak, the bar through it its expanded uncertainty.</figcaption></figure></section>`;
}

/** The parts of the peak's uncertainty, as the reading gives them. */
function uncertainty({ reading }: PullRecord): Markup {
  const peak = reading?.deep?.peak;
  if (peak === undefined) return markup``;
  const force = sharedForces([
    [...peak.parts.map(({ standardN }) => standardN), peak.standardN].map((value) => ({
      value,
      uncertainty: value / 5,
      tell: value / 20,
    })),
  ]);
  const row = (name: string, standardN: number, basis: string) => {
    const { kN, lbf } = force(standardN);
    return markup`<tr><th scope="row">${name}</th><td class="num"><span class="kn">${kN}</span><small class="lbf">${lbf} lbf</small></td><td>${basis}</td></tr>`;
  };
  return markup`<section aria-labelledby="sure"><h2 id="sure">How sure the peak is</h2>${table({
    caption: "Standard uncertainty of the peak, part by part",
    head: [
      heading("Part"),
      heading(markup`Standard uncertainty, <span class="kn">kN</span><span class="in-lbf">lbf</span>`, true),
      heading("Rests on"),
    ],
    rows: [
      ...peak.parts.map(({ name, standardN, basis }) => row(name, standardN, basis)),
      row(
        "together",
        peak.standardN,
        "root of the sum of squares; the expanded uncertainty is twice that (k = 2)",
      ),
    ],
  })}<p class="note">It holds how well this pull was read. How the next specimen would do is another question, and one pull cannot answer it.</p></section>`;
}

function asMade({ specimen, pull }: PullRecord): Markup {
  if (specimen === undefined) return markup``;
  const mm = (value: number | undefined) => (value === undefined ? "" : `${value} mm`);
  const bury = (full: number | undefined, taper: number | undefined) =>
    full === undefined ? "" : `${full} mm full${taper === undefined ? "" : `, ${taper} mm taper`}`;
  return markup`<section aria-labelledby="made"><h2 id="made">The specimen as made</h2>${facts([
    ["Maker", specimen.maker],
    ["Made on", specimen.madeOn === undefined ? "" : dayText(specimen.madeOn)],
    ["Spool", pull.spoolName ?? ""],
    ["Cut", mm(specimen.cutLengthMm)],
    ["Finished", mm(specimen.finishedLengthMm)],
    ["Bury", bury(specimen.buryFullMm, specimen.buryTaperMm)],
    ["Second bury", bury(specimen.secondBuryFullMm, specimen.secondBuryTaperMm)],
    ["Made again", specimen.redo],
    ["Otherwise than the recipe", (pull.outOfRecipe ?? []).join("; ")],
  ])}${ownWords("The tester on this specimen", specimen.notes)}</section>`;
}
