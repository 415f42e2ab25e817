import { createHash } from "node:crypto";
import { beforeAll, describe, expect, it } from "vitest";
import { type BundleMade, verifyBundle } from "../../src/app/mod.ts";
import { nodeWorkings } from "../../src/app/node/mod.ts";
import { problemOf, valueIn } from "../app/open-app.ts";
import { bookOf, changedZip, fullSeries, textIn } from "./books.ts";

let made: BundleMade;
let recordingPath: string;
beforeAll(async () => {
  const app = await bookOf("ours");
  const series = await fullSeries(app);
  const published = valueIn(await app.publishReport(series.id));
  made = valueIn(await app.bundleOfReport(published.id));
  const listed = JSON.parse(textIn(made.bytes, "datapackage.json"));
  recordingPath = listed.resources.find(({ path }: { path: string }) =>
    /^recordings\/.*csv$/.test(path),
  ).path;
});

const verify = async (bytes: Uint8Array) =>
  valueIn(await verifyBundle(nodeWorkings(), { fileName: "x.zip", bytes }));

/** As a forger would: what the descriptor says of the file is brought in line with the change. */
function forged(path: string, change: (text: string) => string): Uint8Array {
  const is = change(textIn(made.bytes, path));
  return changedZip(made.bytes, {
    [path]: () => is,
    "datapackage.json": (text) => {
      const descriptor = JSON.parse(text);
      const resource = descriptor.resources.find((one: { path: string }) => one.path === path);
      const bytes = new TextEncoder().encode(is);
      resource.bytes = bytes.length;
      resource.hash = `sha256:${createHash("sha256").update(bytes).digest("hex")}`;
      return JSON.stringify(descriptor);
    },
  });
}

describe("verify", () => {
  it("says the same numbers of a bundle as it was made, without any book", async () => {
    const said = await verify(made.bytes);
    expect(said).toMatchObject({ same: true, recordings: 1, readings: 6, differences: [], revision: 1 });
    expect(said.figures).toBeGreaterThan(100);
  });

  it("finds a changed value in pulls.csv: the hashes, and every finding that rests on it", async () => {
    const change = (text: string) => text.replace("26100.5", "28100.5");
    const plain = await verify(changedZip(made.bytes, { "data/pulls.csv": change }));
    expect(plain.same).toBe(false);
    expect(plain.differences.map(({ where }) => where).join("\n")).toContain(
      "data/pulls.csv: The hash of the file is another",
    );
    const said = await verify(forged("data/pulls.csv", change));
    expect(said.differences.some(({ where }) => where.startsWith("data/pulls.csv:"))).toBe(false);
    expect(said.differences.map(({ where }) => where).join("\n")).toContain(
      "The hash of tables and findings together",
    );
    expect(said.differences).toContainEqual(
      expect.objectContaining({
        where: expect.stringMatching(/^findings\.pulls\[C1\]\.strengthN$/),
        stated: "26100.5",
        recomputed: "28100.5",
      }),
    );
  });

  it("finds a changed figure among the findings", async () => {
    const stated = JSON.parse(textIn(made.bytes, "findings.json")).cells[0].meanN.value as number;
    const said = await verify(
      forged("findings.json", (text) => text.replace(String(stated), String(stated + 5))),
    );
    expect(said.differences).toContainEqual(
      expect.objectContaining({ stated: String(stated + 5), recomputed: String(stated) }),
    );
  });

  it("finds a changed sample in a recording: other bytes, another reading, other samples", async () => {
    // 24.12 kN is the first peak with its rest; half a kilonewton more makes it the peak still.
    const said = await verify(forged(recordingPath, (text) => text.replace("24.12000", "24.62000")));
    const where = said.differences.map((one) => one.where).join("\n");
    expect(where).toContain(`${recordingPath}: The hash of the original is another`);
    expect(where).toMatch(/readings\.A1, .*\.peakN/);
    expect(where).toMatch(/findings\.pulls\[A1\]\.strengthN/);
    expect(where).toContain(".parquet");
  });

  it("finds a changed reading and a changed table of results", async () => {
    const reading = await verify(
      forged("data/readings.csv", (text) => text.replace(",collapse,", ",decline,")),
    );
    expect(reading.differences).toContainEqual(
      expect.objectContaining({ where: expect.stringMatching(/^readings\..*\.end$/), stated: "decline" }),
    );
    const results = await verify(forged("data/results.csv", (text) => text.replace("taper end", "throat")));
    expect(results.differences.map(({ where }) => where)).toEqual([
      expect.stringMatching(/^data\/results\.csv, line \d+$/),
    ]);
  });

  it("refuses what is no bundle", async () => {
    const refused = await verifyBundle(nodeWorkings(), { fileName: "x", bytes: Uint8Array.of(1, 2, 3) });
    expect(problemOf(refused)?.code).toBe("BUNDLE_ZIP");
  });
});
