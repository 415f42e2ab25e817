import type { DeepReading, PullReading } from "../../trace/mod.ts";
import { formatNumber } from "../../units/mod.ts";
import type { TraceFigure } from "./trace-figure.ts";

/** How rows become places along a figure, and how forces are told in it. */
export type MarkWords = {
  /** The abscissa of a row; its time where it has one, else the row itself, unless said. */
  readonly placeOf?: (row: number, timeS: number | undefined) => number;
  /** A force with its unit; in kilonewtons unless said. */
  readonly force?: (forceN: number) => string;
  /** A force with its expanded uncertainty, both in one unit. */
  readonly forceWithin?: (forceN: number, expandedN: number) => string;
};

/**
 * What a reading says about its curve, in the terms of the trace figure. Forces of a deeper reading are net of the rest;
 * in the figure they stand where the recording shows them, with the rest level added.
 */
export function traceMarks(reading: PullReading | undefined, words: MarkWords = {}): TraceFigure {
  if (reading === undefined) return {};
  const { placeOf = (row, timeS) => timeS ?? row } = words;
  const base = {
    start: placeOf(reading.startRow, reading.startS),
    end: placeOf(reading.endRow, reading.endS),
    ...(reading.restN === undefined ? {} : { restN: reading.restN }),
  };
  const peak = { x: placeOf(reading.peakRow, reading.peakTimeS), forceN: reading.peakN };
  const { deep } = reading;
  if (deep === undefined) {
    const drops = reading.drops.map(({ timeS, row, fromN, toN }) => ({ x: placeOf(row, timeS), fromN, toN }));
    return { ...base, peak, drops };
  }
  const zeroN = reading.restN ?? 0;
  const slips = deep.slips.map(({ timeS, row, fromN, toN }) => ({
    x: placeOf(row, timeS),
    fromN: fromN + zeroN,
    toN: toN + zeroN,
  }));
  const first = slips[0];
  const { collapse } = reading;
  return {
    ...base,
    slips,
    drops:
      collapse === undefined
        ? []
        : [{ x: placeOf(collapse.row, collapse.timeS), fromN: collapse.fromN, toN: collapse.toN }],
    phases: deep.phases.map(({ name, fromRow, toRow, fromS, toS }) => ({
      name,
      fromX: placeOf(fromRow, fromS),
      toX: placeOf(toRow, toS),
      ...moreOf(deep, name),
    })),
    ...(first === undefined ? {} : { firstSlip: { x: first.x, forceN: first.fromN } }),
    ...holdOf(deep, zeroN, placeOf),
    peak: { ...peak, ...peakOf(deep, zeroN, words) },
  };
}

/**
 * A value with its expanded uncertainty, both in one unit: the uncertainty to two digits, the value to the same place.
 * Source: JCGM 100:2008 (GUM) 7.2.6, which asks for at most two digits.
 *
 * @example
 * valueWithin(34.2149, 0.1512) // "34.21 ± 0.15"
 */
export function valueWithin(value: number, expanded: number): string {
  const exponent = Number(expanded.toExponential(1).split("e")[1] ?? "0");
  const decimals = expanded > 0 && Number.isFinite(expanded) ? Math.min(Math.max(0, 1 - exponent), 6) : 3;
  return `${formatNumber(value, { decimals })} ± ${formatNumber(expanded, { decimals })}`;
}

function moreOf({ bedding, strokes, phases }: DeepReading, name: string): { more?: string } {
  if (name === "bedding" && bedding !== undefined) return { more: counted(bedding.cycles, "cycle") };
  const ramps = phases.filter((phase) => phase.name === "ramp").length;
  return name === "ramp" && ramps === 1 && strokes > 0 ? { more: counted(strokes, "stroke") } : {};
}

function holdOf(
  { hold }: DeepReading,
  zeroN: number,
  placeOf: NonNullable<MarkWords["placeOf"]>,
): Pick<TraceFigure, "hold"> {
  if (hold === undefined) return {};
  const { fromRow, toRow, fromS, toS, startN, endN, settling } = hold;
  const long =
    fromS === undefined || toS === undefined ? "" : ` ${formatNumber(toS - fromS, { significant: 3 })} s`;
  const settled =
    settling === undefined
      ? ""
      : `, settling ${formatNumber(settling.perDecade.value * 100, { significant: 2 })} % per decade`;
  return {
    hold: {
      fromX: placeOf(fromRow, fromS),
      toX: placeOf(toRow, toS),
      fromN: startN + zeroN,
      toN: endN + zeroN,
      words: `hold${long}${settled}`,
    },
  };
}

function peakOf({ peak }: DeepReading, zeroN: number, { force = kN, forceWithin = kNWithin }: MarkWords) {
  if (peak === undefined) return {};
  const { valueN, expandedN, lowerBound } = peak;
  return lowerBound
    ? {
        lowN: valueN - expandedN + zeroN,
        openAbove: true,
        words: `peak at least ${force(valueN - expandedN)}`,
      }
    : {
        lowN: valueN - expandedN + zeroN,
        highN: valueN + expandedN + zeroN,
        words: `peak ${forceWithin(valueN, expandedN)}`,
      };
}

function kN(forceN: number): string {
  return `${(forceN / 1000).toFixed(2)} kN`;
}

function kNWithin(forceN: number, expandedN: number): string {
  return `${valueWithin(forceN / 1000, expandedN / 1000)} kN`;
}

function counted(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? "" : "s"}`;
}
