import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { parseRecording, readTrace } from "../../trace/mod.ts";
import { fromForceUnit } from "../../units/mod.ts";
import { type DemoRecording, type DemoScenario, demoScenario } from "./demo-scenario.ts";
import { benchLimitN, days, weakPinYieldsAtN } from "./loft.ts";

const demo = demoScenario();
const pulls = demo.recordings.flatMap((recording) => recording.pulls);

/** The forces of a file in newtons and its times in seconds, by a plain split: the layout and nothing cleverer. */
function samplesOf({ bytes, layout }: DemoRecording): { timeS: number[]; forceN: number[] } {
  const text =
    layout.encoding === "windows-1252"
      ? Array.from(bytes, (byte) => String.fromCharCode(byte)).join("")
      : new TextDecoder(layout.encoding).decode(bytes);
  const head = layout.preambleLines + Number(layout.headerRow) + Number(layout.unitRow);
  const lines = text.split(/\r?\n/).slice(head, -1);
  const timeS: number[] = [];
  const forceN: number[] = [];
  for (const line of lines) {
    const cells = line
      .split(layout.separator)
      .map((cell) => (layout.decimal === "," ? cell.replace(",", ".") : cell));
    const stamp = cells[0] as string;
    timeS.push(
      layout.time.kind === "column" && layout.time.format === "date-time"
        ? Date.parse(stamp) / 1000
        : Number(stamp),
    );
    forceN.push(fromForceUnit(Number(cells[layout.force.column - 1]), layout.force.unit));
  }
  const firstS = Math.round((timeS[0] as number) * 100) / 100;
  return { timeS: timeS.map((s) => s - (firstS > 1e6 ? firstS : 0)), forceN };
}

function sha256Of(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

describe("demo scenario", () => {
  it("is the same for the same seed, byte for byte, and another for another", () => {
    const withoutBytes = ({ recordings, ...rest }: DemoScenario) => ({
      ...rest,
      recordings: recordings.map(({ bytes, ...recording }) => ({ ...recording, sha256: sha256Of(bytes) })),
    });
    expect(withoutBytes(demoScenario())).toEqual(withoutBytes(demo));
    const bytesOfFirst = (scenario: DemoScenario) =>
      sha256Of(scenario.recordings[0]?.bytes ?? new Uint8Array());
    expect(bytesOfFirst(demoScenario(5))).not.toBe(bytesOfFirst(demo));
  });

  it("says that it is simulated wherever somebody could take it for real", () => {
    expect(demo.series.fields.simulated).toBe(true);
    expect(demo.series.fields.title).toContain("simulated");
    for (const rope of demo.ropes) expect(rope.fields.ratedStrengthSource).toContain("simulated");
  });

  it("fills its plan: every splice, size and bury twice", () => {
    const { factors, pullsPerCell } = demo.series.fields;
    expect(factors.map((factor) => factor.levels.length)).toEqual([2, 2, 4]);
    const cells = new Map<string, number>();
    for (const { fields } of demo.specimens) {
      for (const factor of factors) expect(factor.levels).toContain(fields.levels[factor.name]);
      const cell = JSON.stringify(fields.levels);
      cells.set(cell, (cells.get(cell) ?? 0) + 1);
    }
    expect([...cells.values()]).toEqual(Array(16).fill(pullsPerCell));
  });

  it("pulls every specimen once, in an order that is not the plan's", () => {
    expect(pulls).toHaveLength(32);
    expect(pulls.map((pull) => pull.order)).toEqual(Array.from({ length: 32 }, (_, index) => index + 1));
    expect(new Set(pulls.map((pull) => pull.specimenId))).toEqual(new Set(demo.specimens.map((s) => s.id)));
    expect(pulls.map((pull) => pull.specimenLabel)).not.toEqual(demo.specimens.map((s) => s.fields.label));
    const times = pulls.map((pull) => pull.pulledAt);
    expect([...times].sort()).toEqual(times);
  });

  it("points only to records that it holds", () => {
    const ids = (records: readonly { readonly id: string }[]) => records.map((record) => record.id);
    for (const { fields } of demo.spools) expect(ids(demo.ropes)).toContain(fields.ropeId);
    for (const { fields } of demo.specimens) {
      expect(fields.seriesId).toBe(demo.series.id);
      expect(ids(demo.ropes)).toContain(fields.ropeId);
      expect(ids(demo.recipes)).toContain(fields.recipeId);
      expect(demo.spools.find((spool) => spool.id === fields.spoolId)?.fields.ropeId).toBe(fields.ropeId);
    }
    for (const { fields } of demo.benches) {
      expect(ids(demo.loadCells)).toContain(fields.loadCellId);
      expect(ids(demo.hardware)).toEqual(
        expect.arrayContaining([fields.nearHardwareId, fields.farHardwareId]),
      );
    }
    for (const pull of pulls) expect(ids(demo.benches)).toContain(pull.benchId);
    for (const recording of demo.recordings) {
      const layout = demo.layouts.find((record) => record.id === recording.layoutId);
      expect(layout?.fields.layout).toEqual(recording.layout);
    }
    expect(new Set(pulls.map((pull) => pull.benchId)).size).toBe(demo.benches.length);
  });

  it("makes specimens whose lengths scatter about the recipe's", () => {
    for (const { fields } of demo.specimens) {
      const rope = demo.ropes.find((record) => record.id === fields.ropeId)?.fields;
      const recipe = demo.recipes.find((record) => record.id === fields.recipeId)?.fields;
      const asked = (recipe?.buryFullDiameters ?? 0) * (rope?.nominalDiameterMm ?? 0);
      // Five standard deviations of 2 %, and rounding to the millimetre.
      expect(Math.abs((fields.buryFullMm ?? 0) - asked)).toBeLessThan(0.1 * asked + 0.5);
      expect(fields.cutLengthMm ?? 0).toBeGreaterThan(fields.finishedLengthMm ?? Infinity);
    }
    const exact = demo.specimens.filter(({ fields }) => (fields.buryFullMm ?? 0) % 12 === 0);
    expect(exact.length).toBeLessThan(demo.specimens.length / 2);
  });

  it("ends each pull by the lowest of what could give, and tells that as the outcome", () => {
    let pinIsWeak = true;
    for (const [index, { latent, pull: truth, specimenLabel }] of demo.truth.entries()) {
      const told = pulls[index];
      expect(told?.specimenLabel).toBe(specimenLabel);
      expect(told?.benchId.endsWith(pinIsWeak ? "-12" : "-16")).toBe(true);
      const ends = [
        ["slipped", latent.slipN],
        ["broke", latent.breakN],
        ["stopped", benchLimitN],
        ["void", pinIsWeak ? weakPinYieldsAtN : Infinity],
      ] as const;
      const [outcome, peakN] = ends.reduce((lowest, end) => (end[1] < lowest[1] ? end : lowest));
      expect(told?.outcome.kind).toBe(outcome);
      expect(truth.outcome).toBe(outcome);
      expect(truth.peakN).toBeCloseTo(peakN, 6);
      if (outcome === "void") pinIsWeak = false;
    }
  });

  it("shows every outcome: one stopped, one void, short buries slipping, long ones breaking", () => {
    const count = (kind: string) => pulls.filter((pull) => pull.outcome.kind === kind).length;
    expect(count("stopped")).toBe(1);
    expect(count("void")).toBe(1);
    const ofBury = (bury: number) =>
      pulls
        .filter((pull) => pull.specimenLabel.split("-")[1] === String(bury))
        .map((pull) => pull.outcome.kind);
    expect(new Set(ofBury(24))).toEqual(new Set(["slipped"]));
    expect(new Set(ofBury(36))).toContain("slipped");
    expect(new Set(ofBury(36))).toContain("broke");
    expect(new Set(ofBury(72))).toEqual(new Set(["broke"]));
    // Some slipped on the way and broke in the end: that is an outcome of its own kind to read.
    expect(demo.truth.some(({ pull }) => pull.outcome === "broke" && pull.slips.length > 0)).toBe(true);
  });

  it("writes files in three dialects, two of them with several pulls, below 4 MB in all", () => {
    expect(new Set(demo.recordings.map((recording) => recording.layoutId)).size).toBe(3);
    expect(new Set(demo.recordings.map((recording) => recording.fileName)).size).toBe(demo.recordings.length);
    expect(demo.recordings.filter((recording) => recording.pulls.length > 1)).toHaveLength(2);
    expect(demo.recordings.reduce((sum, recording) => sum + recording.bytes.length, 0)).toBeLessThan(
      4 * 2 ** 20,
    );
  });

  it("has each true peak in its file, within noise, a step and what fell between two samples", () => {
    for (const recording of demo.recordings) {
      const { timeS, forceN } = samplesOf(recording);
      const logger = days.find((day) => day.layoutId === recording.layoutId)?.logger;
      if (logger === undefined) throw new Error("no such day");
      const stepN = (2 * logger.capacityN) / 2 ** logger.bits;
      for (const pull of recording.pulls) {
        const { pull: truth } = demo.truth[pull.order - 1] as (typeof demo.truth)[number];
        const within = forceN.filter((_, row) => {
          const s = timeS[row] as number;
          return s >= truth.startS && s <= truth.endS;
        });
        const netPeakN = Math.max(...within) - truth.restN;
        // Of some hundred samples near a flat peak the highest noise lies below 5 SD; drift over a pull is a few newtons.
        expect(netPeakN - truth.peakN).toBeLessThan(5 * logger.noiseN + stepN + 6);
        // The fastest rise, a hand stroke on a 6 mm loop: 2.2 MN/m × 4.2 mm × π/2 / 0.6 s ≈ 24 N/ms, over 10 ms and jitter.
        expect(truth.peakN - netPeakN).toBeLessThan(300 + stepN);
      }
    }
  });

  it("is read as it was: each pull found, its peak within half a percent, and how it ended", () => {
    for (const recording of demo.recordings) {
      const parsed = parseRecording(recording.bytes, recording.layout);
      if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
      expect(parsed.value.problems).toEqual([]);
      const reading = readTrace(parsed.value.trace, { layout: recording.layout });
      expect(reading.pulls).toHaveLength(recording.pulls.length);
      for (const [index, { order }] of recording.pulls.entries()) {
        const { pull: truth } = demo.truth[order - 1] as (typeof demo.truth)[number];
        const read = reading.pulls[index];
        // Half a percent: noise and the rest level, some tens of newtons, and up to 300 N that fell between two samples.
        expect(Math.abs((read?.netPeakN ?? 0) / truth.peakN - 1)).toBeLessThan(0.005);
        if (truth.outcome === "broke") expect(read?.end).toBe("collapse");
        if (truth.outcome === "stopped" || truth.outcome === "void") expect(read?.end).toBe("decline");
      }
    }
  });
});
