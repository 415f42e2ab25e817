import { describe, expect, it } from "vitest";
import { parseRecording } from "../text/parse-recording.ts";
import { type DrawnRecording, drawRecording } from "./draw-recording.ts";
import { type FaultKind, goTogether } from "./faults.ts";

// The truth is held to the file itself, parsed by the layout that goes with it, and to the force that was on the cell.

const seeds = Array.from({ length: 90 }, (_, at) => 7_000_000 + at);
const all = seeds.map(drawRecording);

function has({ truth }: DrawnRecording, kind: FaultKind): boolean {
  return truth.faults.some((fault) => fault.kind === kind);
}

function parsed(drawn: DrawnRecording) {
  const answer = parseRecording(drawn.bytes, drawn.layout);
  if (!answer.ok) throw new Error(`${drawn.truth.seed}: ${JSON.stringify(answer.problems)}`);
  return answer.value.trace;
}

/** The true force at a moment: of the sample nearest to it. */
function trueAt({ trueForce: { timeS, forceN } }: DrawnRecording, momentS: number): number {
  let at = 0;
  while (at < timeS.length - 1 && (timeS[at] as number) < momentS) at++;
  return forceN[at] as number;
}

describe("drawRecording", () => {
  it("gives the same bytes and the same truth for the same seed, and others for another", () => {
    for (const seed of seeds.slice(0, 5)) {
      const [one, same, other] = [drawRecording(seed), drawRecording(seed), drawRecording(seed + 1)];
      expect(Buffer.compare(same.bytes, one.bytes)).toBe(0);
      expect(same.truth).toEqual(one.truth);
      expect(same.layout).toEqual(one.layout);
      expect(Buffer.compare(other.bytes, one.bytes)).not.toBe(0);
    }
  });

  it("draws from the whole space: ends, drives, partings, dialects", () => {
    const pulls = all.flatMap(({ truth }) => truth.pulls);
    const distinct = (values: readonly unknown[]) => [...new Set(values)].sort();
    expect(distinct(pulls.map(({ outcome }) => outcome))).toEqual(["broke", "slipped", "stopped"]);
    expect(distinct(pulls.map(({ drive }) => drive))).toEqual(["steady", "strokes"]);
    expect(distinct(all.map(({ truth }) => truth.parted))).toEqual(["column", "one pull", "pause", "rest"]);
    expect(distinct(all.map(({ layout }) => layout.force.unit)).length).toBeGreaterThan(3);
    expect(distinct(all.map(({ truth }) => truth.logger.rateHz)).length).toBeGreaterThan(10);
    expect(pulls.some(({ residualN }) => residualN !== undefined)).toBe(true);
    expect(pulls.some(({ restrokes }) => restrokes.length > 0)).toBe(true);
    expect(pulls.some(({ hold }) => hold !== undefined)).toBe(true);
  });

  it("leaves most recordings clean or with one fault", () => {
    const planted = all.map(({ truth }) => truth.faults.filter(({ mild }) => mild !== true).length);
    // 55 % are drawn without; some of the others come out mild. Four standard errors of 90 draws: 21 %.
    expect(planted.filter((count) => count === 0).length / all.length).toBeGreaterThan(0.34);
    expect(planted.filter((count) => count <= 1).length / all.length).toBeGreaterThan(0.67);
  });

  it.each(all.map((drawn) => [drawn.truth.seed, drawn] as const))(
    "tells the truth of seed %i",
    (_, drawn) => {
      const { truth } = drawn;
      const { forceN, timeS, segment } = parsed(drawn);
      if (timeS === undefined) throw new Error("no time");

      for (const pull of truth.pulls) {
        expect(pull.peakN).toBeGreaterThan(0);
        expect(pull.peakTimeS).toBeGreaterThanOrEqual(pull.startS);
        expect(pull.peakTimeS).toBeLessThanOrEqual(pull.endingTimeS + 1e-9);
        expect(pull.endingTimeS).toBeLessThan(pull.endS);
        for (const { fromN, toN, timeS: atS } of [...pull.slips, ...pull.strandBreaks]) {
          expect(toN).toBeLessThan(fromN);
          expect(fromN).toBeLessThanOrEqual(pull.peakN * (1 + 1e-9));
          expect(atS).toBeLessThanOrEqual(pull.endingTimeS);
        }
        for (const [at, span] of pull.phases.entries())
          if (at > 0) expect(span.startS).toBeCloseTo(pull.phases[at - 1]?.endS ?? 0, 6);
      }
      for (const [at, pull] of truth.pulls.entries())
        if (at > 0) expect(pull.startS).toBeGreaterThan(truth.pulls[at - 1]?.endS ?? 0);

      // What the file holds.
      const missing = forceN.filter(Number.isNaN).length;
      expect(missing > 0).toBe(has(drawn, "missing"));
      const back = [...timeS].filter((stampS, row) => row > 0 && stampS < (timeS[row - 1] as number)).length;
      const stepped = truth.faults.find(({ kind }) => kind === "clock-backward")?.rows?.length ?? 0;
      expect(back).toBe(stepped);
      expect(segment !== undefined).toBe(truth.parted === "column");
      if (segment !== undefined) expect(segment.at(-1)).toBe(truth.pulls.length);
      if (!truth.isForce || has(drawn, "unit-label")) return;

      // Force in the file, less what was on the cell, is rest, noise and steps: at the peak as at the rest.
      const { noiseN, stepN, averagedSamples, rateHz } = truth.logger;
      for (const pull of truth.pulls) {
        if (pull.clipped !== "no" || has(drawn, "spikes") || has(drawn, "missing-near-peak")) continue;
        let highestN = Number.NEGATIVE_INFINITY;
        for (const [row, stampS] of timeS.entries())
          if (stampS >= pull.startS && stampS <= pull.endS)
            highestN = Math.max(highestN, Number.isNaN(forceN[row]) ? highestN : (forceN[row] as number));
        let truestN = 0;
        const { timeS: trueS, forceN: trueN } = drawn.trueForce;
        for (const [row, stampS] of trueS.entries())
          if (stampS >= pull.startS && stampS <= pull.endS) truestN = Math.max(truestN, trueN[row] as number);
        expect(truestN).toBeLessThanOrEqual(pull.peakN * (1 + 1e-9));
        const driftN = has(drawn, "drift") ? 0.1 * pull.peakN : 0.005 * pull.peakN;
        const slackN = 6 * noiseN + 2 * stepN + driftN;
        expect(highestN - pull.restN).toBeLessThan(truestN + slackN);
        // Lost or averaged samples can only lower what is seen: by the rise over as many samples at most.
        const lostS = (averagedSamples + 8) / rateHz;
        const earlierN = trueAt(drawn, pull.peakTimeS - lostS);
        if (!has(drawn, "missing") && !has(drawn, "clock-gap") && !pull.endCut)
          expect(highestN - pull.restN).toBeGreaterThan(Math.min(truestN, earlierN) - slackN);
      }
    },
  );

  it("keeps faults apart that cannot be told in one recording", () => {
    expect(goTogether("position", "missing")).toBe(false);
    expect(goTogether("missing", "position")).toBe(false);
    expect(goTogether("clock-gap", "clock-jitter")).toBe(false);
    expect(goTogether("spikes", "missing")).toBe(true);
  });
});
