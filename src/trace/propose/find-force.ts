import { noiseOf, rippleOf } from "../samples/noise.ts";
import { isCounter } from "./find-time.ts";
import { forceWords, hasWord, otherWords, rawWords } from "./header-words.ts";
import type { Column } from "./sketch.ts";
import { isNumeric } from "./sketch.ts";

export type FoundForce = {
  readonly column: Column;
  readonly reasons: readonly string[];
  /** Others that could be it as well: the user is asked. */
  readonly rivals: readonly Column[];
};

type Scored = { readonly column: Column; readonly score: number; readonly reasons: readonly string[] };

/** A lead this large in points leaves no doubt. */
const clearLead = 2;

/**
 * Finds the column of force by its heading (a unit of force, a word for force, no word for another quantity), and among
 * columns without such headings by how it runs: from a rest, up, and smoothly. Nothing where no column of numbers is left.
 */
export function findForce(
  columns: readonly Column[],
  timeColumn: number | undefined,
): FoundForce | undefined {
  const scored = columns
    .filter((column) => isNumeric(column) && column.sketch.column !== timeColumn)
    .map(scoreOf)
    .filter(({ score }) => score > -3)
    .toSorted((a, b) => b.score - a.score);
  const [best] = scored;
  if (best === undefined) return undefined;
  const close = scored.slice(1).filter(({ score }) => best.score - score < clearLead);
  const twins = close.filter(({ column }) => areProportional(best.column, column));
  const rivals = close.filter((other) => !twins.includes(other));
  if (twins.length === 0 || rivals.length > 0)
    return { column: best.column, reasons: best.reasons, rivals: rivals.map(({ column }) => column) };
  return chooseTwin([best, ...twins]);
}

function scoreOf(column: Column): Scored {
  const { heading, sketch } = column;
  const name = JSON.stringify(sketch.name);
  const reasons: string[] = [];
  let score = 0;
  if (heading.forceUnit !== undefined) {
    score += heading.unitNote === undefined ? 5 : 4;
    reasons.push(
      `${name} has a unit of force, ${heading.forceUnit}${heading.unitNote === undefined ? "" : ` (${heading.unitNote})`}.`,
    );
  } else if (heading.unitText !== undefined) score -= 3;
  if (hasWord(heading.words, otherWords)) score -= 4;
  else if (hasWord(heading.words, forceWords)) {
    score += 4;
    reasons.push(`${name} is named as a force.`);
  }
  if (hasWord(heading.words, rawWords)) score -= 3;
  if (sketch.kind === "constant") score -= 4;
  if (isCounter(column)) score -= 6;
  const values = column.present;
  const part = restAndRise(values);
  score += part;
  if (part > 0 && reasons.length === 0) reasons.push(`${name} rises from a rest, and smoothly.`);
  if (reasons.length === 0) reasons.push(`${name} is the column of numbers that is left.`);
  return { column, score, reasons };
}

/** 0 to 1: how far a column looks like a force, which stays at a low level and rises smoothly far above its noise. */
function restAndRise(values: Float64Array): number {
  if (values.length < 10) return 0;
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    lowest = Math.min(lowest, value);
    highest = Math.max(highest, value);
  }
  const span = highest - lowest;
  if (span === 0) return 0;
  const noise = Math.max(rippleOf(values), noiseOf(values) / 10, span / 1e4);
  return Math.min(1, Math.log10(span / noise) / 4);
}

/** Two columns with the same signal at different scales. */
function areProportional(a: Column, b: Column): boolean {
  let count = 0;
  let meanA = 0;
  let meanB = 0;
  const rows = Math.min(a.values.length, b.values.length);
  for (let row = 0; row < rows; row++) {
    const x = a.values[row] as number;
    const y = b.values[row] as number;
    if (Number.isNaN(x + y)) continue;
    count++;
    meanA += (x - meanA) / count;
    meanB += (y - meanB) / count;
  }
  let squareA = 0;
  let squareB = 0;
  let product = 0;
  for (let row = 0; row < rows; row++) {
    const x = (a.values[row] as number) - meanA;
    const y = (b.values[row] as number) - meanB;
    if (Number.isNaN(x + y)) continue;
    squareA += x * x;
    squareB += y * y;
    product += x * y;
  }
  // Rounding of one of them to whole numbers leaves a little less than 1.
  return count >= 10 && Math.abs(product) > 0.99 * Math.sqrt(squareA * squareB) && squareA > 0 && squareB > 0;
}

/**
 * Of columns with one signal, the one that is scaled to a unit: amplifiers give ratios below 2 mV/V or counts beyond
 * 100,000; a force on a bench lies between. Where that does not tell them apart the user is asked.
 */
function chooseTwin(twins: readonly Scored[]): FoundForce {
  const scaled = twins.filter(({ column }) => {
    const most = Math.max(Math.abs(column.sketch.highest ?? 0), Math.abs(column.sketch.lowest ?? 0));
    return most >= 2 && most <= 1e5;
  });
  const named = twins.filter(({ column }) => column.heading.forceUnit !== undefined);
  const [chosen] = named.length > 0 ? named : scaled.length > 0 ? scaled : twins;
  const best = chosen as Scored; // there are at least two twins
  const others = twins.filter((twin) => twin !== best);
  const sure = named.length > 0 || scaled.length === 1;
  const names = others.map(({ column }) => JSON.stringify(column.sketch.name)).join(", ");
  return {
    column: best.column,
    reasons: [
      ...best.reasons,
      sure
        ? `${names} carr${others.length === 1 ? "ies" : "y"} the same signal at another scale, as an amplifier's raw ratio or counts do.`
        : `${names} carr${others.length === 1 ? "ies" : "y"} the same signal at another scale.`,
    ],
    rivals: sure ? [] : others.map(({ column }) => column),
  };
}
