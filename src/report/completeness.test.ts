import { describe, expect, test } from "vitest";
import { inventedReport } from "../../test/report/invented-series.ts";
import { judgeSeries } from "../findings/mod.ts";
import { seriesFields } from "../series/mod.ts";
import { completeness, type ReportToCheck } from "./completeness.ts";

const input = inventedReport();
const of = (about: ReportToCheck, clause: string) =>
  completeness(about).find((one) => one.clause === clause && one.standard === "ISO/IEC 17025:2017");
const told = {
  tester: "The loft",
  contact: "by letter",
  testedAt: "the shed",
  customer: "nobody but the tester",
  method: "pulled",
  deviations: "nothing",
  authorisedBy: "the loft",
  conditions: "dry, 20 °C",
};

describe("what a test report must state", () => {
  test("has every letter of ISO/IEC 17025:2017, 7.8.2.1, each once and in its order", () => {
    // The clause goes from a) to p).
    const letters = completeness(input).flatMap(
      ({ clause }) => /^7\.8\.2\.1 ([a-z])\)$/.exec(clause)?.[1] ?? [],
    );
    expect(letters.join("")).toBe("abcdefghijklmnop");
  });

  test.each([
    ["b", "tester"],
    ["c", "testedAt"],
    ["e", "customer"],
    ["f", "method"],
    ["n", "deviations"],
    ["o", "authorisedBy"],
  ])("%s) is covered by the series’ %s alone, and not by blanks", (letter, field) => {
    const full = { ...input, series: { ...input.series, ...told } };
    const without = { ...full, series: { ...full.series, [field]: "  \n" } };
    expect(of(full, `7.8.2.1 ${letter})`)?.state).toBe("covered");
    expect(of(without, `7.8.2.1 ${letter})`)?.state).not.toBe("covered");
    const changed = completeness(full).flatMap(({ state }, at) =>
      completeness(without)[at]?.state === state ? [] : [completeness(full)[at]?.clause],
    );
    expect(changed).toEqual([`7.8.2.1 ${letter})`]);
  });

  test("a name without an address is half of b)", () => {
    const half = { ...input, series: { ...input.series, ...told, contact: "" } };
    expect(of(half, "7.8.2.1 b)")).toMatchObject({ state: "partly", enter: "Tell" });
  });

  test("the date of issue comes with publishing", () => {
    const { revision: _, ...preview } = input;
    expect(of(input, "7.8.2.1 j)")?.state).toBe("covered");
    expect(of(preview, "7.8.2.1 j)")).toMatchObject({ state: "missing", enter: "publish" });
  });

  test("counts what some pulls have and others lack", () => {
    // Of the 32 invented pulls number 31 has no specimen, and 31 have their day (number 20 was typed).
    expect(of(input, "7.8.2.1 g)")).toMatchObject({
      state: "partly",
      says: "31 of 32 pulls name their specimen",
    });
    expect(of(input, "7.8.2.1 i)")).toMatchObject({ state: "partly", says: "31 of 32 pulls have their day" });
  });

  test("of an empty series nothing that rests on pulls is covered", () => {
    const series = { id: "ser-empty", ...seriesFields.parse({ title: "Empty" }) };
    const empty: ReportToCheck = {
      series,
      findings: judgeSeries(series, []),
      ropes: [],
      recipes: [],
      benches: [],
      recordings: [],
      methodNotes: [],
      program: input.program,
    };
    const states = completeness(empty);
    for (const asks of ["when it was tested", "the results with their units", "the speed of the test"])
      expect(states.find((one) => one.asks === asks)?.state).toBe("missing");
  });

  test("whatever is missing says where it is entered", () => {
    for (const { state, enter } of completeness({ ...input, series: { ...input.series, tester: "" } }))
      expect(state === "covered" || enter !== undefined).toBe(true);
  });
});
