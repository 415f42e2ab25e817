import type { Random } from "../../stats/mod.ts";
import { between } from "./bench-acts.ts";
import { logBetween } from "./chances.ts";
import { clipPull, type DrawnPull, shiftPull } from "./recording-truth.ts";
import type { SimulatedRecording } from "./simulate-recording.ts";
import { keepRows, type Rows } from "./spoil.ts";

/** Rows that were taken down and what is true of them, on one clock. */
export type Taken = {
  readonly rows: Rows;
  readonly trueForceN: Float64Array;
  readonly pulls: readonly DrawnPull[];
};

/** Everything that was sampled. */
export function takeAll(
  { timeS, forceN, displacementM, trueForceN }: SimulatedRecording,
  pulls: readonly DrawnPull[],
): Taken {
  return {
    rows: { timeS, forceN, ...(displacementM === undefined ? {} : { displacementM }) },
    trueForceN,
    pulls,
  };
}

/** The logger starts late: when the first pull has reached a part of its peak. The clock starts with it. */
export function cutStart(taken: Taken, part: number): Taken {
  const [first] = taken.pulls;
  if (first === undefined) return taken;
  const from = taken.trueForceN.findIndex((newton) => newton >= part * first.peakN);
  const fromS = taken.rows.timeS[from] as number;
  const pulls = taken.pulls.map((pull, index) =>
    index === 0 ? { ...clipPull(pull, fromS, Number.POSITIVE_INFINITY), startCut: true } : pull,
  );
  return onClockOf(
    select({ ...taken, pulls }, (row) => row >= from),
    fromS,
  );
}

/** The logger stops early: when the last pull has for the first time reached a part of its peak. */
export function cutEnd(taken: Taken, part: number): Taken {
  const last = taken.pulls.at(-1);
  if (last === undefined) return taken;
  const { timeS } = taken.rows;
  const rampS = last.hold?.endS ?? last.startS;
  const to = taken.trueForceN.findIndex(
    (newton, row) => (timeS[row] as number) >= rampS && newton >= part * last.peakN,
  );
  const toS = timeS[to] as number;
  const pulls = taken.pulls.map((pull) =>
    pull === last ? { ...clipPull(pull, Number.NEGATIVE_INFINITY, toS), endCut: true } : pull,
  );
  return select({ ...taken, pulls }, (row) => row <= to);
}

/**
 * Only some seconds about each pull are kept. With a pause the clock goes on meanwhile, for a minute to half an hour;
 * with a column that counts the pulls it stands still.
 */
export function partByPause(
  taken: Taken,
  random: Random,
  parted: "pause" | "column",
  intervalS: number,
): Taken {
  const windows = taken.pulls.map((pull) => {
    const quiet = (name: string) => pull.phases.filter(({ phase }) => phase === name);
    return {
      fromS: Math.max(pull.phases[0]?.startS ?? pull.startS, pull.startS - between(random, 3, 6)),
      toS: Math.min(quiet("tail").at(-1)?.endS ?? pull.endS, pull.endS + between(random, 3, 6)),
    };
  });
  const { timeS } = taken.rows;
  const shifts: number[] = [];
  let shiftS = 0;
  for (const [index, window] of windows.entries()) {
    const before = windows[index - 1];
    if (before !== undefined)
      shiftS += parted === "pause" ? logBetween(random, 60, 1800) : before.toS - window.fromS + intervalS;
    shifts.push(shiftS);
  }
  const pullOf = (row: number): number =>
    windows.findIndex(({ fromS, toS }) => (timeS[row] as number) >= fromS && (timeS[row] as number) <= toS);
  const kept = select(
    {
      ...taken,
      rows: { ...taken.rows, segment: Int32Array.from(timeS, (_, row) => pullOf(row) + 1) },
      pulls: taken.pulls.map((pull, index) => {
        const window = windows[index] as { fromS: number; toS: number };
        return shiftPull(clipPull(pull, window.fromS, window.toS), shifts[index] as number);
      }),
    },
    (row) => pullOf(row) >= 0,
  );
  const { segment = new Int32Array(), ...rows } = kept.rows;
  const shifted = rows.timeS.map((stampS, row) => stampS + (shifts[(segment[row] as number) - 1] as number));
  const whole = { ...kept, rows: { ...rows, timeS: shifted, ...(parted === "column" ? { segment } : {}) } };
  return onClockOf(whole, shifted[0] as number);
}

/** Counts the time from a moment on. */
function onClockOf(taken: Taken, zeroS: number): Taken {
  return {
    ...taken,
    rows: { ...taken.rows, timeS: taken.rows.timeS.map((stampS) => stampS - zeroS) },
    pulls: taken.pulls.map((pull) => shiftPull(pull, -zeroS)),
  };
}

function select(taken: Taken, keep: (row: number) => boolean): Taken {
  return {
    ...taken,
    rows: keepRows(taken.rows, keep),
    trueForceN: taken.trueForceN.filter((_, row) => keep(row)),
  };
}
