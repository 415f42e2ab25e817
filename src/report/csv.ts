import type { JudgedPull } from "../findings/mod.ts";
import type { ReportInput } from "./types.ts";

/**
 * The data of a report as CSV: one row a pull, in the order of pulling, with units in the header and every pull in it,
 * also those that do not count. Forces are in newtons as they stand in the book, unrounded; efficiencies are fractions.
 *
 * RFC 4180: commas, CRLF, quotes where they are needed. A text that a spreadsheet would take for a formula (it begins
 * with =, +, -, @, a tab or a line end) gets an apostrophe before it; numbers are left as they are.
 *
 * @example
 * pullsCsv(input).split("\r\n")[0] // "pull,order,specimen,bury (d),rope,…"
 */
export function pullsCsv(input: PullsInput): string {
  return `${pullRows(input)
    .map((row) => row.map(csvCell).join(","))
    .join("\r\n")}\r\n`;
}

type PullsInput = Pick<ReportInput, "series" | "findings" | "pullDetails">;

/** The same as rows of values, the headings first; undefined where nothing is known. */
export function pullRows(input: PullsInput): readonly (readonly (string | number | undefined)[])[] {
  const { series, findings, pullDetails = {} } = input;
  const columns: readonly [string, (pull: JudgedPull) => string | number | undefined][] = [
    ["pull", (pull) => pull.pullId],
    ["order", (pull) => pull.order],
    ["specimen", (pull) => pull.specimenLabel],
    ...series.factors.map(({ name, unit }): [string, (pull: JudgedPull) => string | number | undefined] => [
      unit === "" ? name : `${name} (${unit})`,
      (pull) => pull.levels[name],
    ]),
    ["rope", (pull) => pull.ropeName],
    ["nominal_diameter_mm", (pull) => pull.nominalDiameterMm],
    ["rated_strength_n", (pull) => pull.ratedStrengthN],
    ["rated_strength_basis", (pull) => pull.ratedStrengthBasis],
    ["rated_strength_ends", (pull) => pull.ratedStrengthEnds],
    ["rated_strength_source", (pull) => pull.ratedStrengthSource],
    ["recipe", (pull) => pull.recipeName],
    ["legs", (pull) => pull.legs],
    ["bury_full_mm", (pull) => pull.buryFullMm],
    ["bury_taper_mm", (pull) => pull.buryTaperMm],
    ["out_of_recipe", (pull) => pull.outOfRecipe?.join(" | ")],
    ["maker", (pull) => pull.maker],
    ["spool", (pull) => pull.spoolName],
    ["outcome", (pull) => pull.outcome?.kind],
    [
      "place",
      ({ outcome }) => (outcome?.kind === "broke" || outcome?.kind === "slipped" ? outcome.place : undefined),
    ],
    [
      "reason",
      ({ outcome }) => (outcome?.kind === "stopped" || outcome?.kind === "void" ? outcome.reason : undefined),
    ],
    ["strength_n", (pull) => pull.strengthN],
    ["strength_expanded_uncertainty_n", (pull) => pull.strengthExpandedN],
    ["strength_source", (pull) => pull.strengthSource],
    ["peak_cut_off", ({ peakCutOff }) => (peakCutOff === true ? "yes" : undefined)],
    ["line_efficiency_fraction", (pull) => pull.lineEfficiency],
    ["leg_efficiency_fraction", (pull) => pull.legEfficiency],
    ["loading_rate_n_per_s", (pull) => pull.loadingRateNPerS],
    ["loading_rate_rated_fraction_per_min", (pull) => pull.loadingRateRatedPerMin],
    ["first_slip_n", (pull) => pull.firstSlipN],
    ["settling_fraction_per_decade", (pull) => pull.settlingPerDecade?.value],
    ["settling_fraction_per_decade_low", (pull) => pull.settlingPerDecade?.interval[0]],
    ["settling_fraction_per_decade_high", (pull) => pull.settlingPerDecade?.interval[1]],
    ["recording_says", (pull) => pull.evidence?.likeliest],
    ["recording_says_probability", (pull) => pull.evidence?.probability],
    ["recording_says_because", (pull) => pull.evidence?.reasons.join(" | ")],
    ["use", (pull) => pull.use],
    ["why_left_out", (pull) => pull.whyLeftOut],
    ["warnings", (pull) => pull.warnings.map(({ code, message }) => `${code}: ${message}`).join(" | ")],
    ["pulled_at", (pull) => pullDetails[pull.pullId]?.pulledAt],
    ["bench", (pull) => pullDetails[pull.pullId]?.benchName],
    ["notes", (pull) => pullDetails[pull.pullId]?.notes],
    ["recording_sha256", (pull) => pullDetails[pull.pullId]?.recordingSha256],
    ["recording_pull", (pull) => pullDetails[pull.pullId]?.recordingPull],
    ["simulated", () => (series.simulated ? "yes" : "no")],
  ];
  return [
    columns.map(([heading]) => heading),
    ...findings.pulls.map((pull) => columns.map(([, of]) => of(pull))),
  ];
}

/** One cell: numbers as they are, texts guarded and quoted, nothing for what is not known. */
export function csvCell(value: string | number | undefined): string {
  if (value === undefined) return "";
  if (typeof value === "number") return Number.isFinite(value) ? String(value) : "";
  // A text that looks guarded already gets one more, so that whoever takes one away always has the text itself.
  const guarded = /^'*\s*[=+\-@\t\r\n]/.test(value) ? `'${value}` : value;
  return /[",\r\n;]/.test(guarded) || guarded !== guarded.trim()
    ? `"${guarded.replaceAll('"', '""')}"`
    : guarded;
}

/** The CSV as a data: link, so that the page needs nobody to fetch it from. */
export function csvLink(csv: string): string {
  // A lone surrogate cannot be written as UTF-8 and would make encodeURIComponent throw.
  const wellFormed = csv.replace(/\p{Surrogate}/gu, "\uFFFD");
  // Commas stay, or the data of a figure would be half as long again; what a link or an attribute would read as its own goes.
  const link = encodeURI(wellFormed).replace(/[#&']/g, (one) => `%${one.charCodeAt(0).toString(16)}`);
  return `data:text/csv;charset=utf-8,${link}`;
}
