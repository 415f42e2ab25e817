import { describe, expect, test } from "vitest";
import { fieldsOfClaim, fieldsOfPooled, typedClaim, typedShare } from "./outside-fields.ts";

const factors = [
  { name: "bury", unit: "d", levels: [24, 72] },
  { name: "pin", unit: "", levels: ["24", "thick"] },
];

describe("a share as people type it", () => {
  test.each([
    ["92 %", 0.92],
    ["92", 0.92],
    [" 92,5% ", 0.925],
    // In binary 92.3 / 100 is 0.9229999999999999.
    ["92.3", 0.923],
    ["104 %", 1.04],
  ])("%s is %d", (text, share) => {
    expect(typedShare(text, "value")).toMatchObject({ ok: true, value: share });
  });

  test.each(["", "ninety", "31 kN", "9 2 %%", "-5 %"])("%s is none", (text) => {
    expect(typedShare(text, "value")).toMatchObject({
      ok: false,
      problems: [{ code: "INPUT_FIELD", where: { field: "value" }, found: text }],
    });
  });
});

describe("a claim", () => {
  const typed = { ...typedClaim(), statement: "keeps 90 %", source: "a catalogue" };

  test("its figure goes where its basis says, with the unit that was typed", () => {
    // 7000 lbf: 4.4482216152605 N each (NIST SP 811).
    const force = fieldsOfClaim({ ...typed, basis: "force", value: "7000 lbf" }, factors);
    expect(force.problems).toEqual([]);
    expect(force.fields).toMatchObject({ share: null, valueN: 31137.5513068 });
    const share = fieldsOfClaim({ ...typed, value: "90 %" }, factors);
    expect(share.fields).toMatchObject({ share: 0.9, valueN: null, margin: 0.05 });
  });

  test("a level that is a number and one that is a word are kept apart", () => {
    const { fields } = fieldsOfClaim(
      { ...typed, value: "90", "levels.bury": "24", "levels.pin": '"24"' },
      factors,
    );
    expect(fields["levels"]).toEqual({ bury: 24, pin: "24" });
  });

  test("every empty field that is wanted is named", () => {
    const { problems } = fieldsOfClaim({ ...typedClaim(), legs: "two" }, factors);
    expect(problems.map(({ where }) => where?.field)).toEqual(["statement", "source", "value", "legs"]);
  });
});

test("a series of the book brings no figures, and a published one no other series", () => {
  const typed = {
    n: "6",
    basis: "rated, all legs",
    mean: "90",
    sd: "5",
    name: "",
    source: "",
    otherSeriesId: "ser-2",
  };
  const book = fieldsOfPooled(
    { ...typed, from: "book", "otherLevels.wraps": "2" },
    { factors, other: { title: "Wraps", factors: [{ name: "wraps", unit: "", levels: [1, 2] }] } },
  );
  expect(book.problems).toEqual([]);
  expect(book.fields).toMatchObject({
    otherSeriesId: "ser-2",
    name: "Wraps",
    n: null,
    meanShare: null,
    otherLevels: { wraps: 2 },
  });
  const published = fieldsOfPooled(
    { ...typed, from: "published", name: "Hill", source: "page 3" },
    { factors },
  );
  expect(published.problems).toEqual([]);
  expect(published.fields).toMatchObject({ otherSeriesId: null, n: 6, meanShare: 0.9, sdShare: 0.05 });
});
