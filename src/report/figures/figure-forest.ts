import type { PooledSeries } from "../../findings/mod.ts";
import { figureIntervals, type IntervalRow } from "./figure-intervals.ts";

/**
 * Several series one under the other: each mean leg efficiency in per cent with its interval, a square as large as it counts;
 * below them what they come to, with a thin line where the next bench's mean would lie.
 *
 * @example
 * figureForest(findings.pooled[0], { id: "forest", width: 860 })
 */
export function figureForest(
  one: PooledSeries,
  about: { readonly id: string; readonly width: number; readonly simulated?: boolean },
): string {
  return figureIntervals(forestRows(one), {
    ...about,
    title: forestTitle(one),
    axis: "mean leg efficiency, %",
  });
}

/** What is set together, as a title. */
export function forestTitle({ about }: PooledSeries): string {
  return about === "all pulls" ? "Several series together" : `Several series together: ${about}`;
}

/** The rows of that figure. */
export function forestRows({ sources, pooled }: PooledSeries): IntervalRow[] {
  const rows: IntervalRow[] = sources.map(({ name, n, of, mean, weight }) => ({
    label: name,
    beside: of === name ? `n = ${n}` : `${of}, n = ${n}`,
    value: 100 * mean.value,
    interval: percent(mean.interval),
    weight,
  }));
  if (pooled.ok)
    rows.push({
      label: "together",
      beside: "thin: the next bench",
      value: 100 * pooled.value.mean.value,
      interval: percent(pooled.value.mean.interval),
      next: percent(pooled.value.nextSeries),
      kind: "sum",
    });
  return rows;
}

function percent([low, high]: readonly [number, number]): readonly [number, number] {
  return [100 * low, 100 * high];
}
