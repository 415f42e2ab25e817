import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/stats/mod.ts";
import {
  type CalibrationPoint,
  fitCell,
  type Layout,
  type PullReading,
  readTrace,
} from "../../src/trace/mod.ts";
import { plainLayout } from "../setup/plain-layout.ts";

// A cell of which gain, offset and bend are known shows a pull of which every force is known by algebra. Read with its
// certificate, the reading has to say the forces that were applied; without it, it says others, which is tested as well.

const layout: Layout = { ...plainLayout, columnNames: ["time_s", "force_N", "travel_m"] };

/** 1000 N held, of which 2 % per tenfold of time settle (t1 = 0.1 s). */
const settled = (since: number) => 1000 * (1 - 0.02 * Math.log10(1 + since / 0.1));
const rate = 500;
const slipAt = 38 + (4000 - settled(20)) / rate;
const breakAt = slipAt + 0.02 + (6000 - 3200) / rate;

/**
 * Applied force: two cycles to 1500 N, 1000 N held for 20 s, on at 500 N/s, at 4000 N a slip to 3200 N within 0.02 s, a
 * break from 6000 N that leaves 600 N on a strand for 3 s.
 */
function appliedAt(time: number): number {
  if (time < 4) return 0;
  if (time < 16) return 1500 * (1 - Math.abs(((time - 4) % 6) / 3 - 1));
  if (time < 18) return rate * (time - 16);
  if (time < 38) return settled(time - 18);
  if (time < slipAt) return settled(20) + rate * (time - 38);
  if (time < slipAt + 0.02) return 4000 - 40_000 * (time - slipAt);
  if (time < breakAt) return 3200 + rate * (time - slipAt - 0.02);
  return time < breakAt + 3 ? 600 : 0;
}

/** The ram goes 1 mm/s while force is put on; nothing is given back in the cycles but what was put in. */
function travelAt(time: number): number {
  const within = (from: number, to: number) => 0.001 * Math.max(0, Math.min(time, to) - from);
  const cycles = (appliedAt(Math.min(time, 16)) / 1500) * 0.003;
  return (time < 16 ? cycles : 0) + within(16, 18) + within(38, breakAt);
}
const workJ =
  0.001 *
  (500 * 2 +
    ((settled(20) + 4000) / 2) * (slipAt - 38) +
    3600 * 0.02 +
    ((3200 + 6000) / 2) * (breakAt - slipAt - 0.02));

const rateHz = 200;
const timeS = Float64Array.from({ length: 60 * rateHz }, (_, row) => row / rateHz);
const displacementM = timeS.map(travelAt);

/** What the cell shows with 0.3 N of noise, resting at 40 N on the day of the pull. */
function shown(indicatedAt: (appliedN: number) => number): Float64Array {
  const noise = createRandom(7);
  return timeS.map((time) => 40 + indicatedAt(appliedAt(time)) + 0.3 * noise.normal());
}

const applied = [1000, 2000, 3000, 4500, 6000, 8000];
const certificate = (indicatedAt: (appliedN: number) => number, offsetN: number): CalibrationPoint[] =>
  applied.map((appliedN) => ({ appliedN, indicatedN: indicatedAt(appliedN) + offsetN }));

const read = (forceN: Float64Array, points?: readonly CalibrationPoint[]) =>
  readTrace(
    { forceN, timeS, displacementM, missing: 0 },
    { layout, context: points === undefined ? {} : { calibration: { points } } },
  );
const onlyPull = (forceN: Float64Array, points?: readonly CalibrationPoint[]): PullReading => {
  const { pulls } = read(forceN, points);
  expect(pulls).toHaveLength(1);
  return pulls[0] as PullReading;
};

/** Every force that a reading states, beside the truth and how finely the samples tell it: 5 ms and 2.5 N apart; R-HOLD ends a hold a
 * thousandth of the peak above its level, and some samples later. */
function statedForces({ deep, netPeakN, loadingRateNPerS }: PullReading): [string, number, number, number][] {
  if (deep === undefined) throw new Error("nothing deeper was read");
  const { hold, slips, peak, bedding } = deep;
  const size = (slips[0]?.fromN ?? 0) - (slips[0]?.toN ?? 0);
  return [
    ["peak", peak?.valueN ?? 0, 6000, 5],
    ["highest sample less the rest", netPeakN ?? 0, 6000, 5],
    ["hold's start", hold?.startN ?? 0, 1000, 3],
    ["hold's end", hold?.endN ?? 0, settled(20), 12],
    ["first slip", deep.firstSlipN ?? 0, 4000, 5],
    ["size of the slip", size, 800, 8],
    ["loading rate", loadingRateNPerS ?? 0, rate, 2],
    ["force left", deep.residualN ?? 0, 600, 2],
    ["highest of the bedding cycles", bedding?.highestN ?? 0, 1500, 4],
    ["work to the peak", deep.energyToPeakJ ?? 0, workJ, 0.01 * workJ],
    ["stiffness", deep.stiffnessNPerM ?? 0, 500_000, 2500],
  ];
}

/** A cell of gain 1.25. */
const steep = (appliedN: number) => 1.25 * appliedN;
/** A cell of which the ratio of applied to indicated force falls with the force: applied = 1.2 i − 3e−5 i². */
const bent = (appliedN: number) => (1.2 - Math.sqrt(1.2 ** 2 - 4 * 3e-5 * appliedN)) / (2 * 3e-5);

describe("a certificate corrects every force that a reading states", () => {
  test.each([
    ["R-CELL: gain, no offset", steep, certificate(steep, 0)],
    [
      "R-CELL: gain and an offset that a point at no force says",
      steep,
      [{ appliedN: 0, indicatedN: 35 }, ...certificate(steep, 35)],
    ],
    ["R-CELL: gain and an offset that only the other points show", steep, certificate(steep, 35)],
    ["R-CELL: gain, bend and offset", bent, certificate(bent, -60)],
  ] as const)("%s", (_, indicatedAt, points) => {
    const pull = onlyPull(shown(indicatedAt), points);
    for (const [name, found, truth, within] of statedForces(pull))
      expect(Math.abs(found - truth), `${name}: ${found}, truth ${truth}`).toBeLessThan(within);
    expect(pull.deep?.outcome?.reasons.join(" ")).toContain("from 6 kN to 600 N");
    // Bent as much as this, the cell alone would show 2.05 % per decade: see below.
    expect(Math.abs((pull.deep?.hold?.settling?.perDecade.value ?? 0) - 0.02)).toBeLessThan(0.0003);
  });

  test("R-WORK: work and stiffness are those of the geometry, also where the splice slipped on the way", () => {
    const { deep } = onlyPull(shown((appliedN) => appliedN));
    expect(Math.abs((deep?.energyToPeakJ ?? 0) / workJ - 1)).toBeLessThan(0.005);
    expect(Math.abs((deep?.stiffnessNPerM ?? 0) - 500_000)).toBeLessThan(2500);
  });

  test("R-CELL: without the certificate none of them is right, so that the tests above can fail", () => {
    const forces = statedForces(onlyPull(shown(steep)));
    for (const [name, found, truth, within] of forces)
      expect(Math.abs(found - truth), name).toBeGreaterThan(within);
    const settling = onlyPull(shown(bent)).deep?.hold?.settling?.perDecade.value ?? 0.02;
    expect(Math.abs(settling - 0.02)).toBeGreaterThan(0.0003);
  });

  test("R-CELL: rows, times, phases and what is stated as recorded do not move, nor do the samples", () => {
    const forceN = shown(bent);
    const before = forceN.slice();
    const plain = onlyPull(forceN);
    const pull = onlyPull(forceN, certificate(bent, 0));
    expect(forceN).toEqual(before);
    const recorded = ({
      peakN,
      peakRow,
      restN,
      startRow,
      endRow,
      drops,
      collapse,
      noiseN,
      end,
    }: PullReading) => ({
      peakN,
      peakRow,
      restN,
      startRow,
      endRow,
      drops,
      collapse,
      noiseN,
      end,
    });
    expect(recorded(pull)).toEqual(recorded(plain));
    expect(pull.deep?.phases).toEqual(plain.deep?.phases);
    expect(pull.deep?.slips.map(({ row }) => row)).toEqual(plain.deep?.slips.map(({ row }) => row));
    expect(pull.deep?.outcome?.probabilities).toEqual(plain.deep?.outcome?.probabilities);
  });

  test("R-UNCERTAINTY: what is not known of the indicated force counts by the gain (GUM 5.1.3)", () => {
    const gain = 1.25;
    const parts = (points?: readonly CalibrationPoint[]) =>
      onlyPull(shown(steep), points).deep?.peak?.parts.filter(({ name }) => name !== "calibration") ?? [];
    const plain = parts();
    expect(plain.length).toBeGreaterThan(3);
    parts(certificate(steep, 0)).forEach(({ standardN }, at) => {
      expect(standardN).toBeCloseTo((plain[at]?.standardN as number) / gain, 9);
    });
  });

  test("R-CELL: a file without rest says that the certificate could not correct its peak", () => {
    const forceN = Float64Array.from({ length: 400 }, (_, row) => 2000 + 20 * row + (row % 3));
    const timeS = forceN.map((_, row) => row / 100);
    const { pulls } = readTrace(
      { forceN, timeS, missing: 0 },
      { layout, context: { calibration: { points: certificate(steep, 0) } } },
    );
    expect(pulls[0]?.warnings.find(({ code }) => code === "READING_NO_REST")?.message).toMatch(/certificate/);
  });
});

describe("the line of a certificate", () => {
  test("R-CELL: any gain, bend and offset is found again from points without error", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 2, noNaN: true }),
        fc.double({ min: -2e-5, max: 2e-5, noNaN: true }),
        fc.double({ min: -60, max: 60, noNaN: true }),
        fc.boolean(),
        (ratio, bend, offsetN, told) => {
          const forces = [500, 1000, 2000, 4000, 6000, 8000];
          const points = forces.map((net) => ({
            appliedN: net * (ratio + bend * net),
            indicatedN: net + offsetN,
          }));
          const fit = fitCell({ points: told ? [...points, { appliedN: 0, indicatedN: offsetN }] : points });
          for (const net of [700, 3000, 7500])
            expect(fit?.correct(net)).toBeCloseTo(net * (ratio + bend * net), 4);
          // The slope is the derivative: checked by a difference over 2 N, exact for a parabola.
          const rise = ((fit?.correct(3001) ?? 0) - (fit?.correct(2999) ?? 0)) / 2;
          expect(fit?.slopeAt(3000)).toBeCloseTo(rise, 9);
        },
      ),
    );
  });

  test("R-CELL: points that scatter by 0.05 % show an offset in 1 of 1,000 certificates without one, and not in 1 of 100", () => {
    const random = createRandom(31);
    const forces = [1000, 2000, 3000, 4000, 5000, 6000, 7000, 8000];
    let found = 0;
    for (let round = 0; round < 2000; round++) {
      const points = forces.map((appliedN) => ({
        appliedN,
        indicatedN: appliedN * (1.01 + 0.0005 * random.normal()),
      }));
      if (fitCell({ points })?.zeroN !== 0) found++;
    }
    // Of 2,000, 2 are expected (Student's t at 99.9 %); more than 9 come once in 20,000 times (Poisson, algebra).
    expect(found).toBeLessThan(10);
  });
});
