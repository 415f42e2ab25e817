import { describe, expect, it } from "vitest";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { diameter, reaction } from "../test-data/sleep-penicillin.ts";
import { mixedModel } from "./mixed-model.ts";

const days = reaction.map((_, i) => i % 10);
const subject = reaction.map((_, i) => Math.floor(i / 10));
const plate = diameter.map((_, i) => Math.floor(i / 6));
const sample = diameter.map((_, i) => "ABCDEF"[i % 6] as string);
const sleep = { response: reaction, fixed: { days }, group: subject, slopes: ["days"] };

describe("mixedModel with slopes that differ", () => {
  it("as published: sleepstudy", () => {
    // Bates, Maechler, Bolker and Walker (2015), J. Stat. Softw. 67(1), section 5.1, to the digits printed there.
    const got = givenBy(mixedModel(sleep));
    expect(got.fixed["intercept"]?.toFixed(3)).toBe("251.405");
    expect(got.fixed["days"]?.toFixed(3)).toBe("10.467");
    expect(got.standardErrors["intercept"]).toBeCloseTo(6.825, 3);
    expect(got.standardErrors["days"]?.toFixed(3)).toBe("1.546");
    expect(
      disagreements([got.groupSd ** 2, (got.slopeSds?.["days"] ?? 0) ** 2], [612.09, 35.07], 2e-4),
    ).toEqual([]);
    expect(got.correlations?.[0]?.value).toBeCloseTo(0.066, 3);
    expect((got.residualSd ** 2).toFixed(2)).toBe("654.94");
    expect(got.remlCriterion.toFixed(1)).toBe("1743.6");
  });

  it("is the analysis of each subject's own line where all have the same days", () => {
    // Algebra: the rest is what 18 lines leave, over 180 − 36; the fixed effects are the lines' means, the slope's standard
    // error is the scatter of the 18 slopes over √18, with 17 degrees of freedom.
    const lines = Array.from({ length: 18 }, (_, s) => {
      const y = reaction.slice(10 * s, 10 * s + 10);
      const mean = y.reduce((sum, value) => sum + value, 0) / 10;
      const slope = y.reduce((sum, value, d) => sum + (d - 4.5) * value, 0) / 82.5;
      const rest = y.reduce((sum, value, d) => sum + (value - mean - slope * (d - 4.5)) ** 2, 0);
      return { slope, intercept: mean - 4.5 * slope, rest };
    });
    const mean = (of: "slope" | "intercept") => lines.reduce((sum, line) => sum + line[of], 0) / 18;
    const error = (of: "slope" | "intercept") =>
      Math.sqrt(lines.reduce((sum, line) => sum + (line[of] - mean(of)) ** 2, 0) / 17 / 18);
    const got = givenBy(mixedModel(sleep));
    const rest = Math.sqrt(lines.reduce((sum, line) => sum + line.rest, 0) / 144);
    const expected = {
      fixed: { intercept: mean("intercept"), days: mean("slope") },
      standardErrors: { intercept: error("intercept"), days: error("slope") },
      satterthwaiteDf: { intercept: 17, days: 17 },
      residualSd: rest,
    };
    expect(disagreements(got, expected, 1e-8)).toEqual([]);
  });

  it("beside a crossed grouping, unevenly: R 4.2.2, lme4 1.1.31, lmerTest 3.1.3", () => {
    // d <- sleepstudy; i <- 0:179; d$third <- i %% 7; d$y <- d$Reaction + 10 * c(0, 3, 1, 5, 2, 4, 7)[d$third + 1]
    // lmer(y ~ Days + (Days | Subject) + (1 | third), d[(i * i) %% 11 < 5, ])
    const rows = reaction.flatMap((_, i) => ((i * i) % 11 < 5 ? [i] : []));
    const added = [0, 3, 1, 5, 2, 4, 7];
    const got = mixedModel({
      response: rows.map((i) => (reaction[i] as number) + 10 * (added[i % 7] as number)),
      fixed: { days: rows.map((i) => days[i] as number) },
      group: rows.map((i) => subject[i] as number),
      slopes: ["days"],
      crossed: { third: rows.map((i) => i % 7) },
    });
    // 2e-5: lmer's search and its numerical derivatives.
    expect(disagreements(givenBy(got), byR, 2e-5)).toEqual([]);
  });

  it("does not depend on the columns' units", () => {
    const got = givenBy(mixedModel({ ...sleep, fixed: { days: days.map((day) => day * 86_400) } }));
    const plain = givenBy(mixedModel(sleep));
    expect(got.slopeSds?.["days"]).toBeCloseTo((plain.slopeSds?.["days"] ?? 0) / 86_400, 12);
    expect(got.groupShare).toBeCloseTo(plain.groupShare, 8);
  });
});

describe("mixedModel with crossed groups", () => {
  const penicillin = { response: diameter, fixed: {}, group: plate, crossed: { sample } };

  it("as published: penicillin", () => {
    // Bates, Maechler, Bolker and Walker, vignette of lme4 1.1.31: 0.8467, 1.9316 and 0.5499, criterion 330.8606. The degrees
    // of freedom: lmerTest 3.1.3.
    const expected = {
      fixed: { intercept: 22.9722222 },
      standardErrors: { intercept: 0.8085735 },
      groupSd: 0.8467044,
      crossedSds: { sample: 1.9315587 },
      residualSd: 0.5499231,
      remlCriterion: 330.860589,
      satterthwaiteDf: { intercept: 5.4870897 },
    };
    expect(disagreements(givenBy(mixedModel(penicillin)), expected, 1e-6)).toEqual([]);
  });

  it("is the analysis of variance where all meet all", () => {
    // Algebra: mean squares of 24 plates, of 6 samples, of what is left; no mean square is below the last.
    const mean = (list: readonly number[]) => list.reduce((sum, value) => sum + value, 0) / list.length;
    const all = mean(diameter);
    const plates = Array.from({ length: 24 }, (_, p) => mean(diameter.filter((_, i) => plate[i] === p)));
    const samples = Array.from({ length: 6 }, (_, s) => mean(diameter.filter((_, i) => i % 6 === s)));
    const squares = (list: readonly number[]) => list.reduce((sum, value) => sum + (value - all) ** 2, 0);
    const [byPlate, bySample] = [(6 * squares(plates)) / 23, (24 * squares(samples)) / 5];
    const rest = (squares(diameter) - 23 * byPlate - 5 * bySample) / 115;
    const got = givenBy(mixedModel(penicillin));
    const expected = {
      groupSd: Math.sqrt((byPlate - rest) / 6),
      crossedSds: { sample: Math.sqrt((bySample - rest) / 24) },
      residualSd: Math.sqrt(rest),
    };
    expect(disagreements(got, expected, 1e-8)).toEqual([]);
  });

  it("gives the one grouping's numbers where a second adds nothing", () => {
    // A grouping drawn up against the rest of the first one's fit, alike in mean: its scatter comes out as 0.
    const response = [1, 5, 9, 21, 25, 29, 11, 15, 19];
    const group = [1, 1, 1, 2, 2, 2, 3, 3, 3];
    const across = ["a", "b", "a", "b", "a", "b", "a", "a", "b"];
    const one = givenBy(mixedModel({ response, fixed: {}, group }));
    const answer = mixedModel({ response, fixed: {}, group, crossed: { across } });
    const two = givenBy(answer);
    expect(two.crossedSds?.["across"]).toBeLessThan(1e-4);
    expect(disagreements(two, { groupSd: one.groupSd, remlCriterion: one.remlCriterion }, 1e-7)).toEqual([]);
    expect(answer.ok && answer.warnings.map(({ code }) => code)).toContain("STAT_DEGENERATE");
  });

  it("refuses", () => {
    const twins = mixedModel({
      response: diameter,
      fixed: {},
      group: plate,
      crossed: { again: plate.map((p) => `p${p}`) },
    });
    expect(codeOf(twins)).toBe("STAT_DEGENERATE");
    expect(codeOf(mixedModel({ ...sleep, slopes: ["nights"] }))).toBe("INPUT_FIELD");
    expect(codeOf(mixedModel({ ...sleep, slopes: ["days", "days"] }))).toBe("INPUT_FIELD");
    expect(codeOf(mixedModel({ ...penicillin, crossed: { sample: ["A"] } }))).toBe("INPUT_FIELD");
    const few = { response: [1, 3, 2, 5], fixed: { x: [1, 2, 1, 3] }, group: ["a", "a", "b", "b"] };
    expect(codeOf(mixedModel({ ...few, slopes: ["x"] }))).toBe("STAT_TOO_FEW");
    const many = Array.from({ length: 1000 }, (_, i) => i);
    const wide = {
      response: many,
      fixed: {},
      group: many.map((i) => i % 150),
      crossed: { b: many.map((i) => i % 151) },
    };
    expect(codeOf(mixedModel({ ...wide, response: many.map((i) => (i * i) % 17) }))).toBe("STAT_VALUE");
  });
});

const byR = {
  fixed: { intercept: 282.179961368288, days: 10.968901021454 },
  standardErrors: { intercept: 10.52674846371006, days: 1.91229912739395 },
  satterthwaiteDf: { intercept: 15.2280452463724, days: 16.6578589234681 },
  groupSd: 25.64255840074787,
  slopeSds: { days: 7.360065257052618 },
  correlations: [{ value: -0.0835969383573692 }],
  crossedSds: { third: 20.03096423895633 },
  residualSd: 22.85716234995505,
  remlCriterion: 1124.80090353197,
};
