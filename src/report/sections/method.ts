import { forceFigures, forceText, singlePullUncertainty, toUncertainty } from "../../findings/mod.ts";
import type { RecipeFields, RopeFields } from "../../splice/mod.ts";
import { type Markup, markup } from "../markup.ts";
import { dayText, facts, ownWords } from "../page-parts.ts";
import type { ReportInput } from "../types.ts";
import { pullingSection } from "./pulling.ts";

/** How it was done: the tester's method, the ropes, the recipes, the benches with their calibration. */
export function methodSection(input: ReportInput): Markup {
  const { series, ropes, recipes, benches } = input;
  return markup`<section aria-labelledby="method"><h2 id="method">How it was done</h2>
${ownWords("The tester’s method", series.method)}
${series.factors.length === 0 ? "" : markup`<p>Varied on purpose: ${series.factors.map(({ name, unit, levels }, index) => markup`${index === 0 ? "" : "; "}${name} (${levels.join(", ")}${unit === "" ? "" : ` ${unit}`})`)}.${series.pullsPerCell > 0 ? ` Planned: ${series.pullsPerCell} in each cell.` : ""}</p>`}
${whereAndForWhom(series)}${pullingSection(input)}
${ropes.map(ropeFacts)}${recipes.map(recipeFacts)}${benches.map((bench) => benchFacts(bench, ropes))}
${ownWords("The tester’s notes on the series", series.notes)}</section>`;
}

/** How sure all this is, in words: what the intervals hold and what they do not. */
export function uncertaintySection({ findings, benches, series }: ReportInput): Markup {
  if (findings.pulls.length === 0) return markup``;
  const counted = findings.pulls.filter(({ use }) => use === "counted");
  const typed = findings.pulls.filter(({ strengthSource }) => strengthSource === "typed").length;
  const doubted = findings.pulls.filter(({ warnings }) => warnings.length > 0).length;
  const uncalibrated = benches.filter(({ loadCell }) => loadCell?.calibratedOn === undefined);
  const geared = benches.filter(({ cellPlacement }) => cellPlacement === "on the drive side");
  return markup`<section aria-labelledby="sure"><h2 id="sure">How sure is this?</h2>
<p>The intervals and bounds above hold one kind of doubt only: that specimens differ from one to the next, and that ${counted.length} of them were pulled and no more. They take the strengths in a cell to scatter normally; a handful of pulls can neither show that nor rule it out.</p>
<p>They do not hold what is wrong in the same way in every pull. A load cell that reads 2 % high makes every strength, and every mean and bound, 2 % too high, and no number of pulls brings that to light.${
    uncalibrated.length > 0
      ? ` No date of calibration is recorded for ${uncalibrated.map(({ loadCell, name }) => loadCell?.name ?? `the load cell of ${name}`).join(", ")}: its forces are to be taken as uncertain by several per cent.`
      : ""
  }${
    geared.length > 0
      ? ` On ${geared.map(({ name }) => name).join(", ")} the cell sits on the drive’s side, and the specimen’s force was reckoned from the mechanical advantage; friction takes its share of that, so these forces are more likely too high than too low.`
      : ""
  }</p>
<p>The pulls are a sample of what this maker made from this rope on these days, not of all such splices. Another spool, hand, season or bench can lie outside the intervals without anyone having erred.</p>
${typed > 0 ? markup`<p>${typed === 1 ? "One strength was" : `${typed} strengths were`} read off a display and typed in; there is no recording to check ${typed === 1 ? "it" : "them"} by.</p>` : ""}
${doubted > 0 ? markup`<p>The reading of ${doubted === 1 ? "one recording" : `${doubted} recordings`} left doubts; they are listed under the table of pulls.</p>` : ""}
${series.simulated ? markup`<p>These data were simulated. All of the above describes what would be true had they been pulled.</p>` : ""}</section>`;
}

function whereAndForWhom(series: ReportInput["series"]): Markup {
  const rows = [
    ["Pulled at", series.testedAt],
    ["For", series.customer],
    ["Who answers for it", series.authorisedBy],
    ["To be reached", series.contact],
  ] as const;
  return markup`${rows.every(([, value]) => value === "") ? "" : facts(rows)}${ownWords("The conditions, in the tester’s words", series.conditions)}`;
}

export function ropeFacts(rope: RopeFields): Markup {
  const rated = rope.ratedStrengthN;
  return markup`<h3>Rope: ${rope.name}</h3>${facts([
    [
      "Construction",
      [rope.construction, rope.fibre, rope.coating === "" ? "" : `coating: ${rope.coating}`]
        .filter(Boolean)
        .join(", "),
    ],
    ["Nominal diameter", `${rope.nominalDiameterMm} mm`],
    ["Mass per length", rope.massPerLengthGPerM === undefined ? "" : `${rope.massPerLengthGPerM} g/m`],
    [
      "Rated strength",
      rated === undefined ? "not known, so no efficiency" : forceText(rated, singlePullUncertainty(rated)),
    ],
    ["What the rating says", `basis: ${rope.ratedStrengthBasis}; ends: ${rope.ratedStrengthEnds}`],
    ["Source of the rating", rope.ratedStrengthSource || "not stated"],
  ])}${ownWords("The tester on this rope", rope.notes)}`;
}

export function recipeFacts(recipe: RecipeFields): Markup {
  const bury = [
    recipe.buryFullDiameters === undefined ? "" : `${recipe.buryFullDiameters} d full`,
    recipe.buryTaperDiameters === undefined ? "" : `${recipe.buryTaperDiameters} d taper`,
  ].filter(Boolean);
  return markup`<h3>Recipe: ${recipe.name}</h3>${facts([
    ["Kind", recipe.kind],
    ["Bury", bury.length === 0 ? "" : `${bury.join(" + ")} (d: the rope’s nominal diameter)`],
    ["Lock stitch", recipe.lockStitch],
    ["Legs that share the load", String(recipe.legs)],
    ["Wraps", recipe.wraps === 1 ? "" : String(recipe.wraps)],
  ])}${ownWords("The tester on this recipe", recipe.notes)}`;
}

export function benchFacts(bench: ReportInput["benches"][number], ropes: readonly RopeFields[]): Markup {
  const cell = bench.loadCell;
  const force = (forceN: number | undefined) =>
    forceN === undefined
      ? ""
      : forceN < 1000
        ? `${toUncertainty(forceN, forceN / 20)} N (${forceFigures(forceN, forceN / 20).lbf} lbf)`
        : forceText(forceN, singlePullUncertainty(forceN));
  return markup`<h3>Bench: ${bench.name}</h3>${facts([
    ["Drive", bench.drive],
    ["Load cell", cell === undefined ? "not recorded" : cell.name],
    ["Capacity", force(cell?.capacityN)],
    ["Resolution", force(cell?.resolutionN)],
    ["Calibration", calibration(cell)],
    ["Points of the certificate", certificate(cell)],
    ["How it was applied", applied(cell)],
    [
      "Where the cell sits",
      bench.cellPlacement === "in line with the specimen"
        ? bench.cellPlacement
        : `${bench.cellPlacement}, mechanical advantage ${bench.mechanicalAdvantage}`,
    ],
    ["Near end", hardware(bench.near, ropes)],
    ["Far end", hardware(bench.far, ropes)],
  ])}${ownWords("The tester on this bench", bench.notes)}`;
}

type Cell = ReportInput["benches"][number]["loadCell"];

function calibration(cell: Cell): string {
  if (cell === undefined) return "not recorded";
  const accuracy = cell.accuracyClass === undefined ? "" : `; class ${cell.accuracyClass}`;
  const note = cell.calibrationNote === "" ? "" : `; ${cell.calibrationNote}`;
  const date = cell.calibratedOn === undefined ? "no date recorded" : dayText(cell.calibratedOn);
  return `${date}${accuracy}${note}`;
}

/** A certificate of more points than this is told by its range. */
const mostPoints = 20;

function certificate(cell: Cell): string {
  const points = [...(cell?.calibrationPoints ?? [])].sort((a, b) => a.appliedN - b.appliedN);
  if (points.length === 0) return "";
  // As it was entered: the digits of a certificate are its own.
  const kN = (forceN: number) => String(Number((forceN / 1000).toPrecision(9)));
  const [first, last] = [points[0], points.at(-1)];
  if (points.length > mostPoints)
    return `${points.length} points from ${kN(first?.appliedN ?? 0)} to ${kN(last?.appliedN ?? 0)} kN`;
  return `applied and shown, in kN: ${points.map(({ appliedN, indicatedN }) => `${kN(appliedN)} and ${kN(indicatedN)}`).join("; ")}`;
}

function applied(cell: Cell): string {
  if (cell === undefined) return "";
  return cell.calibrationPoints.length === 0
    ? "No points are recorded: forces stand as the cell showed them."
    : "Each peak is corrected by what the certificate’s points show, when the recording is read; the recording itself stays as it came, and curves, slips and holds are as recorded.";
}

/** A piece of hardware with how sharply the rope bends round it: its diameter over the rope's. */
function hardware(piece: ReportInput["benches"][number]["near"], ropes: readonly RopeFields[]): string {
  if (piece === undefined) return "";
  const diameters = [...new Set(ropes.map(({ nominalDiameterMm }) => nominalDiameterMm))].sort(
    (a, b) => a - b,
  );
  const ratios =
    piece.diameterMm === undefined
      ? []
      : diameters.map(
          (diameter) => `D/d ${((piece.diameterMm ?? 0) / diameter).toFixed(1)} with ${diameter} mm rope`,
        );
  return [
    `${piece.name} (${piece.form})`,
    piece.diameterMm === undefined ? "" : `${piece.diameterMm} mm: ${ratios.join(", ")}`,
  ]
    .filter(Boolean)
    .join(", ");
}
