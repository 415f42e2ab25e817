import type { Random } from "../../stats/mod.ts";
import {
  bedIn,
  breakStrands,
  collapse,
  drawOut,
  driveTo,
  giveWay,
  handleWithin,
  letOff,
  letStrandsGo,
  partHalf,
  setAndHold,
  slip,
  tail,
} from "./bench-acts.ts";
import { History } from "./history.ts";
import type { PullSpec, SpecimenSpec } from "./spec.ts";
import type { ForceFall, PullEnding, PullTruth } from "./truth.ts";

/** A pull as played: its stretches of time, and the truth but for the logger's rest level. */
export type PlayedPull = {
  readonly history: History;
  readonly truth: Omit<PullTruth, "restN" | "phases">;
};

/**
 * Plays one pull: what the specimen's force and the drive's position do from the first rest to the last. The pull ends by
 * whichever comes first: the splice slips out, the rope breaks, the operator stops, the bench's hardware gives way.
 */
export function playPull(spec: PullSpec, startS: number, random: Random): PlayedPull {
  const { specimen, drive } = spec;
  const history = new History({
    timeS: startS,
    slackM: specimen.slackM,
    curve: { stiffnessNPerM: specimen.stiffnessNPerM, toeM: specimen.toeM },
  });
  const ceilingN = Math.min(specimen.breakN, spec.stopAtN ?? Infinity, spec.yieldAtN ?? Infinity);
  const slipsAt = slipLevels(specimen, random);
  const firstEventN = Math.min(ceilingN, slipsAt[0] ?? Infinity);

  if (spec.tug === undefined) history.wait("rest", spec.restS);
  else handleWithin(history, "rest", spec.restS, spec.tug);
  driveTo(history, "slack", 0, drive, random);
  const beddingCycles = bedIn(history, spec, firstEventN, random);
  const hold = setAndHold(history, spec, firstEventN, random);

  const slips: ForceFall[] = [];
  const strandBreaks: ForceFall[] = [];
  const stoppedAt = slipsAt.findIndex((levelN) => levelN >= ceilingN);
  const slipsBelow = stoppedAt === -1 ? slipsAt : slipsAt.slice(0, stoppedAt);
  for (const [index, levelN] of slipsBelow.entries()) {
    driveTo(history, "ramp", levelN, drive, random);
    const nextN = slipsAt[index + 1];
    if (nextN !== undefined) slips.push(slip(history, Math.min(nextN, ceilingN), random));
  }
  const outcome = outcomeOf(spec, ceilingN, slipsAt.length > 0 && stoppedAt === -1);
  if (outcome === "broke") breakStrands(history, specimen, drive, strandBreaks, random);
  if (outcome !== "slipped") driveTo(history, "ramp", ceilingN, drive, random);
  if (outcome === "broke" && specimen.partsInTwoSteps === true) {
    strandBreaks.push(partHalf(history, ceilingN, drive, random));
  }

  const endingTimeS = history.timeS;
  const endingFromN = history.forceN;
  let residualN: number | undefined;
  if (outcome === "broke") {
    collapse(history, endingFromN * (specimen.strandsHoldPart ?? 0));
    if (history.forceN > 0) {
      residualN = history.forceN;
      letStrandsGo(history, random);
    }
  } else if (outcome === "slipped") drawOut(history, random);
  else {
    if (outcome === "void") giveWay(history, random);
    letOff(history, random);
  }
  const endS = history.timeS;
  if (spec.handledAfter === undefined)
    tail(history, outcome === "broke" && residualN === undefined ? endingFromN : 0, spec.tailS, random);
  else handleWithin(history, "tail", spec.tailS, spec.handledAfter);

  return {
    history,
    truth: {
      startS: history.loadedAtS ?? startS,
      endS,
      peakN: history.peakN,
      peakTimeS: history.peakTimeS,
      outcome,
      endingTimeS,
      endingFromN,
      slips,
      strandBreaks,
      restrokes: history.restrokes,
      beddingCycles,
      ...(residualN === undefined ? {} : { residualN }),
      ...(hold === undefined ? {} : { hold }),
      workToPeakJ: history.workToPeakJ,
    },
  };
}

function outcomeOf(spec: PullSpec, ceilingN: number, slipsOut: boolean): PullEnding {
  if (slipsOut) return "slipped";
  if (ceilingN === spec.specimen.breakN) return "broke";
  return ceilingN === spec.stopAtN ? "stopped" : "void";
}

/**
 * The forces at which the splice slips, in order: upward from the first to the strength, which is reached exactly once,
 * then unevenly downward as the tail shortens.
 */
function slipLevels({ slip: slipping }: SpecimenSpec, random: Random): number[] {
  if (slipping === undefined) return [];
  const { strengthN, firstPart, teeth } = slipping;
  const highest = Math.floor(teeth * 0.7 * random.uniform());
  const levels: number[] = [];
  let part = firstPart;
  for (let index = 0; index < teeth; index++) {
    if (index === highest) part = 1;
    else if (index < highest) part = Math.min(0.99, firstPart + ((1 - firstPart) * index) / highest);
    else part = Math.min(0.99, Math.max(0.6, part * (0.98 + 0.03 * random.normal())));
    levels.push(part * strengthN);
  }
  return levels;
}
