import type { Factor } from "../../series/mod.ts";
import { summary } from "../../stats/mod.ts";
import { cellsOfPlan } from "../cells-of-plan.ts";
import { hasStrength, judgePull } from "../judge-pull.ts";
import type { PullToJudge } from "../types.ts";
import type { ScatterOfCell } from "./scatter.ts";

/**
 * The scatter within each cell of a series' plan, of the pulls that count.
 *
 * Cells with fewer than two such pulls, or with pulls that were stopped, are left out: what stopping hides would make the
 * scatter look smaller than it is.
 *
 * @example
 * scatterOfCells("ser-1", [], []) // []
 */
export function scatterOfCells(
  seriesId: string,
  factors: readonly Factor[],
  pulls: readonly PullToJudge[],
): ScatterOfCell[] {
  return cellsOfPlan(factors, pulls.map(judgePull)).flatMap((cell) => {
    const used = cell.pulls.filter(({ use }) => use === "counted").filter(hasStrength);
    if (cell.kind !== "planned" || cell.pulls.some(({ use }) => use === "lower bound")) return [];
    const found = summary(used.map(({ strengthN }) => strengthN));
    return found.ok && found.value.cv !== undefined ? [{ seriesId, n: used.length, cv: found.value.cv }] : [];
  });
}
