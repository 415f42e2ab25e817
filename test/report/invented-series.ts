import { judgeSeries, type PullToJudge } from "../../src/findings/mod.ts";
import type { PullDetails, ReportInput } from "../../src/report/mod.ts";
import {
  benchFields,
  hardwareFields,
  loadCellFields,
  type Outcome,
  seriesFields,
} from "../../src/series/mod.ts";
import { recipeFields, ropeFields } from "../../src/splice/mod.ts";
import { createRandom } from "../../src/stats/mod.ts";
import type { PullReading, TraceWindow } from "../../src/trace/mod.ts";

/**
 * A report's whole input, INVENTED for the tests: no such rope was rated, no such loop was pulled, and the curves are
 * drawn by a formula. It holds one of each kind of pull, so that every part of the page has something to show.
 */
export function inventedReport(): ReportInput {
  const ropes = [
    ropeFields.parse({
      name: "6 mm braid, grey",
      nominalDiameterMm: 6,
      massPerLengthGPerM: 21.5,
      ratedStrengthN: 34_000,
      ratedStrengthBasis: "mean",
      ratedStrengthEnds: "spliced",
      ratedStrengthSource: "invented catalogue, page 12",
      coating: "polyurethane, light",
    }),
    ropeFields.parse({
      name: "8 mm braid, grey",
      nominalDiameterMm: 8,
      massPerLengthGPerM: 37,
      ratedStrengthN: 59_000,
      ratedStrengthBasis: "mean",
      ratedStrengthEnds: "spliced",
      ratedStrengthSource: "invented catalogue, page 12",
      coating: "polyurethane, light",
    }),
  ];
  const buries = [20, 30, 45, 60];
  const series = {
    id: "ser-invented",
    ...seriesFields.parse({
      title: "How short may the bury of a crossed-tail loop be in coated 12-strand?",
      question:
        "The loft buries 60 d a side because everybody does. It takes rope and time. From which bury on does the rope break instead of the tails drawing out?\n\nTwo sizes, since a thumb rule in diameters ought to hold for both.",
      method:
        "All loops by one hand from one spool a size, 500 mm inside length, tapered in pairs over 15 d, no lock stitch. Set at 15 % for 30 s, then pumped to the end in about 40 s.",
      conclusions:
        "We stay at 60 d for anything that leaves the loft, and will try 45 d with a lock stitch next.",
      tester: "Invented Loft, for the tests",
      factors: [
        { name: "bury", unit: "d", levels: buries },
        { name: "diameter", unit: "mm", levels: [6, 8] },
      ],
      pullsPerCell: 4,
      simulated: true,
    }),
  };
  const random = createRandom(81);
  const pulls: PullToJudge[] = [];
  const traces: Record<string, TraceWindow> = {};
  const readings: Record<string, PullReading> = {};
  const pullDetails: Record<string, PullDetails> = {};
  let order = 0;
  for (const rope of ropes)
    for (const bury of buries)
      for (let copy = 0; copy < 4; copy++) {
        order++;
        const pullId = `pull-${String(order).padStart(2, "0")}`;
        const rated = rope.ratedStrengthN ?? 0;
        const breaks = 2 * rated * (0.82 + 0.035 * random.normal());
        const slips = 2 * rated * (0.16 + 0.0145 * bury + 0.07 * random.normal());
        const end = Math.min(breaks, slips);
        const outcome = outcomeOf(order, slips < breaks, random.uniform());
        const strengthN = Math.round(end / 10) * 10;
        const void_ = outcome?.kind === "void";
        pulls.push({
          pullId,
          order,
          ...(order === 31
            ? {}
            : { specimenLabel: `${rope.nominalDiameterMm === 6 ? "A" : "B"}${bury}-${copy + 1}` }),
          levels: order === 31 ? {} : { bury, diameter: rope.nominalDiameterMm },
          ropeName: rope.name,
          recipeName: "crossed-tail loop",
          nominalDiameterMm: rope.nominalDiameterMm,
          ratedStrengthN: rated,
          ratedStrengthBasis: rope.ratedStrengthBasis,
          ratedStrengthEnds: rope.ratedStrengthEnds,
          ratedStrengthSource: rope.ratedStrengthSource,
          legs: 2,
          maker: "one hand",
          spoolName: `spool ${rope.nominalDiameterMm}`,
          buryFullMm: bury * rope.nominalDiameterMm,
          buryTaperMm: 15 * rope.nominalDiameterMm,
          ...(outcome === undefined ? {} : { outcome }),
          strengthN: void_ ? 21_300 : strengthN,
          strengthSource: order === 20 ? "typed" : "reading",
          loadingRateNPerS: 1100 + 200 * random.uniform(),
          warnings:
            order === 9
              ? [
                  {
                    code: "READING_NO_REST",
                    message: "The file shows no rest, so nothing was taken off as zero.",
                  },
                ]
              : [],
        });
        if (order === 20) continue;
        const drawn = inventedCurve(void_ ? 21_300 : strengthN, outcome?.kind === "slipped", random.uniform);
        traces[pullId] = drawn.window;
        readings[pullId] = drawn.reading;
        pullDetails[pullId] = {
          benchName: "the bench in the shed",
          pulledAt: "2024-05-04T10:00:00Z",
          recordingSha256: String(order % 10).repeat(64),
          recordingPull: 1,
          ...(order === 5
            ? { notes: "Heard a tick at about half load; nothing to see on the loop afterwards." }
            : {}),
        };
      }
  return {
    series,
    findings: judgeSeries(series, pulls),
    ropes,
    recipes: [
      recipeFields.parse({
        name: "crossed-tail loop",
        kind: "crossed-tail loop",
        legs: 2,
        buryTaperDiameters: 15,
      }),
    ],
    benches: [
      {
        ...benchFields.parse({ name: "the bench in the shed", drive: "hand pump" }),
        loadCell: loadCellFields.parse({
          name: "100 kN cell",
          capacityN: 100_000,
          resolutionN: 20,
          calibratedOn: "2023-11-20",
          calibrationNote: "against a reference cell, 20 to 100 %, within 0.5 %",
        }),
        near: hardwareFields.parse({ name: "25 mm pin", form: "pin", diameterMm: 25, ownStrengthN: 250_000 }),
        far: hardwareFields.parse({ name: "bow shackle", form: "shackle", diameterMm: 28 }),
      },
    ],
    traces,
    readings,
    pullDetails,
    recordings: Array.from({ length: 4 }, (_, index) => ({
      fileName: `day-${index + 1}.csv`,
      sha256: `${index}`.repeat(64),
      sizeBytes: 181_240 + index,
    })),
    pictures: [
      {
        caption: "A20-1 after the pull: tails drawn out, glazed",
        about: "A20-1",
        // One grey pixel.
        dataUrl:
          "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mO4dOn6fwAIsAOQcJkc8QAAAABJRU5ErkJggg==",
      },
    ],
    methodNotes: [
      {
        name: "tolerance-factor",
        answers: "How many standard deviations below the mean a lower tolerance bound lies.",
        formula: "k = t(confidence; n − 1, z(content)·√n) / √n, t the quantile of the non-central t",
        source: "ISO 16269-6:2014",
      },
    ],
    revision: { number: 2, publishedAt: "2024-06-01T09:30:00Z" },
    program: { name: "Bitter End", version: "0.0.0-test" },
  };
}

function outcomeOf(order: number, slipsFirst: boolean, chance: number): Outcome | undefined {
  if (order === 14) return { kind: "stopped", reason: "pump at its limit" };
  if (order === 22) return { kind: "void", reason: "the far shackle’s pin bent first" };
  if (order === 27) return undefined;
  if (slipsFirst) return { kind: "slipped", place: "bury" };
  return { kind: "broke", place: chance < 0.6 ? "taper end" : chance < 0.9 ? "crossing" : "" };
}

/** A set, a hold that settles, a ramp with saw-teeth where it slips, and a collapse: by formula, with a little noise. */
function inventedCurve(peakN: number, slips: boolean, uniform: () => number) {
  const x: number[] = [];
  const lowN: number[] = [];
  const highN: number[] = [];
  const rest = 60;
  const drops: { row: number; timeS: number; fromN: number; toN: number }[] = [];
  const set = peakN * 0.15;
  for (let step = 0; step < 400; step++) {
    const time = step * 0.2;
    let force = rest;
    if (time > 3 && time <= 6) force += (set * (time - 3)) / 3;
    else if (time > 6 && time <= 30) force += set * (1 - 0.05 * Math.log10(1 + (time - 6) * 4));
    else if (time > 30 && time <= 70) {
      const share = (time - 30) / 40;
      force += set * 0.9 + (peakN - set * 0.9) * share ** 0.85;
      if (slips && share > 0.7) force -= peakN * 0.06 * ((share * 23) % 1);
    } else if (time > 70)
      force += slips ? peakN * 0.12 * Math.exp(-(time - 70)) : peakN * 0.01 * Math.exp(70 - time);
    const noise = 40 + 30 * uniform();
    x.push(time);
    lowN.push(force - noise);
    highN.push(force + noise);
  }
  const peakRow = highN.indexOf(Math.max(...highN));
  if (slips)
    for (const share of [0.7391, 0.8696])
      drops.push({
        row: 1,
        timeS: 30 + 40 * share,
        fromN: peakN * (share ** 0.85 * 0.86 + 0.135),
        toN: peakN * (share ** 0.85 * 0.86 + 0.075),
      });
  const window: TraceWindow = { fromRow: 1, toRow: 40_000, x, lowN, highN, xIsTime: true };
  const reading: PullReading = {
    index: 1,
    startRow: 1500,
    endRow: 36_000,
    startS: 3,
    endS: 71,
    peakN: highN[peakRow] ?? 0,
    peakRow: peakRow * 100,
    peakTimeS: x[peakRow] ?? 0,
    restN: rest,
    netPeakN: peakN,
    drops,
    end: slips ? "decline" : "collapse",
    noiseN: 30,
    warnings: [],
  };
  return { window, reading };
}
