import { describe, expect, test } from "vitest";
import { type Outcome, seriesFields } from "../series/mod.ts";
import { judgeSeries, type PullToJudge } from "./mod.ts";

const broke: Outcome = { kind: "broke", place: "throat" };
const slipped: Outcome = { kind: "slipped", place: "bury" };

function loop(pullId: string, kN: number, fields: Partial<PullToJudge> = {}): PullToJudge {
  return {
    pullId,
    specimenLabel: pullId,
    levels: {},
    ropeName: "6 mm",
    recipeName: "loop",
    ratedStrengthN: 34_000,
    ratedStrengthBasis: "mean",
    ratedStrengthEnds: "spliced",
    ratedStrengthSource: "catalogue",
    legs: 2,
    maker: "A. Hand",
    spoolName: "1",
    outcome: broke,
    strengthN: kN * 1000,
    strengthSource: "reading",
    warnings: [],
    ...fields,
  };
}

function said(pulls: readonly PullToJudge[], fields: object = {}) {
  const series = { id: "ser-test", ...seriesFields.parse({ title: "Invented for the test", ...fields }) };
  const { findings } = judgeSeries(series, pulls);
  return (id: string) => findings.find((finding) => finding.id === id);
}

const bury = { name: "bury", unit: "d", levels: [60, 30] };
const short = [40, 42, 38].map((kN, i) => loop(`s${i}`, kN, { levels: { bury: 30 }, outcome: slipped }));
const long = [55, 56, 57, 58].map((kN, i) => loop(`l${i}`, kN, { levels: { bury: 60 } }));

describe("the sentences of a bury series", () => {
  const of = said([...short, ...long], { factors: [bury], pullsPerCell: 4 });

  test("count what was pulled", () => {
    expect(of("overview")?.sentence).toBe("7 pulls in 2 cells: 7 count (4 broke, 3 slipped).");
  });

  test("state the strongest with its basis: 56.5 kN of 2 × 34 kN is 83.1 %", () => {
    // Mean 56.5; SD √(5/3) = 1.291; SE 0.645; t(0.975; 3) = 3.182 (printed tables): 54.4 to 58.6 kN. 56.5 kN = 12702 lbf.
    expect(of("strongest")?.sentence).toBe(
      "Strongest on average: bury 60 d, 56.5 kN (12700 lbf), 83.1 % of 2 legs × rated 34.0 kN (mean, spliced; source: catalogue); 95 % confidence interval of the mean 54.4 to 58.6 kN, n = 4.",
    );
    expect(of("strongest")?.pulls).toEqual(["l0", "l1", "l2", "l3"]);
  });

  test("state the weakest: 40 kN, SD 2, SE 1.155, t(0.975; 2) = 4.303: 35.0 to 45.0 kN", () => {
    expect(of("weakest")?.sentence).toContain("Weakest on average: bury 30 d, 40.0 kN");
    expect(of("weakest")?.sentence).toContain("35.0 to 45.0 kN, n = 3");
  });

  test("say that the intervals lie apart, and that the two were picked", () => {
    expect(of("difference")?.sentence).toContain("lie apart");
    expect(of("difference")?.sentence).toContain("picked after the pulls");
  });

  test("say what slipped at which bury, in order, and what none of four still allows", () => {
    // 1 − 0.05^(1/4) = 1 − 0.4729 = 53 %.
    expect(of("slipped")?.sentence).toBe(
      "Ended by slipping: 3 of 3 at bury 30 d and 0 of 4 at bury 60 d. Where none slipped, that is no proof that none will: slips in up to 53 % (bury 60 d) of all such specimens would still agree with these pulls.",
    );
  });

  test("pool the scatter over cells: √((2·0.05² + 3·(1.291/56.5)²)/5) = 3.6 %", () => {
    expect(of("scatter")?.sentence).toContain("scatter by 3.6 % of their mean");
    expect(of("scatter")?.sentence).toContain("from 2.3 % (bury 60 d) to 5.0 % (bury 30 d)");
  });

  test("say how little n can claim: the lowest of 4 with 1 − 0.95⁴ = 19 %", () => {
    expect(of("small-number-4")?.sentence).toContain("the lowest of the 4 with only 19 %");
    expect(of("small-number-3")?.sentence).toContain("the lowest of the 3 with only 14 %");
  });

  test("say what is not shown", () => {
    const sentence = of("not-shown")?.sentence ?? "";
    expect(sentence).toContain("One maker made them all");
    expect(sentence).toContain("All came from one spool");
    expect(sentence).toContain("The plan wanted 4 in each cell; 1 cell has fewer that count.");
    expect(sentence).not.toContain("No pull ended by slipping");
  });
});

test("n = 59 is the first at which the lowest reaches 95 % (published: 1 − 0.95⁵⁹ = 0.9515)", () => {
  const many = (n: number) => Array.from({ length: n }, (_, i) => loop(`p${i}`, 50 + (i % 7)));
  expect(said(many(59))("small-number-59")?.sentence).toContain("the lowest of the 59 with 95.2 %.");
  expect(said(many(58))("small-number-58")?.sentence).toContain("the lowest of the 58 with only 94.9 %.");
});

test("overlapping intervals settle nothing, and it says so", () => {
  const of = said(
    [
      ...[40, 50, 60].map((kN, i) => loop(`a${i}`, kN, { levels: { bury: 30 } })),
      ...[45, 55, 60].map((kN, i) => loop(`b${i}`, kN, { levels: { bury: 60 } })),
    ],
    { factors: [bury] },
  );
  expect(of("difference")?.sentence).toContain("The two intervals overlap");
});

test("ropes of two sizes are compared by leg efficiency: 60 kN of 2 × 60 is weaker than 50 of 2 × 34", () => {
  const size = { name: "diameter", unit: "mm", levels: [6, 8] };
  const of = said(
    [
      ...[49, 50, 51].map((kN, i) => loop(`a${i}`, kN, { levels: { diameter: 6 } })),
      ...[59, 60, 61].map((kN, i) =>
        loop(`b${i}`, kN, { levels: { diameter: 8 }, ropeName: "8 mm", ratedStrengthN: 60_000 }),
      ),
    ],
    { factors: [size] },
  );
  expect(of("strongest")?.sentence).toContain("Strongest for its rope on average: diameter 6 mm");
  expect(of("weakest")?.sentence).toContain("diameter 8 mm");
});

test("without ratings two ropes are compared by force, and the warning says what that does", () => {
  const size = { name: "diameter", unit: "mm", levels: [6, 8] };
  const bare = (pull: PullToJudge): PullToJudge => (({ ratedStrengthN: _, ...rest }) => rest)(pull);
  const of = said(
    [
      bare(loop("a", 50, { levels: { diameter: 6 } })),
      bare(loop("b", 60, { levels: { diameter: 8 }, ropeName: "8 mm" })),
    ],
    { factors: [size] },
  );
  expect(of("strongest")?.sentence).toContain("diameter 8 mm");
  expect(of("strongest")?.warnings.map(({ code }) => code)).toContain("FINDING_NO_RATING");
});

test("no sentence repeats what somebody wrote: neither conclusions nor notes nor reasons", () => {
  const written = "UTTERED BY THE TESTER";
  const series = {
    id: "ser-test",
    ...seriesFields.parse({
      title: written,
      question: written,
      method: written,
      conclusions: written,
      notes: written,
    }),
  };
  const { findings } = judgeSeries(series, [
    ...long,
    loop("v", 10, { outcome: { kind: "void", reason: written } }),
    loop("w", 60, { outcome: { kind: "stopped", reason: written } }),
  ]);
  expect(findings.length).toBeGreaterThan(5);
  expect(JSON.stringify(findings)).not.toContain(written);
});

test("a finding that rests on a doubted reading says so", () => {
  const doubt = { code: "STAT_VALUE", message: "doubt" } as const;
  const of = said([...long.slice(1), loop("l0", 55, { levels: { bury: 60 }, warnings: [doubt] })]);
  expect(of("strength")?.warnings.map(({ message }) => message)).toContain(
    "The reading of 1 pull that this rests on carries doubts: l0.",
  );
});
