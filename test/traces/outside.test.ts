import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import {
  completeLayout,
  type Drop,
  layoutHeadBytes,
  type PullReading,
  proposeLayout,
  readRecording,
} from "../../src/trace/mod.ts";
import { type ForceUnit, fromForceUnit } from "../../src/units/mod.ts";
import { judgesTheBatch } from "./batch-findings.ts";

// Recordings that other people made, with what a correct reading finds in each, are too large to be kept here. Where a
// folder of them lies beside the project, or BITTEREND_RECORDINGS names one, every one is read and held to its manifest
// (its figures come from a hand-written reader for each file, in another language); elsewhere this file registers no
// such case. The everyday tests do not need them.

type Entry = {
  file: string;
  rows: number;
  sample_interval_s: { median: number };
  computed: {
    missing: number;
    peak: number;
    t_peak: number;
    noise_sigma: number;
    drop_threshold: number;
    first_events: [number, number][];
  };
};

const folder = [process.env.BITTEREND_RECORDINGS, "../shared/recordings"].find(
  (path) => path !== undefined && existsSync(join(path, "MANIFEST.json")),
);
const entries: Entry[] =
  folder === undefined ? [] : JSON.parse(readFileSync(join(folder, "MANIFEST.json"), "utf8")).recordings;

/** What the files do not say. Of the others nothing is said. */
const units: Record<string, ForceUnit> = {
  "ropehaul_raw.csv": "lbf",
  "thrust_100hz.csv": "N",
  "epoxy_force_disp_bom.csv": "N",
};
/** The unit in which the manifest states its forces. */
const statedIn: Record<string, ForceUnit> = { "ropehaul_raw.csv": "lbf", "treewinch_2.csv": "kN" };
/** Peaks of the six hauls in pounds-force and seconds, from the manifest's text. */
const hauls = [
  [1764, 436.6],
  [1756, 1369.34],
  [1660, 2335.65],
  [1571, 3374.15],
  [1760, 4418.93],
  [1508, 5196.43],
] as const;

function readFile(path: string, forceUnit?: ForceUnit) {
  const bytes = readFileSync(path);
  const hints = forceUnit === undefined ? {} : { forceUnit };
  const proposal = proposeLayout(bytes.subarray(0, layoutHeadBytes), { hints, totalBytes: bytes.length });
  if (!proposal.ok) throw new Error(JSON.stringify(proposal.problems));
  const layout = completeLayout(proposal.value.layout, hints);
  if (!layout.ok) throw new Error(JSON.stringify(layout.problems));
  const read = readRecording(bytes, layout.value);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value;
}

describe(`recordings from outside: ${entries.length} in ${folder ?? "no folder"}`, () => {
  test("are read only where they are", () => {
    expect(entries.length > 0).toBe(folder !== undefined);
  });

  for (const entry of entries.filter(({ file }) => existsSync(join(folder ?? "", file)))) {
    const scale = fromForceUnit(1, statedIn[entry.file] ?? "N");
    const hasTime = !entry.file.startsWith("epoxy");

    test(`${entry.file}: rows, missing values, peak and its time as the manifest has them`, () => {
      const { trace, reading } = readFile(join(folder ?? "", entry.file), units[entry.file]);
      const pulls = reading.pulls;
      const highest = pulls.reduce((a, b) => (a.peakN >= b.peakN ? a : b));
      expect(reading.rows).toBe(entry.rows);
      expect(trace.missing).toBe(entry.computed.missing);
      expect(pulls.length).toBe(entry.file.startsWith("ropehaul") ? hauls.length : 1);
      // The manifest rounds to four decimals.
      expect(highest.peakN / scale).toBeCloseTo(entry.computed.peak, 3);
      expect(highest.noiseN / scale).toBeCloseTo(entry.computed.noise_sigma, 3);
      if (!hasTime) return;
      expect(highest.peakTimeS).toBeCloseTo(entry.computed.t_peak, 3);
      expect(reading.intervalS).toBeCloseTo(entry.sample_interval_s.median, 3);
    });

    test(`${entry.file}: the drops within its pull are those of the manifest`, () => {
      const { reading } = readFile(join(folder ?? "", entry.file), units[entry.file]);
      if (entry.file.startsWith("ropehaul") || !hasTime) return;
      const pull = reading.pulls[0] as PullReading;
      const within = entry.computed.first_events.filter(([time]) => time >= (pull.startS ?? 0));
      const round = (drop: Drop) => [Number(drop.timeS?.toFixed(3)), Number((drop.fromN / scale).toFixed(2))];
      expect(pull.drops.slice(0, within.length).map(round)).toEqual(within);
    });
  }

  const path = (name: string) => join(folder ?? "", name);
  const has = (name: string) => folder !== undefined && existsSync(path(name));

  if (has("ropehaul_raw.csv"))
    test("six hauls are six pulls, none of which broke", () => {
      const { reading } = readFile(path("ropehaul_raw.csv"), "lbf");
      reading.pulls.forEach((pull, at) => {
        expect(pull.peakN / fromForceUnit(1, "lbf")).toBeCloseTo(hauls[at]?.[0] ?? Number.NaN, 6);
        expect(pull.peakTimeS).toBeCloseTo(hauls[at]?.[1] ?? Number.NaN, 1);
        expect(pull.end).toBe("decline");
        // The idle level is 28 to 45 lbf.
        expect((pull.restN ?? 0) / fromForceUnit(1, "lbf")).toBeGreaterThan(28);
        expect((pull.restN ?? 99) / fromForceUnit(1, "lbf")).toBeLessThan(45);
      });
    });

  if (has("jackpull_02.csv"))
    test("a maximum that is not at the break is said to be so", () => {
      const pull = readFile(path("jackpull_02.csv")).reading.pulls[0] as PullReading;
      expect(pull.end).toBe("collapse");
      expect(pull.collapse?.timeS).toBeCloseTo(11.305, 3);
      expect(pull.collapse?.fromN).toBeCloseTo(592.57, 2);
      expect(pull.warnings.map(({ code }) => code)).toContain("READING_PEAK_NOT_AT_END");
    });

  if (has("treewinch_2.csv"))
    test("a winch pull with gaps is one pull that declines, without a rest", () => {
      const pull = readFile(path("treewinch_2.csv")).reading.pulls[0] as PullReading;
      expect(pull.end).toBe("decline");
      expect(pull).not.toHaveProperty("restN");
    });

  if (has("epoxy_force_disp_bom.csv"))
    test("a file without time has rows and no seconds", () => {
      const { reading } = readFile(path("epoxy_force_disp_bom.csv"), "N");
      const pull = reading.pulls[0] as PullReading;
      expect(Object.keys(pull).filter((key) => /S$/.test(key))).toEqual([]);
      expect(pull.peakRow).toBe(reading.rows);
      expect(pull.warnings.map(({ code }) => code)).toContain("READING_PEAK_LAST");
    });

  const batch = process.env.BITTEREND_BATCH;
  const index = path("jackpull_batch_index_dev.csv");
  if (has("jackpull_batch_index_dev.csv")) judgesTheBatch(index);
  if (batch !== undefined && has("jackpull_batch_index_dev.csv"))
    test(`each of the ${readdirSync(batch).length} files of the batch is one pull with the peak of the index`, () => {
      for (const line of readFileSync(index, "utf8").trim().split(/\r?\n/).slice(1)) {
        const [file = "", , , , rows, peak, time] = line.split(",");
        const { reading } = readFile(join(batch, file));
        expect([file, reading.pulls.length, reading.rows]).toEqual([file, 1, Number(rows)]);
        expect(reading.pulls[0]?.peakN).toBeCloseTo(Number(peak), 2);
        expect(reading.pulls[0]?.peakTimeS).toBeCloseTo(Number(time), 2);
      }
    });
});
