import { type Result, refuse } from "../../problem/mod.ts";
import type { Factor } from "../../series/mod.ts";
import { type ExactTable, exactTable, proportion } from "../../stats/mod.ts";
import type { Estimate, FailurePlaces } from "../effect-types.ts";
import type { JudgedPull } from "../types.ts";
import { levelLabel } from "./kinds.ts";

/** Random tables drawn where there are too many to look at all of them. */
const resamples = 19_999;

/**
 * Where pulls broke or slipped, level by level of each factor: counts, shares with Wilson's intervals, and whether places
 * and levels have to do with each other (Fisher, Freeman and Halton). Without factors one table of all pulls and no test.
 * Pulls whose place nobody wrote down are left out.
 */
export function failurePlaces(factors: readonly Factor[], pulls: readonly JudgedPull[]): FailurePlaces[] {
  const placed = pulls.flatMap((pull) => {
    const { outcome } = pull;
    return outcome?.kind !== "broke" && outcome?.kind !== "slipped"
      ? []
      : outcome.place === ""
        ? []
        : [{ pull, place: outcome.place }];
  });
  if (placed.length === 0) return [];
  if (factors.length === 0)
    return [
      tableOf(
        "",
        ["all pulls"],
        placed.map((one) => ({ ...one, label: "all pulls" })),
      ),
    ];
  return factors.map((factor) => {
    const known = placed.flatMap((one) => {
      const level = Object.hasOwn(one.pull.levels, factor.name) ? one.pull.levels[factor.name] : undefined;
      return level === undefined ? [] : [{ ...one, label: levelLabel(factor, level) }];
    });
    const order = factor.levels.map((level) => levelLabel(factor, level));
    return tableOf(factor.name, order, known);
  });
}

type Placed = { readonly pull: JudgedPull; readonly place: string; readonly label: string };

function tableOf(factor: string, order: readonly string[], placed: readonly Placed[]): FailurePlaces {
  const counts = new Map<string, number>();
  for (const { place } of placed) counts.set(place, (counts.get(place) ?? 0) + 1);
  const places = [...counts].sort(([a, n], [b, m]) => m - n || (a < b ? -1 : 1)).map(([place]) => place);
  const labels = [...new Set([...order, ...placed.map(({ label }) => label)])];
  const rows = labels.flatMap((label) => {
    const own = placed.filter((one) => one.label === label);
    if (own.length === 0) return [];
    const countOf = (place: string) => own.filter((one) => one.place === place).length;
    return [
      {
        label,
        n: own.length,
        counts: places.map((place) => ({
          place,
          count: countOf(place),
          share: shareOf(countOf(place), own.length),
        })),
      },
    ];
  });
  return {
    factor,
    places,
    rows,
    pulls: placed.map(({ pull }) => pull.pullId),
    test: testOf(rows.map((row) => row.counts.map(({ count }) => count))),
  };
}

function shareOf(successes: number, n: number): Estimate {
  const found = proportion({ successes, n });
  // A count of n, n above 0, is never refused.
  return found.ok
    ? { value: found.value.estimate, interval: found.value.interval }
    : { value: 0, interval: [0, 1] };
}

function testOf(table: readonly (readonly number[])[]): Result<Pick<ExactTable, "p" | "exact" | "tables">> {
  if (table.length < 2 || (table[0]?.length ?? 0) < 2)
    return refuse({
      code: "STAT_TOO_FEW",
      message: "Whether places go with levels needs 2 levels and 2 places.",
      found: `${table.length} levels, ${table[0]?.length ?? 0} places`,
      expected: "2 of each or more",
    });
  const found = exactTable({ table, resamples });
  if (!found.ok) return found;
  const { p, exact, tables } = found.value;
  return { ok: true, value: { p, exact, tables }, warnings: found.warnings };
}
