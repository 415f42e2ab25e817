import type { DateOrder, TimeFormat, TimeSource } from "../layout.ts";
import { medianInPlace } from "../samples/select.ts";
import { asciiOf } from "../text/numbers.ts";
import { parseDateTime, parseTimeOfDay, type Stamp, secondsOf } from "../text/stamps.ts";
import { counterWords, forceWords, hasWord, type TimeUnit, timeWords } from "./header-words.ts";
import type { Column } from "./sketch.ts";
import { isNumeric } from "./sketch.ts";

/** Where time comes from, why, and whether its unit still has to be asked. */
export type FoundTime = {
  readonly source: TimeSource;
  readonly reasons: readonly string[];
  readonly unitUnsure?: boolean;
};

const perSecond: Readonly<Record<TimeUnit, number>> = { s: 1, ms: 1e3, us: 1e6 };

/** A logger of forces takes a sample at least every two seconds and at most two thousand a second: what is plausible. */
const plausibleStep = { least: 0.0005, most: 2 } as const;

/**
 * Finds the column of time: one that never (or hardly ever) falls and is named or stepped as time is. A column of elapsed
 * time whose unit is known is taken before a clock's stamps, since that is how the file counts.
 */
export function findTime(columns: readonly Column[], unitHint: TimeUnit | undefined): FoundTime {
  const stamps = columns.filter((column) => column.sketch.kind === "time");
  const stampColumn = stamps.toSorted((a, b) => distinct(b) - distinct(a))[0];
  const stampTime = stampColumn === undefined ? undefined : readStamps(stampColumn);
  const elapsed = columns
    .filter((column) => isNumeric(column) && couldBeTime(column))
    .toSorted((a, b) => likeness(b) - likeness(a))[0];
  if (elapsed !== undefined) {
    const found = timeByNumbers(elapsed, unitHint, stampTime?.seconds);
    if (stampTime === undefined || !found.unitUnsure) return found;
  }
  if (stampTime !== undefined) return stampTime;
  return { source: { kind: "none" }, reasons: [noTimeReason(columns)] };
}

/** Time from a column that the user named; nothing where its cells are neither numbers nor stamps. */
export function timeFrom(column: Column, unitHint: TimeUnit | undefined): FoundTime | undefined {
  if (column.sketch.kind === "time") return readStamps(column);
  return isNumeric(column) ? timeByNumbers(column, unitHint, undefined) : undefined;
}

/** Whether a column only counts its rows. */
export function isCounter(column: Column): boolean {
  const values = column.present;
  if (values.length < 3) return false;
  return values.every((value, row) => row === 0 || value - (values[row - 1] as number) === 1);
}

function couldBeTime(column: Column): boolean {
  const { heading, sketch } = column;
  if (sketch.kind !== "number" || heading.forceUnit !== undefined || heading.lengthUnit !== undefined)
    return false;
  const named = isNamedTime(column);
  const { falls, steps, middle, regular } = stepsOf(column);
  if (steps === 0 || middle <= 0 || falls > 0.05 * steps) return false;
  if (named) return true;
  if (heading.unitText !== undefined || hasWord(heading.words, forceWords)) return false;
  if (isCounter(column) || hasWord(heading.words, counterWords)) return false;
  return falls === 0 && regular;
}

/** Whether a column is named as time and falls in most of its steps. */
export function runsBackward(column: Column): boolean {
  if (!isNumeric(column) || !isNamedTime(column) || column.heading.forceUnit !== undefined) return false;
  const { falls, steps } = stepsOf(column);
  return steps >= 3 && falls > 0.5 * steps;
}

function isNamedTime({ heading }: Column): boolean {
  return (
    heading.timeUnit !== undefined || (heading.unitText === undefined && hasWord(heading.words, timeWords))
  );
}

/** Named before unnamed, a known unit before an unknown, the left before the right. */
function likeness(column: Column): number {
  const { falls, steps } = stepsOf(column);
  return (
    (isNamedTime(column) ? 4 : 0) +
    (column.heading.timeUnit === undefined ? 0 : 2) -
    falls / Math.max(1, steps) -
    column.sketch.column / 1e4
  );
}

function stepsOf(column: Column): { falls: number; steps: number; middle: number; regular: boolean } {
  const { present: values } = column;
  const steps = new Float64Array(Math.max(0, values.length - 1));
  let falls = 0;
  for (let row = 0; row < steps.length; row++) {
    steps[row] = (values[row + 1] as number) - (values[row] as number);
    if ((steps[row] as number) < 0) falls++;
  }
  const middle = medianInPlace(steps.slice());
  const near = steps.filter((step) => step >= middle / 3 && step <= middle * 3).length;
  return { falls, steps: steps.length, middle, regular: near >= 0.8 * steps.length };
}

function timeByNumbers(
  column: Column,
  unitHint: TimeUnit | undefined,
  stampSeconds: Float64Array | undefined,
): FoundTime {
  const { sketch, heading } = column;
  const name = JSON.stringify(sketch.name);
  const source = (format: TimeFormat) => ({ kind: "column", column: sketch.column, format }) as const;
  const highest = sketch.highest ?? 0;
  const epoch = epochUnit(sketch.lowest ?? 0, highest);
  const told = unitHint ?? heading.timeUnit;
  if (told !== undefined) {
    const isEpoch = highest / perSecond[told] >= 1e9 && epoch !== undefined;
    return {
      source: source(`${isEpoch ? "epoch" : "elapsed"}-${told}`),
      reasons: [
        unitHint === undefined
          ? `${name} is time in ${unitNames[told]}: its heading says so, and it does not fall.`
          : `${name} is read as time in ${unitNames[told]}, as you said.`,
      ],
    };
  }
  if (epoch !== undefined)
    return {
      source: source(`epoch-${epoch}`),
      reasons: [`${name} counts ${unitNames[epoch]} since 1970, by the size of its numbers.`],
    };
  const byStamps = stampSeconds === undefined ? undefined : unitByStamps(column, stampSeconds);
  if (byStamps !== undefined)
    return {
      source: source(`elapsed-${byStamps}`),
      reasons: [
        `${name} is elapsed time in ${unitNames[byStamps]}: it runs at the pace of the stamps beside it.`,
      ],
    };
  return unitByStep(column, source);
}

function unitByStep(column: Column, source: (format: TimeFormat) => TimeSource): FoundTime {
  const { middle } = stepsOf(column);
  const name = JSON.stringify(column.sketch.name);
  const whole = column.present.every(Number.isInteger);
  const step = Number(middle.toPrecision(3));
  const plausible = (["s", "ms", "us"] as const).filter((unit) => {
    const seconds = middle / perSecond[unit];
    return seconds >= plausibleStep.least && seconds <= plausibleStep.most;
  });
  // Milliseconds and microseconds come as whole numbers; parts of them would be finer than a logger's clock.
  const [only, more] = whole ? plausible : middle <= plausibleStep.most ? (["s"] as const) : plausible;
  if (only !== undefined && more === undefined)
    return {
      source: source(`elapsed-${only}`),
      reasons: [
        `${name} has no unit in the file; it is read as ${unitNames[only]}, the only unit in which its steps of ${step} make a likely rate.`,
      ],
    };
  return {
    source: source(`elapsed-${only ?? "s"}`),
    reasons: [
      `${name} does not fall and is time, but its unit is not in the file, and its steps of ${step} do not tell.`,
    ],
    unitUnsure: true,
  };
}

const unitNames: Readonly<Record<TimeUnit, string>> = {
  s: "seconds",
  ms: "milliseconds",
  us: "microseconds",
};

/** Since 2001 the seconds of the epoch have ten digits; they will until 2286. */
function epochUnit(lowest: number, highest: number): TimeUnit | undefined {
  return (["s", "ms", "us"] as const).find(
    (unit) => lowest / perSecond[unit] >= 1e9 && highest / perSecond[unit] < 4.2e9,
  );
}

function unitByStamps(column: Column, stampSeconds: Float64Array): TimeUnit | undefined {
  const last = column.values.length - 1;
  const stamped = (stampSeconds[last] as number) - (stampSeconds[0] as number);
  const counted = (column.values[last] as number) - (column.values[0] as number);
  if (!(stamped > 0)) return undefined;
  return (["s", "ms", "us"] as const).find(
    (unit) => Math.abs(counted / perSecond[unit] / stamped - 1) < 0.02,
  );
}

function readStamps(column: Column): FoundTime & { seconds: Float64Array } {
  const { cells, sketch } = column;
  const name = JSON.stringify(sketch.name);
  const daytime = readAll(cells, (bytes, stamp) => parseTimeOfDay(bytes, 0, bytes.length, stamp));
  const source = { kind: "column", column: sketch.column } as const;
  if (daytime.read > 0.5 * (cells.length - sketch.missing))
    return {
      source: { ...source, format: "time-of-day" },
      reasons: [`${name} holds times of day without a date; a fall by half a day is taken for midnight.`],
      seconds: daytime.seconds,
    };
  const tries = (["ymd", "dmy", "mdy"] as const).map((order) => ({ order, ...readDates(cells, order) }));
  const most = Math.max(...tries.map((attempt) => attempt.read));
  const fitting = tries.filter((attempt) => attempt.read === most);
  const chosen = fitting.reduce((best, attempt) => (attempt.span < best.span ? attempt : best));
  const others = fitting.filter((attempt) => attempt !== chosen && attempt.order !== "ymd");
  const undecided = others.length > 0 && chosen.order !== "ymd";
  return {
    source: {
      ...source,
      format: "date-time",
      ...(chosen.order === "ymd" ? {} : { dateOrder: chosen.order }),
    },
    reasons: [
      undecided
        ? `${name} holds dates and times; whether day or month comes first cannot be told, and within one day it makes no difference.`
        : `${name} holds dates and times${chosen.order === "ymd" ? "" : `, ${orderNames[chosen.order]} first`}.`,
    ],
    seconds: chosen.seconds,
  };
}

const orderNames: Readonly<Record<DateOrder, string>> = { ymd: "year", dmy: "day", mdy: "month" };

function readDates(cells: readonly string[], order: DateOrder) {
  const { read, seconds } = readAll(cells, (bytes, stamp) =>
    parseDateTime(bytes, 0, bytes.length, order, stamp),
  );
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (const value of seconds) {
    if (value < least) least = value;
    if (value > most) most = value;
  }
  return { read, seconds, span: most - least };
}

function readAll(cells: readonly string[], parse: (bytes: Uint8Array, stamp: Stamp) => boolean) {
  const stamp: Stamp = { day: 0, second: 0 };
  const seconds = new Float64Array(cells.length);
  let read = 0;
  cells.forEach((cell, row) => {
    const isStamp = parse(asciiOf(cell), stamp);
    if (isStamp) read++;
    seconds[row] = isStamp ? secondsOf(stamp) : Number.NaN;
  });
  return { read, seconds };
}

function distinct(column: Column): number {
  return new Set(column.cells).size;
}

function noTimeReason(columns: readonly Column[]): string {
  const counter = columns.find(isCounter);
  return counter === undefined
    ? "No column runs as a clock does."
    : `${JSON.stringify(counter.sketch.name)} counts the rows and is no clock, and no other column is one.`;
}
