import type { Warning } from "../../problem/mod.ts";
import type { PullReading } from "../reading.ts";
import type { Hold } from "../reading-parts.ts";
import { rowOf, type Samples } from "../samples/samples.ts";
import { applied } from "./cell-fit.ts";
import type { FinalFall, Load } from "./loads.ts";
import type { RestFound, Surroundings } from "./pull-rest.ts";

type Measured = Omit<PullReading, "warnings">;
type Facts = Surroundings & {
  readonly load: Load;
  readonly fall: FinalFall;
  readonly zero: number;
  readonly rest: RestFound;
  readonly clipped: boolean;
  readonly hold?: Hold;
};

/** What speaks against taking a pull's figures at their face, a sentence each. */
export function doubtsAbout(pull: Measured, facts: Facts): Warning[] {
  const doubts = [
    startsLoaded(pull, facts),
    noRest(pull, facts),
    restMoved(facts),
    peakOnLastRow(pull, facts),
    peakNotAtEnd(pull, facts),
    lonePeak(pull, facts),
    missingNearPeak(pull, facts),
    coarse(pull, facts),
    fewOnTheWay(pull, facts),
    noRate(pull, facts),
    noSettling(facts),
    manyDrops(pull),
    clippedTop(pull, facts),
    endsLoaded(facts),
  ];
  return doubts.filter((doubt) => doubt !== undefined);
}

function startsLoaded(pull: Measured, { load, samples, zero }: Facts): Warning | undefined {
  const first = samples.force[load.from] as number;
  if (load.from > 0 || first - zero <= 0.05 * (load.peak - zero)) return undefined;
  return {
    code: "READING_STARTS_LOADED",
    message: `The record starts under load, at ${figure(first)} N: what came before it is not known.`,
    where: { row: pull.startRow },
    found: `${figure(first)} N in the first sample`,
  };
}

function noRest(pull: Measured, { rest, cell }: Facts): Warning | undefined {
  if (rest.level !== undefined) return undefined;
  return {
    code: "READING_NO_REST",
    message:
      "The file shows no rest before or after this pull, so nothing was taken off the peak" +
      (cell === undefined ? "." : ", and the cell's certificate could not correct it."),
    where: { row: pull.startRow },
    expected: "some seconds of the unloaded cell before or after the pull",
  };
}

function restMoved(facts: Facts): Warning | undefined {
  const { rest, load, levels } = facts;
  if (rest.before === undefined || rest.after === undefined) return restLeans(facts);
  // Where they lean they are compared at the ends that face the pull.
  const moved = (rest.runAfter?.lean?.first ?? rest.after) - (rest.runBefore?.lean?.last ?? rest.before);
  if (Math.abs(moved) <= Math.max(0.01 * (load.peak - levels.floor), 6 * levels.ripple)) return undefined;
  return {
    code: "READING_REST_MOVED",
    message: `The cell rests at ${figure(rest.before)} N before the pull and at ${figure(rest.after)} N after it.`,
    found: `${figure(moved)} N apart`,
    expected: "the same rest on both sides, within 1 % of the net peak",
  };
}

/** A rest on one side only that leans: carried on to the peak, the drift would matter as much as two rests apart. */
function restLeans({ rest, load, levels }: Facts): Warning | undefined {
  const run = rest.runBefore ?? rest.runAfter;
  if (run?.lean === undefined) return undefined;
  const drift = run.lean.slope * (load.peakIndex - (run.from + run.to) / 2);
  if (Math.abs(drift) <= Math.max(0.01 * (load.peak - levels.floor), 6 * levels.ripple)) return undefined;
  const [side, other] = rest.runBefore === undefined ? ["after", "before"] : ["before", "after"];
  return {
    code: "READING_REST_MOVED",
    message:
      `The cell drifts from ${figure(run.lean.first)} N to ${figure(run.lean.last)} N while it rests ${side} the pull, ` +
      `and no rest ${other} it says how it went on: carried on, it is ${figure(Math.abs(drift))} N by the peak.`,
    found: `${figure(drift)} N, if it drifted evenly`,
    expected: "a rest on both sides of the pull",
  };
}

function peakOnLastRow(pull: Measured, { load, samples }: Facts): Warning | undefined {
  if (load.peakIndex < samples.force.length - 1) return undefined;
  return {
    code: "READING_PEAK_LAST",
    message: "The highest force is the last one of the record: the true peak may be higher.",
    where: { row: pull.peakRow },
  };
}

function peakNotAtEnd(pull: Measured, { load, zero }: Facts): Warning | undefined {
  const { collapse } = pull;
  if (collapse === undefined || collapse.row <= pull.peakRow) return undefined;
  const place =
    collapse.timeS === undefined ? `row ${collapse.row}` : `${figure(collapse.timeS)} s, row ${collapse.row}`;
  return {
    code: "READING_PEAK_NOT_AT_END",
    message:
      `The highest force is not where it ended: the force collapsed from ${figure(collapse.fromN)} N ` +
      `(${place}), ${percent((load.peak - collapse.fromN) / (load.peak - zero))} below the peak.`,
    where: { row: collapse.row },
    found: `${figure(collapse.fromN)} N at the collapse`,
  };
}

function lonePeak(pull: Measured, { load, samples, zero }: Facts): Warning | undefined {
  const { force } = samples;
  const at = load.peakIndex;
  const before = force[at - 1];
  const after = force[at + 1];
  if (before === undefined || after === undefined) return undefined;
  const net = load.peak - zero;
  // A break falls on one side only; a spike stands clear of both.
  if (load.peak - Math.max(before, after) <= 0.2 * net) return undefined;
  return {
    code: "READING_LONE_PEAK",
    message:
      "The highest force is a single sample far above both its neighbours, as a fault in transmission is.",
    where: { row: pull.peakRow },
    found: `${figure(before)}, ${figure(load.peak)}, ${figure(after)} N`,
    wayOut: "Look at the trace; if it is a fault, correct it at the logger or set this pull aside as void.",
  };
}

function missingNearPeak(pull: Measured, { load, samples }: Facts): Warning | undefined {
  if (samples.rows === undefined) return undefined;
  const near = 5;
  const first = Math.max(0, load.peakIndex - near);
  const last = Math.min(samples.force.length - 1, load.peakIndex + near);
  const rows = rowOf(samples, last) - rowOf(samples, first);
  const missing = rows - (last - first) + trailing(samples, load.peakIndex, near);
  if (missing <= 0) return undefined;
  return {
    code: "READING_MISSING_NEAR_PEAK",
    message: `${missing} of the values next to the peak are missing: the true peak may be higher.`,
    where: { row: pull.peakRow },
    found: `${missing} missing`,
  };
}

/** Missing rows after the very last value count where the peak stands close to it. */
function trailing(samples: Samples, peakIndex: number, near: number): number {
  const last = samples.force.length - 1;
  if (peakIndex + near <= last) return 0;
  return Math.min(near, samples.traceRows - 1 - rowOf(samples, last));
}

function coarse(pull: Measured, { intervalS, load, zero, cell }: Facts): Warning | undefined {
  const { loadingRateNPerS: rate, end } = pull;
  if (end !== "collapse" || rate === undefined || intervalS === undefined) return undefined;
  const between = rate * intervalS;
  const part = between / applied(cell, load.peak - zero);
  // Half a per cent is half of what a load cell of class 1 may be off; below that the samples are close enough.
  if (part <= 0.005) return undefined;
  return {
    code: "READING_COARSE_PEAK",
    message:
      `The force rose by ${figure(between)} N (${percent(part)}) from sample to sample before it collapsed: ` +
      "the true peak may be higher by as much.",
    where: { row: pull.peakRow },
    found: `one sample in ${figure(intervalS)} s`,
    wayOut: "Log faster next time.",
  };
}

function fewOnTheWay(pull: Measured, { load }: Facts): Warning | undefined {
  const samplesTaken = load.peakIndex - load.from;
  if (samplesTaken >= 20) return undefined;
  return {
    code: "READING_FEW_SAMPLES",
    message: `Only ${samplesTaken} samples were taken on the way to the peak: rate and peak are rough.`,
    where: { row: pull.peakRow },
    found: `${samplesTaken} samples`,
    expected: "20 or more",
  };
}

function noRate(pull: Measured, { samples }: Facts): Warning | undefined {
  if (pull.loadingRateNPerS !== undefined || samples.timeS === undefined) return undefined;
  return {
    code: "READING_NO_RATE",
    message:
      "The loading rate cannot be given: fewer than 3 samples on the last rise, samples that all stand on one step of the " +
      "force, or a clock that stood still.",
    where: { row: pull.peakRow },
  };
}

function noSettling({ hold, intervalS }: Facts): Warning | undefined {
  if (hold === undefined || hold.settling !== undefined || intervalS === undefined) return undefined;
  const fell = hold.startN - hold.endN;
  return {
    code: "READING_NO_SETTLING",
    message: `The force was held from row ${hold.fromRow} to row ${hold.toRow}, but too little of how it settled is to be seen.`,
    where: { row: hold.fromRow },
    found: `${hold.toRow - hold.fromRow + 1} rows, in which the force fell by ${figure(fell)} N`,
    expected: "12 samples at rising times, and a force that crosses 3.5 steps of the converter or more",
  };
}

function manyDrops(pull: Measured): Warning | undefined {
  if (pull.dropCount === undefined) return undefined;
  return {
    code: "READING_MANY_DROPS",
    message: `The force fell ${pull.dropCount} times; the ${pull.drops.length} biggest falls are listed.`,
    found: `${pull.dropCount} drops`,
  };
}

function clippedTop(pull: Measured, { clipped, load }: Facts): Warning | undefined {
  if (!clipped) return undefined;
  return {
    code: "READING_CLIPPED",
    message: `The force stays at exactly ${figure(load.peak)} N at its top, as at a cell's limit: the true peak is higher.`,
    where: { row: pull.peakRow },
    found: `${figure(load.peak)} N in sample after sample`,
    wayOut: "Use a cell with a higher limit; this peak counts as a lower bound.",
  };
}

function endsLoaded({ fall, samples, zero, load }: Facts): Warning | undefined {
  const last = samples.force[samples.force.length - 1] as number;
  if (fall.kind !== "cut-off" || last - zero < 0.3 * (load.peak - zero)) return undefined;
  return {
    code: "READING_ENDS_LOADED",
    message: `The record ends under load, at ${figure(last)} N: how the pull ended is not in it.`,
    where: { row: samples.traceRows },
    found: `${figure(last)} N in the last sample`,
    expected: "a record that goes on until the load is off",
  };
}

function figure(value: number): string {
  return String(Number(value.toPrecision(4)));
}

function percent(part: number): string {
  return `${Number((100 * part).toPrecision(2))} %`;
}
