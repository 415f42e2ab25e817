import type { Factor, LevelValue } from "../series/mod.ts";
import type { CellKind, JudgedPull } from "./types.ts";

/** The pulls that belong together: one combination of levels. */
export type Cell = {
  readonly kind: CellKind;
  readonly levels: Readonly<Record<string, LevelValue>>;
  readonly label: string;
  readonly pulls: readonly JudgedPull[];
};

/** Above this many combinations a plan's empty cells are no longer listed one by one: no page could show them. */
export const mostPlannedCells = 240;

/**
 * Sorts pulls into the cells of the plan. No pull vanishes: each lands in exactly one cell.
 *
 * The cells stand in the order of the plan (first factor slowest), also those without a pull; after them come
 * combinations that the plan does not name (in the order of their first pulls), pulls that lack a level, and pulls of
 * which nobody said the specimen. A plan without factors has one cell. A level is the same level whether it came as a number or as text ("30" and 30).
 *
 * @example
 * cellsOfPlan([{ name: "bury", unit: "d", levels: [30, 60] }], [])[1]?.label // "bury 60 d"
 */
export function cellsOfPlan(factors: readonly Factor[], pulls: readonly JudgedPull[]): readonly Cell[] {
  const cells = new Map<string, Cell & { pulls: JudgedPull[] }>();
  const put = (kind: CellKind, levels: Record<string, LevelValue>, pull?: JudgedPull) => {
    const key = JSON.stringify([kind === "no specimen", factors.map(({ name }) => said(levels[name]))]);
    const cell = cells.get(key) ?? { kind, levels, label: labelOf(kind, factors, levels), pulls: [] };
    if (pull !== undefined) cell.pulls.push(pull);
    cells.set(key, cell);
  };

  const size = plannedCells(factors);
  if (size <= mostPlannedCells) for (const levels of combinations(factors)) put("planned", levels);

  const waiting = pulls.map((pull) => {
    const { kind, levels, place } = cellOf(factors, pull);
    return { rank: ranks[kind], place, put: () => put(kind, levels, pull) };
  });
  waiting.sort((a, b) => a.rank - b.rank || comparePlaces(a.place, b.place));
  for (const entry of waiting) entry.put();
  return [...cells.values()];
}

/** How many cells a plan has: the product of its factors' numbers of levels. */
export function plannedCells(factors: readonly Factor[]): number {
  return factors.reduce((product, { levels }) => product * new Set(levels.map(said)).size, 1);
}

const ranks: Record<CellKind, number> = {
  planned: 0,
  "outside the plan": 1,
  "level missing": 2,
  "no specimen": 3,
};

function cellOf(factors: readonly Factor[], pull: JudgedPull) {
  if (pull.specimenLabel === undefined) return { kind: "no specimen" as const, levels: {}, place: [] };
  const levels: Record<string, LevelValue> = {};
  let kind: CellKind = "planned";
  const place = factors.map(({ name, levels: planned }) => {
    const level = Object.hasOwn(pull.levels, name) ? pull.levels[name] : undefined;
    if (level === undefined) {
      kind = "level missing";
      return Number.POSITIVE_INFINITY;
    }
    const at = planned.findIndex((one) => said(one) === said(level));
    if (at < 0 && kind === "planned") kind = "outside the plan";
    levels[name] = at < 0 ? level : (planned[at] as LevelValue);
    return at < 0 ? planned.length : at;
  });
  return { kind: kind as CellKind, levels, place };
}

function* combinations(factors: readonly Factor[]): Generator<Record<string, LevelValue>> {
  const [first, ...rest] = factors;
  if (first === undefined) {
    yield {};
    return;
  }
  const seen = new Set<string>();
  for (const level of first.levels) {
    if (seen.has(said(level))) continue;
    seen.add(said(level));
    for (const others of combinations(rest)) yield { [first.name]: level, ...others };
  }
}

function labelOf(kind: CellKind, factors: readonly Factor[], levels: Record<string, LevelValue>): string {
  if (kind === "no specimen") return "no specimen named";
  if (factors.length === 0) return "all pulls";
  return factors
    .map(({ name, unit }) => {
      const level = levels[name];
      if (level === undefined) return `${name} not given`;
      return `${name} ${level}${unit === "" ? "" : ` ${unit}`}`;
    })
    .join(", ");
}

function said(level: LevelValue | undefined): string {
  return level === undefined ? "" : `=${level}`;
}

function comparePlaces(a: readonly number[], b: readonly number[]): number {
  for (const [index, place] of a.entries()) {
    const other = b[index] ?? 0;
    // Two missing levels are both infinite, and their difference would be NaN.
    if (place !== other) return place < other ? -1 : 1;
  }
  return 0;
}
