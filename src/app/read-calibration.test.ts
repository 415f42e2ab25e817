import { describe, expect, it } from "vitest";
import { readCalibration } from "./read-calibration.ts";

const points = [
  { appliedN: 10_000, indicatedN: 10_020 },
  { appliedN: 20_000, indicatedN: 20_050 },
];

describe("points of a certificate from pasted text", () => {
  it.each([
    ["semicolons and decimal commas", "applied (kN);shown (kN)\n10;10,02\n20;20,05\n"],
    ["commas and points", "applied_kN,indicated_kN\r\n10,10.02\r\n20,20.05"],
    ["tabs, and blank lines", "\nkN\tkN\n\n10\t10.02\n20\t20.05\n\n"],
    ["one unit for each column", "Load [N];Reading [kN]\n10000;10.02\n2e4;20.05"],
  ])("reads %s", (_, text) => {
    const read = readCalibration({ text });
    expect(read).toMatchObject({ ok: true, warnings: [] });
    if (read.ok)
      for (const [at, { appliedN, indicatedN }] of points.entries()) {
        expect(read.value.points[at]?.appliedN).toBeCloseTo(appliedN, 9);
        expect(read.value.points[at]?.indicatedN).toBeCloseTo(indicatedN, 9);
      }
  });

  it("takes the units that are said, over those of the header or where there is none", () => {
    // 1 lbf = 4.4482216152605 N, exact (NIST SP 811).
    const read = readCalibration({ text: "1000;1001", appliedUnit: "lbf", indicatedUnit: "lbf" });
    expect(read).toMatchObject({ value: { appliedUnit: "lbf", indicatedUnit: "lbf" } });
    if (read.ok) expect(read.value.points[0]?.appliedN).toBeCloseTo(4448.2216152605, 9);
    const headed = readCalibration({ text: "kN;kN\n1;1", appliedUnit: "N" });
    if (headed.ok) expect(headed.value.points[0]).toEqual({ appliedN: 1, indicatedN: 1000 });
  });

  it("says what it took a habit of spelling for", () => {
    expect(readCalibration({ text: "applied (lbs);shown (kN)\n100;0.4448" })).toMatchObject({
      value: { appliedUnit: "lbf" },
      warnings: [{ code: "INPUT_DOUBT" }],
    });
  });

  it.each([
    ["no units", "10;10,02", ["appliedUnit", "indicatedUnit"]],
    ["a column of volts", "applied kN;shown V\n10;2", ["indicatedUnit"]],
    ["one column", "kN\n10\n20", ["text"]],
    ["a header alone", "applied kN;shown kN", ["text"]],
    ["three columns", "kN;kN;kN\n1;2;3", ["text"]],
  ])("refuses %s", (_, text, fields) => {
    const read = readCalibration({ text });
    expect(read.ok ? [] : read.problems.map(({ where }) => where?.field)).toEqual(fields);
  });

  it("names each line that cannot be read", () => {
    const read = readCalibration({ text: "kN;kN\n1;1\n2;two\n3;\n4;4" });
    expect(read.ok ? [] : read.problems.map(({ where }) => where?.line)).toEqual([3, 4]);
  });
});
