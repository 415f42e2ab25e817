import { createRandom, type Random } from "../../stats/mod.ts";
import { fromForceUnit } from "../../units/mod.ts";
import type { ReadingContext } from "../calibration.ts";
import type { Layout } from "../layout.ts";
import { between } from "./bench-acts.ts";
import { chance, oneOf } from "./chances.ts";
import { type LoggerDialect, layoutOf } from "./dialect.ts";
import { drawCell } from "./draw-cell.ts";
import { drawDialect } from "./draw-dialect.ts";
import { drawLogger, drawRate, lengthOf } from "./draw-logger.ts";
import { type Bench, drawBench, drawPull } from "./draw-pull.ts";
import { type FaultKind, faultKinds, goTogether } from "./faults.ts";
import { findFaults } from "./find-faults.ts";
import { type DrawnPull, eventsOf, type RecordingTruth } from "./recording-truth.ts";
import { restAt, type SimulatedRecording, simulateRecording } from "./simulate-recording.ts";
import type { LoggerSpec, PullSpec, RecordingSpec } from "./spec.ts";
import {
  addSpikes,
  batchStamps,
  dropRows,
  loseNear,
  loseValues,
  type Rows,
  repeatStamps,
  stepBack,
} from "./spoil.ts";
import { cutEnd, cutStart, partByPause, type Taken, takeAll } from "./take-down.ts";
import type { PullTruth } from "./truth.ts";
import { writeRecording } from "./write-recording.ts";

/** A recording from the whole space of what a bench may hand in: the file's bytes, and everything true about it. */
export type DrawnRecording = {
  readonly bytes: Uint8Array;
  /** How the file is read right; what its own headings do not say of it, a user would be asked. */
  readonly layout: Layout;
  readonly dialect: LoggerDialect;
  /** What the bench's owner knows of the load cell. */
  readonly context: ReadingContext;
  readonly truth: RecordingTruth;
  /** The force on the cell at every instant that was sampled, also where the row was lost or spoilt on its way. */
  readonly trueForce: { readonly timeS: Float64Array; readonly forceN: Float64Array };
};

/**
 * Draws one recording by a seed: bench, pulls, logger, file and faults. Any seed will do, and the same one gives the same
 * bytes. docs/accuracy.md states what is drawn how often; the numbers stand beside each draw and are our choice: a
 * small bench's pulls, most of them clean or with one fault.
 *
 * @example
 * const { bytes, layout, truth } = drawRecording(7);
 * truth.pulls[0]?.outcome // "broke"
 */
export function drawRecording(seed: number): DrawnRecording {
  const random = createRandom(seed);
  const bench = drawBench(random);
  const parted = drawParting(random, bench);
  const faults = drawFaults(random);
  const pulls = drawPulls(random, bench, parted, faults);
  const longestS = bench.pullS * 3;
  const gapS =
    parted === "rest" ? Math.max(25, longestS) * between(random, 1, bench.style === "day" ? 12 : 2) : 12;
  const lengthS = lengthOf(pulls, bench, gapS);
  const rateHz = drawRate(random, bench, lengthS);
  const peakN = 1.08 * bench.breakN;
  const handlingN = peakN * between(random, 0, 0.06);
  const played = { pulls, gapS, handlingN };
  const seedOfBench = random.below(2 ** 31);
  let sound = drawLogger(random, { rateHz, peakN, lengthS, faults });
  if (faults.includes("clipped")) {
    // The cell is chosen too small for the highest pull, which is known once it has been pulled.
    const { truth } = simulate({ ...played, logger: sound }, seedOfBench);
    const highestN = Math.max(...truth.map((pull) => pull.peakN + pull.restN));
    sound = { ...sound, capacityN: highestN * between(random, 0.75, 0.96) };
  }
  const cell = drawCell(random, sound.capacityN, { capacityKnown: faults.includes("unit-label") });
  const logger = cell.error === undefined ? sound : { ...sound, cellError: cell.error };
  const samples = simulate({ ...played, logger }, seedOfBench);
  return writeDown(random, { seed, samples, pulls, logger, parted, faults, context: cell.context });
}

type Parting = RecordingTruth["parted"];

/** Three in four recordings hold one pull; a day's log holds 2 to 6, others 2 to 4. */
function drawParting(random: Random, bench: Bench): Parting {
  if (bench.style === "day") return "rest";
  if (bench.style === "burst") return chance(random, 0.15) ? "pause" : "one pull";
  return oneOf<Parting>(random, [
    [78, "one pull"],
    [11, "rest"],
    [6, "pause"],
    [5, "column"],
  ]);
}

/** 55 % of recordings get no fault, 33 % one, 12 % two. */
function drawFaults(random: Random): FaultKind[] {
  const wanted = oneOf(random, [
    [55, 0],
    [33, 1],
    [12, 2],
  ]);
  const faults: FaultKind[] = [];
  for (const kind of random.shuffle(faultKinds)) {
    if (faults.length === wanted) break;
    if (faults.every((other) => goTogether(kind, other))) faults.push(kind);
  }
  return faults;
}

function drawPulls(
  random: Random,
  bench: Bench,
  parted: Parting,
  faults: readonly FaultKind[],
): [PullSpec, ...PullSpec[]] {
  const more = parted === "one pull" ? 0 : 1 + random.below(bench.style === "day" ? 5 : 3);
  const first = drawPull(random, bench);
  if (!faults.includes("starts-loaded") && !faults.includes("position"))
    return [first, ...Array.from({ length: more }, () => drawPull(random, bench))];
  // A record that starts on the ramp shows nothing of what came before it.
  const { bedding: _, set: __, tug: ___, ...plain } = first;
  if (!faults.includes("position"))
    return [plain, ...Array.from({ length: more }, () => drawPull(random, bench))];
  // A ram that goes back with the load runs as the force does, and nobody could tell them apart: it is no stop.
  const { stopAtN: ____, ...toTheEnd } = plain;
  return [toTheEnd];
}

function simulate(spec: RecordingSpec, seed: number): SimulatedRecording {
  const answer = simulateRecording(spec, seed);
  // What is drawn is always sound: a refusal is a mistake in the program.
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
  return answer.value;
}

/** From samples and truth to the file, with what goes wrong on the way. */
function writeDown(
  random: Random,
  made: {
    readonly seed: number;
    readonly samples: SimulatedRecording;
    readonly pulls: readonly PullSpec[];
    readonly logger: LoggerSpec;
    readonly parted: Parting;
    readonly faults: readonly FaultKind[];
    readonly context: ReadingContext;
  },
): DrawnRecording {
  const { seed, samples, logger, parted, faults } = made;
  const has = (kind: FaultKind) => faults.includes(kind);
  const intervalS = 1 / logger.rateHz;
  const limitN = logger.capacityN - (2 * logger.capacityN) / 2 ** logger.bits;
  const rests = samples.truth.map(({ startS, endS }) => ({
    beforeN: restAt(logger, startS),
    afterN: restAt(logger, endS),
  }));
  const cellSlope = 1 + (logger.cellError?.slope ?? 0);
  const over = samples.truth.map(
    (pull) => Math.max(0, pull.peakN * cellSlope + pull.restN - limitN) / pull.peakN,
  );
  const pulls = samples.truth.map(
    (pull, index): DrawnPull => ({
      ...pull,
      drive: made.pulls[index]?.drive.kind ?? "steady",
      clipped: clippedOf(samples, pull, limitN),
      startCut: false,
      endCut: false,
    }),
  );
  let taken: Taken = takeAll(samples, pulls);
  if (has("starts-loaded")) taken = cutStart(taken, between(random, 0.1, 0.4));
  if (has("ends-early")) taken = cutEnd(taken, between(random, 0.6, 0.97));
  if (parted === "pause" || parted === "column") taken = partByPause(taken, random, parted, intervalS);

  const netN = Math.min(...pulls.map((pull) => pull.peakN));
  const noiseN = logger.noiseN / Math.sqrt(logger.averagedSamples ?? 1);
  const cellStepN = (2 * logger.capacityN) / 2 ** logger.bits;
  const known = {
    intervalS,
    leastSpikeN: Math.max(25 * noiseN, 5 * cellStepN, 0.03 * netN),
    eventsS: taken.pulls.flatMap(eventsOf),
  };
  let rows: Rows = taken.rows;
  let spiked: number[] = [];
  let stepped: number[] = [];
  let batchS = 0;
  if (has("clock-gap")) rows = dropRows(rows, random, known);
  if (has("spikes")) ({ rows, spiked } = addSpikes(rows, random, known));
  if (has("missing")) ({ rows } = loseValues(rows, random, known));
  if (has("missing-near-peak"))
    ({ rows } = loseNear(rows, random, highestRow(rows, random.shuffle(taken.pulls)[0])));
  if (has("clock-repeated") || (has("clock-batched") && logger.rateHz < 50))
    rows = repeatStamps(rows, random);
  else if (has("clock-batched")) ({ rows, batchS } = batchStamps(rows, random, intervalS));
  if (has("clock-backward")) ({ rows, stepped } = stepBack(rows, random, intervalS));

  const inverted = has("inverted");
  const isForce = !has("position");
  const dialect = drawDialect(random, {
    rateHz: logger.rateHz,
    resolutionN: Math.max(Math.min(Math.max(cellStepN, noiseN) / 3, 1e-4 * netN), 1e-6 * netN),
    displacement: isForce && rows.displacementM !== undefined,
    segments: parted === "column",
    // Pounds-force are told from kilonewtons by the cell's capacity; from newtons nothing would tell them.
    ...(has("unit-label") ? { unit: "kN" } : {}),
  });
  const force = layoutOf(dialect).force;
  const decimals = dialect.columns.find((column) => column.holds === "force")?.decimals ?? 0;
  const { displacementM, ...others } = rows;
  // A position of some hundred millimetres stands where so many kilonewtons, or pounds, are named.
  const forceN = isForce
    ? rows.forceN
    : (displacementM ?? new Float64Array()).map((metres) => fromForceUnit(1000 * metres, force.unit));
  const unitLabel = has("unit-label");
  // Pounds-force in a column that says otherwise: every number is what the force was in pounds.
  const factor = unitLabel ? fromForceUnit(1, force.unit) / fromForceUnit(1, "lbf") : 1;
  const written: Rows = {
    ...others,
    forceN: forceN.map((newton) => newton * factor * (inverted ? -1 : 1)),
    ...(isForce && displacementM !== undefined ? { displacementM } : {}),
  };
  const startedAt = startOf(random);
  const truth: Omit<RecordingTruth, "faults"> = {
    seed,
    pulls: taken.pulls,
    logger: {
      rateHz: logger.rateHz,
      noiseN,
      stepN: Math.max(cellStepN, fromForceUnit(10 ** -decimals, force.unit)),
      capacityN: logger.capacityN,
      averagedSamples: logger.averagedSamples ?? 1,
      batchS,
    },
    parted,
    isForce,
  };
  const clippedPart = Math.max(...over);
  return {
    bytes: writeRecording(written, dialect, startedAt),
    layout: { ...layoutOf(dialect), force: { ...force, inverted } },
    dialect,
    context: made.context,
    trueForce: { timeS: taken.rows.timeS, forceN: taken.trueForceN },
    truth: {
      ...truth,
      faults: findFaults({ ...rows, timeS: asStamped(rows.timeS, dialect, startedAt) }, truth, {
        spiked,
        stepped,
        inverted,
        unitLabel,
        rests,
        clippedPart,
      }),
    },
  };
}

/** Times as the file will say them, counted from its first row's second: what rounds alike has one stamp. */
function asStamped(timeS: Float64Array, dialect: LoggerDialect, startedAt: string): Float64Array {
  const time = dialect.columns.find((column) => column.holds === "time");
  if (time === undefined) return timeS;
  const { format, decimals } = time;
  const startS = Date.parse(startedAt) / 1000;
  switch (format) {
    case "elapsed-s":
      return timeS.map((atS) => Number(atS.toFixed(decimals)));
    case "epoch-s":
      return timeS.map((atS) => Number((atS + startS).toFixed(decimals)) - startS);
    case "date-time":
    case "time-of-day":
      // These are cut at the millisecond, not rounded.
      return timeS.map((atS) => Math.floor(startS * 1000 + atS * 1000) / 1000 - startS);
    default: {
      const perSecond = format.endsWith("-us") ? 1e6 : 1e3;
      const start = format.startsWith("epoch-") ? startS * perSecond : 0;
      return timeS.map((atS) => (Number((atS * perSecond + start).toFixed(decimals)) - start) / perSecond);
    }
  }
}

/** How plainly the samples of a pull show that they were cut off. */
function clippedOf(
  { timeS, forceN }: SimulatedRecording,
  { startS, endS }: PullTruth,
  limitN: number,
): DrawnPull["clipped"] {
  let cut = 0;
  for (let row = 0; row < timeS.length; row++) {
    const atS = timeS[row] as number;
    if (atS >= startS && atS <= endS && (forceN[row] as number) >= limitN * (1 - 1e-9)) cut++;
  }
  return cut === 0 ? "no" : cut < 3 ? "barely" : "plainly";
}

/** The row of a pull's highest sample. */
function highestRow({ timeS, forceN }: Rows, pull: DrawnPull | undefined): number {
  let highest = 1;
  for (let row = 0; row < forceN.length; row++) {
    const atS = timeS[row] as number;
    if (pull === undefined || atS < pull.startS || atS > pull.endS) continue;
    if (!((forceN[row] as number) <= (forceN[highest] as number))) highest = row;
  }
  return highest;
}

/** Some moment of 2025, on a whole second. */
function startOf(random: Random): string {
  return new Date(Date.UTC(2025, 0, 1) + 1000 * random.below(365 * 86_400)).toISOString();
}
