import type { DrawnPull, LoggerTruth, Phase, PhaseName } from "../../src/trace/mod.ts";

/** A boundary between phases as it truly was: at a moment, or within the time in which nobody could have told it finer. */
export type TrueBoundary = { readonly name: BoundaryName; readonly fromS: number; readonly toS: number };

export const boundaryNames = [
  "load begins",
  "bedding ends",
  "hold begins",
  "hold ends",
  "slips begin",
  "slips end",
  "collapse begins",
  "collapse ends",
] as const;
export type BoundaryName = (typeof boundaryNames)[number];

export type TrueForce = { readonly timeS: Float64Array; readonly forceN: Float64Array };

/** A boundary that was judged; `offS` is how far outside its window it was read, absent where it was not read at all. */
export type JudgedBoundary = { readonly name: BoundaryName; readonly right: boolean; readonly offS?: number };

/** The part of the peak at which a load that is coming on is plainly there (docs/accuracy.md, boundaries). */
const plainlyThere = 0.01;

/** Where the phases of a pull truly meet, by the rules of docs/accuracy.md. */
export function trueBoundaries(
  pull: DrawnPull,
  force: TrueForce,
  logger: Pick<LoggerTruth, "noiseN" | "stepN">,
): TrueBoundary[] {
  const hiddenN = Math.max(6 * logger.noiseN, 2 * logger.stepN);
  const leaves = Math.max(plainlyThere * pull.peakN, hiddenN);
  const boundaries: TrueBoundary[] = [];
  const add = (name: BoundaryName, fromS: number, toS: number) => boundaries.push({ name, fromS, toS });
  const seen = createLooker(force);
  const span = (name: string) => pull.phases.filter(({ phase }) => phase === name);

  if (!pull.startCut) add("load begins", pull.startS, seen.leaves(pull.startS, leaves));
  const beddingEnd = span("bedding").at(-1)?.endS;
  if (beddingEnd !== undefined)
    add("bedding ends", seen.cameTo(beddingEnd, leaves), seen.leaves(beddingEnd, leaves));
  if (pull.hold !== undefined) {
    const { startS, endS } = pull.hold;
    add("hold begins", seen.cameTo(startS, hiddenN), startS);
    add("hold ends", endS, seen.leaves(endS, leaves));
  }
  const [first] = pull.slips;
  const last = pull.slips.at(-1);
  if (pull.slips.length >= 2 && first !== undefined && last !== undefined) {
    add("slips begin", first.timeS, first.timeS);
    const endS = span("slip").at(-1)?.endS ?? last.timeS;
    const againS = seen.first(endS, (newton) => newton >= last.fromN);
    if (!pull.endCut) add("slips end", endS, Math.max(endS, Math.min(againS, pull.endingTimeS)));
  }
  if (pull.endCut) return boundaries;
  const { endingTimeS } = pull;
  if (pull.outcome === "broke" || pull.outcome === "slipped") {
    add("collapse begins", endingTimeS, endingTimeS);
    const leftN = pull.residualN ?? 0;
    const nearlyN = leftN + 0.1 * (pull.endingFromN - leftN);
    const fallenS = seen.first(endingTimeS, (newton) => newton <= nearlyN);
    const endS = span("collapse").at(-1)?.endS ?? pull.endS;
    add("collapse ends", Math.min(fallenS, endS), endS);
  } else {
    const letOffS = seen.leaves(endingTimeS, leaves);
    add("collapse begins", endingTimeS, letOffS);
  }
  return boundaries;
}

/** Judges the phases that were read against the truth; what is missing or one too many counts as wrong. */
export function judgeBoundaries(
  phases: readonly Phase[],
  truths: readonly TrueBoundary[],
  pull: DrawnPull,
  toleranceS: { readonly before: number; readonly after: number },
): JudgedBoundary[] {
  const judged = truths.map(({ name, fromS, toS }): JudgedBoundary => {
    const readS = readBoundary(name, phases, pull);
    if (readS === undefined) return { name, right: false };
    const offS = readS < fromS ? readS - fromS : Math.max(0, readS - toS);
    return { name, offS, right: offS >= -toleranceS.before && offS <= toleranceS.after };
  });
  return [...judged, ...tooMany(phases, pull)];
}

function readBoundary(name: BoundaryName, phases: readonly Phase[], pull: DrawnPull): number | undefined {
  const first = (phase: PhaseName) => phases.find((one) => one.name === phase);
  const last = (phase: PhaseName) => phases.findLast((one) => one.name === phase);
  switch (name) {
    case "load begins":
      return phases.find((one) => one.name !== "rest")?.fromS;
    case "bedding ends":
      return last("bedding")?.toS;
    case "hold begins":
      return first("hold")?.fromS;
    case "hold ends":
      return first("hold")?.toS;
    case "slips begin":
      return first("slip")?.fromS;
    case "slips end":
      return last("slip")?.toS;
    case "collapse begins":
      // A stop has no collapse: what is judged is where the way up ended.
      return pull.outcome === "stopped"
        ? phases.findLast((one) => one.name === "ramp" || one.name === "slip")?.toS
        : first("collapse")?.fromS;
    case "collapse ends":
      return first("collapse")?.toS;
  }
}

/** A phase that never was has two wrong boundaries, bedding one: its start is where the load begins. */
function tooMany(phases: readonly Phase[], pull: DrawnPull): JudgedBoundary[] {
  const count = (phase: PhaseName) => phases.filter((one) => one.name === phase).length;
  const wrong: JudgedBoundary[] = [];
  const add = (name: BoundaryName) => wrong.push({ name, right: false });
  const holds = count("hold") - (pull.hold === undefined ? 0 : 1);
  for (let extra = 0; extra < holds; extra++) {
    add("hold begins");
    add("hold ends");
  }
  const bedded = pull.phases.some(({ phase }) => phase === "bedding");
  if (!bedded && count("bedding") > 0) add("bedding ends");
  if (pull.slips.length + pull.strandBreaks.length === 0 && count("slip") > 0) {
    add("slips begin");
    add("slips end");
  }
  return wrong;
}

/** Looks along the true force. */
function createLooker({ timeS, forceN }: TrueForce) {
  const rowAt = (momentS: number): number => {
    let low = 0;
    let high = timeS.length - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((timeS[middle] as number) >= momentS) high = middle;
      else low = middle + 1;
    }
    return low;
  };
  /** The first moment from one on at which a test passes; the end of the record where it never does. */
  const first = (momentS: number, passes: (newton: number) => boolean): number => {
    let row = rowAt(momentS);
    while (row < forceN.length - 1 && !passes(forceN[row] as number)) row++;
    return timeS[row] as number;
  };
  return {
    first,
    /** When the force has left the level of a moment by some newtons. */
    leaves(momentS: number, byN: number): number {
      const levelN = forceN[rowAt(momentS)] as number;
      return first(momentS, (newton) => Math.abs(newton - levelN) > byN);
    },
    /** Since when the force has been within some newtons of the level of a moment. */
    cameTo(momentS: number, withinN: number): number {
      let row = rowAt(momentS);
      const levelN = forceN[row] as number;
      while (row > 0 && Math.abs((forceN[row - 1] as number) - levelN) <= withinN) row--;
      return Math.min(momentS, timeS[row] as number);
    },
  };
}
