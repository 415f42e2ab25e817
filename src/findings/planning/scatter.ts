import { chiSquaredQuantile } from "../../stats/mod.ts";

/** The scatter of strengths within a cell, as a share of their mean, and what it rests on. */
export type ExpectedScatter = {
  readonly cv: number;
  /** The range in which the true one lies: 90 % of the time from the book's pulls, otherwise the customary range. */
  readonly range: readonly [low: number, high: number];
  readonly source: "book" | "custom" | "typed";
  readonly says: string;
  /** Series, cells and pulls that it rests on; 0 where it is customary. */
  readonly series: number;
  readonly cells: number;
  readonly pulls: number;
};

/** One cell of an earlier series: its pulls that count, and their CV. */
export type ScatterOfCell = { readonly seriesId: string; readonly n: number; readonly cv: number };

/** Scatter of spliced strengths within a cell. Common practice, no published source. */
export const customaryCv = [0.05, 0.08] as const;

/** Fewer degrees of freedom than this say less of the scatter than custom does. */
export const enoughFreedom = 6;

/**
 * Which scatter is to be expected? That of the book's own earlier series, pooled over their cells; where these hold too few
 * pulls, the customary 5 to 8 %, of which the larger is planned with.
 *
 * Formula: CV² = Σ (n − 1) CV² / Σ (n − 1); its range by chi-squared on Σ (n − 1) degrees of freedom, which takes the mean of
 * each cell as known (at a CV below 15 % that is off by less than 2 %).
 * Source: algebra; "customary" is common practice, no published source.
 *
 * @example
 * expectedScatter([{ seriesId: "a", n: 5, cv: 0.06 }, { seriesId: "a", n: 5, cv: 0.08 }]).cv // 0.0707
 */
export function expectedScatter(cells: readonly ScatterOfCell[]): ExpectedScatter {
  const used = cells.filter(({ n, cv }) => n >= 2 && cv > 0);
  const freedom = used.reduce((sum, { n }) => sum + n - 1, 0);
  const counts = {
    series: new Set(used.map(({ seriesId }) => seriesId)).size,
    cells: used.length,
    pulls: used.reduce((sum, { n }) => sum + n, 0),
  };
  if (freedom < enoughFreedom)
    return {
      cv: customaryCv[1],
      range: customaryCv,
      source: "custom",
      says: "5 to 8 %, planned with 8 %: common practice, no published source",
      series: 0,
      cells: 0,
      pulls: 0,
    };
  const cv = Math.sqrt(used.reduce((sum, one) => sum + (one.n - 1) * one.cv ** 2, 0) / freedom);
  const at = (share: number) => cv * Math.sqrt(freedom / chiSquaredQuantile(share, freedom));
  return {
    cv,
    range: [at(0.95), at(0.05)],
    source: "book",
    says: `pooled over ${counts.pulls} pulls in ${counts.cells} ${counts.cells === 1 ? "cell" : "cells"} of ${counts.series} earlier ${counts.series === 1 ? "series" : "series of this book"}`,
    ...counts,
  };
}

/** A scatter that the tester typed. */
export function typedScatter(cv: number): ExpectedScatter {
  return { cv, range: [cv, cv], source: "typed", says: "as typed", series: 0, cells: 0, pulls: 0 };
}
