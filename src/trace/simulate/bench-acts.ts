import type { Random } from "../../stats/mod.ts";
import type { History } from "./history.ts";
import type { DriveSpec, PullSpec, Restroke, SpecimenSpec } from "./spec.ts";
import type { ForceFall, HoldTruth, TruthPhase } from "./truth.ts";

/** t1 of the settling formula: a tenth of a second, below which no bench can say when its drive stopped. */
const settlingReferenceS = 0.1;
/** Each bedding cycle halves the toe: constructional extension comes mostly in the first loadings (common practice, no published source). */
const toeLeftByCycle = 0.5;
/** Between bedding cycles a little load stays on, so that nothing shakes loose (common practice, no published source). */
const beddingRestPart = 0.03;
/** Hand strokes differ in length and time by about this part (judged by eye from recordings of hand jacks). */
const strokeScatter = 0.12;
/** While the jack is reset, force settles by about this part per tenfold of time (judged by eye from the same). */
const restrokeSettling = 0.005;
/** A slip lets go of 5 % to 35 % of the force: "a few to tens of percent" (common practice, no published source). */
const slipLoss = [0.05, 0.35] as const;
/** After a slip the splice carries at least this part more before it slips again; less would be chatter (our choice). */
const leastRegrip = 0.05;
/** A slip is over within some hundredths of a second: millimetres of stored stretch, run off at a fraction of a metre per second. */
const slipFallS = [0.02, 0.06] as const;
/** One of twelve strands carries about 8 %; its neighbours take most of that over (common practice, no published source). */
const strandLoss = [0.008, 0.03] as const;
/** Strands that go early do so in the last few percent (common practice, no published source). */
const strandBreaksFrom = 0.93;
const strandFallS = 0.004;
/** HMPE's recoil is of the order of 200 m/s, so a metre of it is slack in about 5 ms: two or three of these. */
const collapseTimeConstantS = 0.002;
const collapseS = 0.03;
/** Frame and cell ring for a moment after a break, at under 1 % of its force (judged by eye from recordings of hand jacks). */
const ring = { part: 0.005, hertz: 23, timeConstantS: 0.09, lastsS: 0.8 } as const;

/** Takes the force up to `forceN`, at a constant rate of travel or by hand strokes. */
export function driveTo(
  history: History,
  phase: TruthPhase,
  forceN: number,
  drive: DriveSpec,
  random: Random,
): void {
  if (drive.kind === "steady") {
    history.moveToForce(phase, forceN, Math.max(0, history.distanceTo(forceN)) / drive.speedMPerS, "steady");
    return;
  }
  for (;;) {
    const strokeM = drive.strokeM * about(random, strokeScatter);
    const riseS = drive.riseS * about(random, strokeScatter);
    const next = drive.restrokes?.[history.restrokes.length];
    const resetsFirst = next !== undefined && next.atN < forceN;
    if (history.moveBy(phase, strokeM, riseS, "eased", resetsFirst ? next.atN : forceN)) {
      if (!resetsFirst) return;
      restroke(history, phase, next);
      continue;
    }
    const pauseS = drive.pauseS * about(random, strokeScatter);
    if (pauseS > 0) settle(history, phase, pauseS, drive.pauseLoss / decadesIn(pauseS));
  }
}

/** The ram gives way at the end of its travel; the specimen goes back along its curve and waits for the next stroke. */
function restroke(history: History, phase: TruthPhase, { atN, fallPart, fallS, pauseS }: Restroke): void {
  const { timeS, forceN: fromN } = history;
  const toN = atN * (1 - fallPart);
  history.restrokes.push({ timeS, fromN, toN });
  // After a slip the force may stand below already: then only the pause is seen.
  if (toN < fromN) history.moveToForce(phase, toN, fallS, "giving");
  settle(history, phase, pauseS, restrokeSettling);
}

/**
 * Cycles between a little load and the bedding load; each leaves the specimen longer and its toe shorter. Gives how many
 * there were: none where something would give before the bedding load is reached.
 */
export function bedIn(history: History, spec: PullSpec, firstEventN: number, random: Random): number {
  const { bedding, drive, specimen } = spec;
  if (bedding === undefined || bedding.toN > 0.9 * firstEventN) return 0;
  for (let cycle = 1; cycle <= bedding.cycles; cycle++) {
    driveTo(history, "bedding", bedding.toN, drive, random);
    history.bedIn(specimen.toeM * toeLeftByCycle ** cycle);
    history.moveToForce("bedding", beddingRestPart * bedding.toN, between(random, 0.8, 1.6), "eased");
    history.wait("bedding", between(random, 0.3, 0.9));
  }
  return bedding.cycles;
}

/** Puts the set load on and holds it at constant length. Left out where something would give before it is reached. */
export function setAndHold(
  history: History,
  spec: PullSpec,
  firstEventN: number,
  random: Random,
): HoldTruth | undefined {
  const { set, drive } = spec;
  if (set === undefined || set.forceN > 0.9 * firstEventN) return undefined;
  driveTo(history, "set", set.forceN, drive, random);
  const startS = history.timeS;
  settle(history, "hold", set.holdS, set.settlingPerDecade);
  return {
    startS,
    endS: history.timeS,
    forceN: set.forceN,
    settlingPerDecade: set.settlingPerDecade,
    referenceS: settlingReferenceS,
  };
}

/** The splice slips from where it is, and grips again well below `nextN`, the next event's force. */
export function slip(history: History, nextN: number, random: Random): ForceFall {
  const fromN = history.forceN;
  const toN = Math.min(
    fromN * (1 - between(random, ...slipLoss)),
    nextN - leastRegrip * Math.max(fromN, nextN),
  );
  return fall(history, "slip", toN, between(random, ...slipFallS));
}

/** Takes the force up towards the break, with some strands parting on the way. */
export function breakStrands(
  history: History,
  specimen: SpecimenSpec,
  drive: DriveSpec,
  strandBreaks: ForceFall[],
  random: Random,
): void {
  const parts = Array.from({ length: specimen.strandBreaks ?? 0 }, () =>
    between(random, strandBreaksFrom, 0.995),
  );
  for (const part of parts.sort((a, b) => a - b)) {
    const atN = part * specimen.breakN;
    if (atN <= history.forceN) continue;
    driveTo(history, "ramp", atN, drive, random);
    strandBreaks.push(fall(history, "ramp", atN * (1 - between(random, ...strandLoss)), strandFallS));
  }
}

/** Some strands part at the peak; the rest is taken up again, to somewhat less than the peak. */
export function partHalf(history: History, peakN: number, drive: DriveSpec, random: Random): ForceFall {
  const part = fall(history, "ramp", peakN * between(random, 0.8, 0.88), strandFallS);
  driveTo(history, "ramp", peakN * between(random, 0.92, 0.98), drive, random);
  return part;
}

/** The specimen parts: within some milliseconds nothing is left but what strands that hold still carry. */
export function collapse(history: History, leftN = 0): void {
  const lostN = history.forceN - leftN;
  history.lose(
    "collapse",
    collapseS,
    leftN,
    (sinceS) => leftN + lostN * Math.exp(-sinceS / collapseTimeConstantS),
  );
}

/** Strands that held carry on for a while; then the operator lets off. */
export function letStrandsGo(history: History, random: Random): void {
  settle(history, "tail", between(random, 1.5, 5), 0.01);
  history.moveToForce("release", 0, between(random, 0.8, 2), "eased");
}

/** A load by hand in the middle of a quiet stretch. */
export function handleWithin(
  history: History,
  phase: TruthPhase,
  durationS: number,
  { forceN, lastsS }: { readonly forceN: number; readonly lastsS: number },
): void {
  const quietS = (durationS - lastsS) / 2;
  history.handle(phase, quietS, () => 0);
  history.handle("handling", lastsS, bump(forceN, lastsS));
  history.handle(phase, quietS, () => 0);
}

/** The tail slips for the last time, and runs out unevenly to nothing while the drive goes on. */
export function drawOut(history: History, random: Random): void {
  fall(history, "collapse", history.forceN * between(random, 0.45, 0.7), between(random, ...slipFallS));
  const fromN = history.forceN;
  const lastsS = between(random, 0.5, 1.6);
  const stutters = between(random, 3, 6);
  history.yieldBy("collapse", between(random, 0.004, 0.012), lastsS, 0, (sinceS) => {
    const left = 1 - Math.min(1, sinceS / lastsS);
    return fromN * left ** 1.3 * (1 - 0.12 * Math.sin(Math.PI * stutters * (1 - left)) ** 2);
  });
}

/** The bench's hardware bends: the drive goes on while force sags. */
export function giveWay(history: History, random: Random): void {
  const fromN = history.forceN;
  const sag = between(random, 0.08, 0.14);
  const lastsS = between(random, 1.2, 2.2);
  history.yieldBy("release", between(random, 0.006, 0.015), lastsS, fromN * (1 - sag), (sinceS) => {
    return fromN * (1 - sag * (sinceS / lastsS) ** 2);
  });
}

/** The operator hesitates, then lets the pressure off smoothly. */
export function letOff(history: History, random: Random): void {
  settle(history, "release", between(random, 0.4, 1), 0.01);
  history.moveToForce("release", 0, between(random, 1.5, 3), "eased");
}

/** What the logger still sees of an unloaded bench: the ring of a break, and now and then a hand on the line. */
export function tail(history: History, brokeFromN: number, durationS: number, random: Random): void {
  let leftS = durationS;
  if (brokeFromN > 0) {
    const lastsS = Math.min(leftS, ring.lastsS);
    history.handle("tail", lastsS, (sinceS) => {
      const fading = Math.exp(-sinceS / ring.timeConstantS);
      return -ring.part * brokeFromN * fading * Math.cos(2 * Math.PI * ring.hertz * sinceS);
    });
    leftS -= lastsS;
  }
  while (leftS > 2 && random.uniform() < 0.5) {
    const quietS = between(random, 0.4, leftS / 2);
    history.handle("tail", quietS, () => 0);
    const bumpS = between(random, 0.15, 0.5);
    history.handle("tail", bumpS, bump(between(random, 5, 40), bumpS));
    leftS -= quietS + bumpS;
  }
  history.handle("tail", Math.max(0, leftS), () => 0);
}

/** A hand on the line: force swells and goes again. */
export function bump(heightN: number, durationS: number): (sinceS: number) => number {
  return (sinceS) => heightN * Math.sin((Math.PI * sinceS) / durationS) ** 2;
}

/** A number drawn evenly from a range. */
export function between(random: Random, lowest: number, highest: number): number {
  return lowest + (highest - lowest) * random.uniform();
}

/** A factor about 1, never further from it than two standard deviations. */
function about(random: Random, scatter: number): number {
  return 1 + scatter * Math.min(2, Math.max(-2, random.normal()));
}

/** Force settles at constant length: F(t) = F1[1 − r log10(1 + t/t1)], which for t well above t1 is r per decade. */
function settle(history: History, phase: TruthPhase, durationS: number, perDecade: number): void {
  const firstN = history.forceN;
  const forceAfter = (sinceS: number): number => firstN * (1 - perDecade * decadesIn(sinceS));
  history.lose(phase, durationS, forceAfter(durationS), forceAfter);
}

function decadesIn(durationS: number): number {
  return Math.log10(1 + durationS / settlingReferenceS);
}

/** Force falls to `toN`, easing in and out, too fast for the drive to follow. */
function fall(history: History, phase: TruthPhase, toN: number, durationS: number): ForceFall {
  const { timeS, forceN: fromN } = history;
  history.lose(phase, durationS, toN, (sinceS) => {
    return toN + ((fromN - toN) * (1 + Math.cos((Math.PI * sinceS) / durationS))) / 2;
  });
  return { timeS, fromN, toN };
}
