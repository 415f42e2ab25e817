import type { Random } from "../../stats/mod.ts";
import { between } from "./bench-acts.ts";
import { chance, logBetween, oneOf } from "./chances.ts";
import type { DriveSpec, PullSpec, Restroke, SpecimenSpec } from "./spec.ts";

/** What all pulls of one recording share: the bench, the rope and how it is worked. */
export type Bench = {
  /** "burst": a fast powered pull of some seconds; "day": a slow logger left running; else an ordinary pull. */
  readonly style: "pull" | "burst" | "day";
  readonly byHand: boolean;
  readonly breakN: number;
  /** How long a steady pull takes, in seconds. */
  readonly pullS: number;
  /** From no force to the break, in metres. */
  readonly stretchM: number;
};

/** Two in five benches have a hand pump; pulls take 4 s to 60 s, breaks are 2 kN to 80 kN: small benches (our choice). */
export function drawBench(random: Random): Bench {
  const style = oneOf(random, [
    [80, "pull"],
    [13, "burst"],
    [7, "day"],
  ] as const);
  return {
    style,
    byHand: style !== "burst" && chance(random, 0.4),
    breakN: logBetween(random, 2000, 80_000),
    pullS: style === "burst" ? between(random, 1.5, 6) : logBetween(random, style === "day" ? 12 : 4, 60),
    stretchM: between(random, 0.04, 0.12),
  };
}

/** One pull on a bench, with one of the ends that a splice can have. */
export function drawPull(random: Random, bench: Bench): PullSpec {
  const breakN = bench.breakN * between(random, 0.92, 1.08);
  const stiffnessNPerM = breakN / bench.stretchM;
  const toeM = bench.stretchM * between(random, 0.05, 0.5);
  const wayM = bench.stretchM + 1.5 * toeM;
  const ending = oneOf(random, [
    [40, "broke"],
    [8, "strands hold"],
    [14, "slipped and broke"],
    [20, "slipped"],
    [18, "stopped"],
  ] as const);
  const strengthN =
    breakN * (ending === "slipped" ? between(random, 0.65, 0.95) : between(random, 1.02, 1.2));
  const slips = ending === "slipped" || ending === "slipped and broke";
  const specimen: SpecimenSpec = {
    breakN,
    stiffnessNPerM,
    toeM,
    slackM: between(random, 0, 0.03),
    ...(slips
      ? {
          slip: {
            strengthN,
            firstPart: between(random, 0.6, ending === "slipped" ? 1 : 0.9),
            teeth: 1 + random.below(ending === "slipped" ? 10 : 6),
          },
        }
      : {}),
    ...(ending === "broke" && chance(random, 0.3) ? { strandBreaks: 1 + random.below(3) } : {}),
    ...(ending === "broke" && chance(random, 0.1) ? { partsInTwoSteps: true } : {}),
    ...(ending === "strands hold" ? { strandsHoldPart: between(random, 0.06, 0.3) } : {}),
  };
  const lowestN = slips ? Math.min(breakN, 0.6 * strengthN) : breakN;
  const stopAtN = ending === "stopped" ? breakN * between(random, 0.65, 0.95) : undefined;
  const peakN = Math.min(breakN, slips ? strengthN : breakN, stopAtN ?? breakN);
  const calm = bench.style !== "burst";
  const holdS = calm && chance(random, 0.3) ? logBetween(random, 8, 100) : undefined;
  const setN = breakN * between(random, 0.1, 0.3);
  const slow = bench.style === "day" ? 4 : 1;
  const restS = calm ? slow * between(random, 2, 8) : between(random, 0.3, 1.5);
  const tailS = calm ? slow * between(random, 3, 10) : between(random, 0.5, 2);
  const handled = (chances: number, withinS: number) =>
    chance(random, chances) && withinS > 2
      ? { forceN: peakN * logBetween(random, 0.004, 0.08), lastsS: withinS * between(random, 0.2, 0.4) }
      : undefined;
  const tug = handled(0.12, restS);
  const handledAfter = handled(0.2, tailS);
  return {
    specimen,
    drive: bench.byHand
      ? drawStrokes(random, bench, {
          wayM,
          peakN,
          ceilingN: Math.min(breakN, stopAtN ?? breakN),
          stiffnessNPerM,
        })
      : { kind: "steady", speedMPerS: wayM / (bench.pullS * between(random, 0.9, 1.1)) },
    ...(calm && chance(random, 0.2)
      ? { bedding: { cycles: 2 + random.below(4), toN: lowestN * between(random, 0.2, 0.5) } }
      : {}),
    ...(holdS === undefined
      ? {}
      : { set: { forceN: setN, holdS, settlingPerDecade: between(random, 0.008, 0.03) } }),
    ...(stopAtN === undefined ? {} : { stopAtN }),
    ...(tug === undefined ? {} : { tug }),
    ...(handledAfter === undefined ? {} : { handledAfter }),
    restS,
    tailS,
  };
}

/** A hand pump: 8 to 30 strokes to the top, and in one of three pulls the jack is reset once to three times. */
function drawStrokes(
  random: Random,
  bench: Bench,
  {
    wayM,
    peakN,
    ceilingN,
    stiffnessNPerM,
  }: { wayM: number; peakN: number; ceilingN: number; stiffnessNPerM: number },
): DriveSpec {
  const strokes = between(random, 8, 30);
  const pauseLoss = between(random, 0.001, 0.012);
  const restrokes: Restroke[] = [];
  if (chance(random, 0.35)) {
    let part = between(random, 0.25, 0.75);
    for (let count = 1 + random.below(3); count > 0 && part < 0.92; count--) {
      restrokes.push({
        atN: part * peakN,
        fallPart: between(random, 0.08, 0.34),
        fallS: between(random, 0.1, 0.35),
        pauseS: between(random, 1, 3.5),
      });
      part += between(random, 0.1, 0.4);
    }
  }
  const cycleS = (bench.pullS / strokes) * between(random, 1, 1.5);
  return {
    kind: "strokes",
    // A stroke wins at least five times what a pause loses, and four times at what the bench could reach (spec.ts).
    strokeM: Math.max(wayM / strokes, (pauseLoss * Math.max(6 * peakN, 4.01 * ceilingN)) / stiffnessNPerM),
    riseS: Math.max(0.4, 0.65 * cycleS),
    pauseS: Math.max(0.15, 0.35 * cycleS),
    pauseLoss,
    ...(restrokes.length === 0 ? {} : { restrokes }),
  };
}
