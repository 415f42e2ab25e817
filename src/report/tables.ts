import type { CellFindings } from "../findings/mod.ts";
import type { Result } from "../problem/mod.ts";
import type { ReportToCheck } from "./completeness.ts";
import { pullRows } from "./csv.ts";
import { unfitText } from "./markup.ts";

/** One table of a report as values: numbers unrounded, texts as they were written, nothing where nothing is known. */
export type ReportTable = {
  /** At most 31 characters, none of those that a spreadsheet refuses. */
  readonly name: string;
  /** The headings first, with their units. */
  readonly rows: readonly (readonly (string | number | undefined)[])[];
};

/**
 * The tables of a report for a spreadsheet: what it is, every pull, every cell, ropes, recipes, benches, recordings.
 *
 * Forces in newtons, efficiencies as fractions. A text longer than a spreadsheet's cell holds (32,767 characters) is cut and says
 * so; a character that its format cannot hold becomes U+FFFD. Texts are texts: whoever writes the file must type them as such.
 * Source: ECMA-376 (Office Open XML); the limits from memory.
 *
 * @example
 * reportTables(input).map(({ name }) => name) // ["About", "Pulls", "Cells", "Ropes", "Recipes", "Benches", "Recordings"]
 */
export function reportTables(input: ReportToCheck): readonly ReportTable[] {
  return [
    { name: "About", rows: aboutRows(input) },
    { name: "Pulls", rows: pullRows(input) },
    { name: "Cells", rows: cellRows(input) },
    { name: "Ropes", rows: ropeRows(input) },
    { name: "Recipes", rows: recipeRows(input) },
    { name: "Benches", rows: benchRows(input) },
    {
      name: "Recordings",
      rows: [
        ["file", "bytes", "sha256"],
        ...input.recordings.map(({ fileName, sizeBytes, sha256 }) => [fileName, sizeBytes, sha256]),
      ],
    },
  ].map(({ name, rows }) => ({ name, rows: rows.map((row) => row.map(fitting)) }));
}

type Row = readonly (string | number | undefined)[];

function aboutRows({ series, findings, revision, program }: ReportToCheck): Row[] {
  return [
    ["what", "says"],
    ["title", series.title],
    ["series", series.id],
    ["revision", revision === undefined ? "not published" : revision.number],
    ["published", revision?.publishedAt],
    ["simulated", series.simulated ? "yes: no rope was pulled" : "no"],
    ["tester", series.tester],
    ["to be reached", series.contact],
    ["pulled at", series.testedAt],
    ["for", series.customer],
    ["who answers for it", series.authorisedBy],
    ["question", series.question],
    ["method", series.method],
    ["conditions", series.conditions],
    ["done otherwise", series.deviations],
    ["conclusions", series.conclusions],
    ["sources", series.sources],
    ["notes", series.notes],
    ["strengths stated by", findings.statedBy.name],
    [
      "caution",
      "A result from a bench is no certificate. It says what these specimens bore, once, on that bench.",
    ],
    ["forces", "newtons; 1 kN = 224.809 lbf"],
    ["made by", `${program.name} ${program.version}`],
  ];
}

function cellRows({ findings, series }: ReportToCheck): Row[] {
  const of = (result: Result<number>) => (result.ok ? result.value : undefined);
  const end = ({ meanIntervalN }: CellFindings, at: 0 | 1) =>
    meanIntervalN.ok ? meanIntervalN.value[at] : undefined;
  return [
    [
      "cell",
      ...series.factors.map(({ name, unit }) => (unit === "" ? name : `${name} (${unit})`)),
      "n",
      "broke",
      "slipped",
      "stopped",
      "void",
      "mean_n",
      "mean_low_95_n",
      "mean_high_95_n",
      "sd_n",
      "cv_fraction",
      "lowest_n",
      "mean_minus_3_sd_n",
      "bound_n",
      "bound_method",
      "bound_content_fraction",
      "bound_confidence_fraction",
      "bound_pulls",
      "mean_line_efficiency_fraction",
      "mean_leg_efficiency_fraction",
    ],
    ...findings.cells.map((cell) => [
      cell.label,
      ...series.factors.map(({ name }) => cell.levels[name]),
      cell.n,
      cell.outcomes.broke,
      cell.outcomes.slipped,
      cell.outcomes.stopped,
      cell.outcomes.void,
      of(cell.meanN),
      end(cell, 0),
      end(cell, 1),
      of(cell.sdN),
      of(cell.cv),
      of(cell.lowestN),
      of(cell.meanMinus3SdN),
      ...boundOf(cell),
      of(cell.meanLineEfficiency),
      of(cell.meanLegEfficiency),
    ]),
  ];
}

/** A bound with its method, share, confidence and n, or with why it is not given. */
function boundOf({ bound }: CellFindings): Row {
  if (!bound.ok)
    return [
      undefined,
      bound.problems.map(({ message }) => message).join(" "),
      undefined,
      undefined,
      undefined,
    ];
  const { boundN, method, content, confidence, n } = bound.value;
  return [boundN, method, content, confidence, n];
}

function ropeRows({ ropes }: ReportToCheck): Row[] {
  return [
    [
      "rope",
      "construction",
      "fibre",
      "coating",
      "nominal_diameter_mm",
      "mass_g_per_m",
      "rated_strength_n",
      "basis",
      "ends",
      "source",
      "notes",
    ],
    ...ropes.map((rope) => [
      rope.name,
      rope.construction,
      rope.fibre,
      rope.coating,
      rope.nominalDiameterMm,
      rope.massPerLengthGPerM,
      rope.ratedStrengthN,
      rope.ratedStrengthBasis,
      rope.ratedStrengthEnds,
      rope.ratedStrengthSource,
      rope.notes,
    ]),
  ];
}

function recipeRows({ recipes }: ReportToCheck): Row[] {
  return [
    ["recipe", "kind", "bury_full_d", "bury_taper_d", "lock_stitch", "legs", "wraps", "notes"],
    ...recipes.map((recipe) => [
      recipe.name,
      recipe.kind,
      recipe.buryFullDiameters,
      recipe.buryTaperDiameters,
      recipe.lockStitch,
      recipe.legs,
      recipe.wraps,
      recipe.notes,
    ]),
  ];
}

function benchRows({ benches }: ReportToCheck): Row[] {
  return [
    [
      "bench",
      "drive",
      "load_cell",
      "capacity_n",
      "resolution_n",
      "calibrated_on",
      "accuracy_class",
      "calibration_note",
      "cell_placement",
      "mechanical_advantage",
      "near_hardware",
      "near_diameter_mm",
      "far_hardware",
      "far_diameter_mm",
      "notes",
    ],
    ...benches.map(({ loadCell, near, far, ...bench }) => [
      bench.name,
      bench.drive,
      loadCell?.name,
      loadCell?.capacityN,
      loadCell?.resolutionN,
      loadCell?.calibratedOn,
      loadCell?.accuracyClass,
      loadCell?.calibrationNote,
      bench.cellPlacement,
      bench.mechanicalAdvantage,
      near?.name,
      near?.diameterMm,
      far?.name,
      far?.diameterMm,
      bench.notes,
    ]),
  ];
}

const longestText = 32_767;
const cutMark = " … (cut here: a spreadsheet’s cell holds no more)";

function fitting(value: string | number | undefined): string | number | undefined {
  if (typeof value === "number") return Number.isFinite(value) ? value : undefined;
  if (value === undefined || value === "") return undefined;
  const text = unfitText(value);
  return text.length <= longestText ? text : `${text.slice(0, longestText - cutMark.length)}${cutMark}`;
}
