import { createHash } from "node:crypto";
import fc from "fast-check";
import { expect, test } from "vitest";
import { benchFields, pullFields, seriesFields, specimenFields } from "../series/mod.ts";
import { recipeFields, ropeFields } from "../splice/mod.ts";
import {
  type BundleContent,
  checkedRow,
  contentFiles,
  contentText,
  describePackage,
  packagePath,
  packZip,
  plainJson,
  type RowOf,
  readBundle,
  type TableName,
} from "./mod.ts";

const sha256 = (bytes: Uint8Array) => createHash("sha256").update(bytes).digest("hex");

/** Texts that break careless writers: quotes, commas, line ends, formulas, apostrophes, marks of direction, any letter. */
const text = fc.oneof(
  fc.string({ unit: "grapheme", maxLength: 40 }),
  fc.string({
    unit: fc.constantFrom("'", "=", "+", "-", "@", "\t", "\r", "\n", '"', ",", ";", " ", "a"),
    maxLength: 12,
  }),
  fc.constantFrom("true", "1e5", "007", "[1]", "{}", "null", "\u202Ex", "ü–Ø🪢"),
);
const name = text.map((one) => `n${one}`.trim());
const number = fc.double({ min: 1e-6, max: 1e8, noNaN: true });
// JSON.stringify writes −0 as 0, and they are one number.
const level = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }).map((value) => value + 0),
  name,
);
const levels = fc.dictionary(
  name.filter((one) => one !== "__proto__"),
  level,
  { maxKeys: 3 },
);

const content = fc
  .record({
    title: name,
    words: text,
    tester: text.map((one) => one.trim()),
    ropeNames: fc.array(name, { maxLength: 3 }),
    rated: number,
    lengths: fc.array(number, { minLength: 1, maxLength: 4 }),
    levels,
    picks: fc.array(fc.integer({ min: 0, max: 1000 }), { maxLength: 4 }),
    findings: fc.jsonValue({ maxDepth: 3 }),
  })
  .map(({ title, words, tester, ropeNames, rated, lengths, levels, picks, findings }): BundleContent => {
    const rows = <T extends TableName>(table: T, fields: readonly object[]) =>
      fields.map((one, index): RowOf<T> => {
        const row = checkedRow(table, one as Record<string, unknown>, { file: table, row: index });
        if (!row.ok) throw new Error(JSON.stringify(row.problems));
        return row.value;
      });
    const seriesId = "ser-1";
    const tables = {
      series: rows("series", [
        { ...seriesFields.parse({ title, question: words, tester, notes: words }), id: seriesId },
      ]),
      ropes: rows(
        "ropes",
        ropeNames.map((rope, index) => ({
          ...ropeFields.parse({ name: rope, nominalDiameterMm: 6, ratedStrengthN: rated, notes: words }),
          id: `rop-${index}`,
        })),
      ),
      spools: [],
      recipes: rows("recipes", [
        {
          ...recipeFields.parse({ name: title, kind: "crossed-tail loop", legs: 2 }),
          id: "rec-1",
          version: 1,
        },
      ]),
      hardware: [],
      "load-cells": [],
      benches: rows("benches", [{ ...benchFields.parse({ name: title }), id: "ben-1" }]),
      specimens: rows(
        "specimens",
        lengths.map((length, index) => ({
          ...specimenFields.parse({
            seriesId,
            label: `A${index}`,
            levels,
            buryFullMm: Math.min(length, 1e6),
            picksPerStep: picks,
            notes: words,
          }),
          id: `spe-${index}`,
        })),
      ),
      pulls: rows(
        "pulls",
        lengths.map((length, index) => {
          const { outcome: _, ...pull } = pullFields.parse({ seriesId, typedPeakN: length, notes: words });
          return {
            ...pull,
            id: `pul-${index}`,
            outcomeKind: "broke",
            outcomePlace: [...words].slice(0, 9).join(""),
          };
        }),
      ),
      readings: [],
      recordings: [],
      pictures: [],
      claims: [],
      "pooled-series": [],
    };
    return { tables, others: [], methods: { reading: "1" }, findings: plainJson(findings) };
  });

test("any content is read back from its bundle as it was written, by its hash too", () => {
  fc.assert(
    fc.property(content, (written) => {
      const files = contentFiles(written);
      const contentSha256 = sha256(new TextEncoder().encode(contentText(written)));
      const about = { contentSha256, program: "test" };
      const descriptor = describePackage(written, files, about, sha256);
      const all = new Map(files.map(({ path, bytes }) => [path, bytes]));
      all.set(packagePath, new TextEncoder().encode(JSON.stringify(descriptor)));
      const read = readBundle(packZip(all), { sha256 });
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      expect(read.value.faults).toEqual([]);
      expect(read.value.content).toEqual(written);
    }),
    { numRuns: 60 },
  );
});
