import type { ReportInput } from "./types.ts";

/** How a report stands to one thing that a standard asks of a test report. */
export type RequiredStatement = {
  readonly standard: "ISO/IEC 17025:2017" | "ISO 2307";
  /** The clause, or "from memory" where its number or words could not be looked up. */
  readonly clause: string;
  /** What is asked, in plain words. */
  readonly asks: string;
  readonly state: "covered" | "partly" | "missing";
  /** What covers it, or what is missing. */
  readonly says: string;
  /** Where it is entered. */
  readonly enter?: "Tell" | "Ask" | "Splice" | "Pull" | "Bench book" | "publish";
};

/** What the list looks at: everything of a report but its drawings. */
export type ReportToCheck = Omit<ReportInput, "traces" | "pictures" | "slipOrBreak">;

/**
 * What a test report must state by ISO/IEC 17025 and ISO 2307, each thing covered, partly covered or missing.
 *
 * It tells whether something is said, not whether it is true, and makes no report one of an accredited laboratory. A report of
 * splices is not a test of rope by ISO 2307: what that standard asks is listed since readers know to look for it.
 * Sources: ISO/IEC 17025:2017, 7.8.2.1 a) to p), looked up; 7.8.3.1, from memory. ISO 2307:2010, clauses 5.1, 9.5 and 9.7,
 * looked up (2019 supersedes it); its clause on the test report from memory.
 *
 * @example
 * completeness(input).filter(({ state }) => state === "missing").map(({ says }) => says)
 */
export function completeness(input: ReportToCheck): readonly RequiredStatement[] {
  return [...commonToReports(input), ...ofTestReports(input), ...ofRopeTests(input)];
}

type Says = Pick<RequiredStatement, "state" | "says" | "enter">;

function commonToReports(input: ReportToCheck): RequiredStatement[] {
  const { series, findings, revision, recordings } = input;
  const details = Object.values(input.pullDetails ?? {});
  const dated = details.filter(({ pulledAt }) => pulledAt !== undefined).length;
  const { length } = findings.pulls;
  const labelled = findings.pulls.filter(({ specimenLabel }) => specimenLabel !== undefined).length;
  const clause = (letter: string, asks: string, says: Says): RequiredStatement => ({
    standard: "ISO/IEC 17025:2017",
    clause: `7.8.2.1 ${letter})`,
    asks,
    ...says,
  });
  return [
    clause("a", "a title", covered("the series’ title")),
    clause(
      "b",
      "name and address of who tested",
      both(series.tester, series.contact, "the tester and how to reach them", {
        first: "the tester’s name",
        second: "an address, or another way to be reached",
        enter: "Tell",
      }),
    ),
    clause("c", "where it was tested", word(series.testedAt, "the place where it was pulled", "Tell")),
    clause(
      "d",
      "that each page is known as part of one report, and where the report ends",
      revision === undefined
        ? partly("the series’ id; the number comes with publishing", "publish")
        : covered("number, date and series in the foot, at the end"),
    ),
    clause(
      "e",
      "for whom it was tested",
      word(series.customer, "for whom it was pulled; write “nobody but the tester” where so", "Tell"),
    ),
    clause("f", "the method", word(series.method, "the method in the tester’s words", "Ask")),
    clause(
      "g",
      "each item described and named without doubt, with its condition",
      share(labelled, length, "pulls name their specimen", "Pull"),
    ),
    clause(
      "h",
      "when the items were received, where that matters",
      covered("the day on which each pull was made; specimens are made by the tester"),
    ),
    clause("i", "when it was tested", share(dated, length, "pulls have their day", "Pull")),
    clause(
      "j",
      "when the report was issued",
      revision === undefined
        ? missing("publishing gives the date", "publish")
        : covered(revision.publishedAt),
    ),
    clause(
      "k",
      "the plan of sampling, where it bears on the results",
      series.factors.length === 0 && series.pullsPerCell === 0
        ? missing("what is varied and how many of each", "Ask")
        : covered("what is varied and how many of each, and which spool each specimen came from"),
    ),
    clause("l", "that the results are of the tested items only", covered("the cautions of each report")),
    clause(
      "m",
      "the results with their units",
      length === 0 ? missing("a pull", "Pull") : covered("the table of every pull, in kN and lbf"),
    ),
    clause(
      "n",
      "what was added to the method, left out of it or done otherwise",
      word(series.deviations, "what was done otherwise; write “nothing” where so", "Tell"),
    ),
    clause("o", "who answers for the report", word(series.authorisedBy, "who answers for it", "Tell")),
    clause(
      "p",
      "which results come from others",
      covered(
        findings.claims.length + findings.pooled.length === 0
          ? "all are the tester’s own"
          : "claims and pooled series stand apart, with their sources",
      ),
    ),
    {
      standard: "ISO/IEC 17025:2017",
      clause: "7.8.2.1 and 7.5, from memory",
      asks: "records from which the results can be traced",
      ...(recordings.length === 0
        ? missing("a recording; only displays were read", "Pull")
        : covered("each recording by its SHA-256")),
    },
  ];
}

function ofTestReports({ series, findings }: ReportToCheck): RequiredStatement[] {
  const clause = "7.8.3.1, from memory";
  const standard = "ISO/IEC 17025:2017" as const;
  const { pulls } = findings;
  const sure = pulls.filter(({ strengthExpandedN }) => strengthExpandedN !== undefined).length;
  return [
    {
      standard,
      clause,
      asks: "the conditions of the test, such as those of the room",
      ...word(series.conditions, "temperature, humidity, wet or dry", "Tell"),
    },
    {
      standard,
      clause,
      asks: "the uncertainty of measurement, where it bears on the results",
      ...share(sure, pulls.length, "pulls have an expanded uncertainty", "Bench book"),
    },
    {
      standard,
      clause,
      asks: "opinions and interpretations, marked as such",
      ...covered("the tester’s words are set apart from what is computed"),
    },
  ];
}

function ofRopeTests(input: ReportToCheck): RequiredStatement[] {
  const { ropes, benches, findings, readings = {} } = input;
  const standard = "ISO 2307" as const;
  const memory = "test report, from memory";
  const { pulls } = findings;
  const cells = benches.flatMap(({ loadCell }) => loadCell ?? []);
  const calibrated = cells.filter(({ calibratedOn }) => calibratedOn !== undefined).length;
  const classed = cells.filter(
    ({ accuracyClass }) => accuracyClass !== undefined && accuracyClass <= 1,
  ).length;
  const placed = pulls.filter(({ outcome }) => outcome?.kind === "broke" && outcome.place !== "").length;
  const broke = pulls.filter(({ outcome }) => outcome?.kind === "broke").length;
  const rates = pulls.filter(({ loadingRateNPerS }) => loadingRateNPerS !== undefined).length;
  const pins = benches.filter(
    ({ near, far }) => near?.diameterMm !== undefined && far?.diameterMm !== undefined,
  ).length;
  const read = pulls.filter(({ pullId }) => readings[pullId]?.deep !== undefined).length;
  return [
    {
      standard,
      clause: memory,
      asks: "the rope: kind, material, size",
      ...(ropes.length === 0
        ? missing("the rope of the specimens", "Splice")
        : covered("construction, fibre and nominal diameter")),
    },
    {
      standard,
      clause: memory,
      asks: "the rope’s linear density",
      ...share(
        ropes.filter(({ massPerLengthGPerM }) => massPerLengthGPerM !== undefined).length,
        ropes.length,
        "ropes have their mass per length",
        "Bench book",
      ),
    },
    {
      standard,
      clause: "5.1 (2010)",
      asks: "a machine that measures force to ±1 %",
      ...share(classed, benches.length, "benches have a load cell of class 1 or better", "Bench book"),
    },
    {
      standard,
      clause: memory,
      asks: "the machine and its calibration",
      ...share(
        calibrated,
        benches.length,
        "benches have a load cell with its date of calibration",
        "Bench book",
      ),
    },
    {
      standard,
      clause: "5.1 (2010)",
      asks: "pins of at least twice the rope’s diameter: their size",
      ...share(pins, benches.length, "benches have the diameters of both pins", "Bench book"),
    },
    {
      standard,
      clause: "9.5 (2010)",
      asks: "bedding in: three cycles to half the minimum breaking force",
      ...share(read, pulls.length, "pulls tell their bedding cycles from the recording", "Pull"),
    },
    {
      standard,
      clause: "9.5 (2010)",
      asks: "the speed of the test",
      ...share(rates, pulls.length, "pulls have their loading rate; speed of travel is not recorded", "Pull"),
    },
    {
      standard,
      clause: "9.7.1 (2010)",
      asks: "the breaking force and the place of each break",
      ...(broke === 0 ? covered("no pull broke") : share(placed, broke, "breaks have their place", "Pull")),
    },
    {
      standard,
      clause: memory,
      asks: "conditioning of the rope before the test",
      ...word(input.series.conditions, "how long the rope lay in which air", "Tell"),
    },
  ];
}

function covered(says: string): Says {
  return { state: "covered", says };
}

function partly(says: string, enter: NonNullable<Says["enter"]>): Says {
  return { state: "partly", says, enter };
}

function missing(says: string, enter: NonNullable<Says["enter"]>): Says {
  return { state: "missing", says, enter };
}

function word(text: string, what: string, enter: NonNullable<Says["enter"]>): Says {
  return text.trim() === "" ? missing(what, enter) : covered(what);
}

function both(
  first: string,
  second: string,
  what: string,
  about: { readonly first: string; readonly second: string; readonly enter: NonNullable<Says["enter"]> },
): Says {
  const has = [first, second].map((text) => text.trim() !== "");
  if (has.every(Boolean)) return covered(what);
  if (has.some(Boolean)) return partly(`not yet: ${has[0] ? about.second : about.first}`, about.enter);
  return missing(what, about.enter);
}

/** So many of all have it. */
function share(some: number, all: number, what: string, enter: NonNullable<Says["enter"]>): Says {
  if (all > 0 && some === all) return covered(`all ${all} ${what}`);
  return some === 0 ? missing(`0 of ${all} ${what}`, enter) : partly(`${some} of ${all} ${what}`, enter);
}
