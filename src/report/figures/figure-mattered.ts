import type { SeriesFindings } from "../../findings/mod.ts";
import { figureIntervals, type IntervalRow } from "./figure-intervals.ts";

type About = { readonly id: string; readonly width: number; readonly simulated?: boolean };

/**
 * What each factor of the plan did, in per cent against its first level, with intervals; nothing where no effect could be
 * worked out.
 *
 * @example
 * figureEffects(findings, { id: "effects", width: 860 })
 */
export function figureEffects(findings: SeriesFindings, about: About): string | undefined {
  const rows = effectRows(findings);
  if (rows.length === 0) return undefined;
  return figureIntervals(rows, { ...about, title: "What mattered", axis: "stronger, %", reference: 0 });
}

/** The rows of that figure. */
export function effectRows({ mattered }: SeriesFindings): IntervalRow[] {
  return mattered.effects.flatMap(({ factor, effect }): IntervalRow[] => {
    if (!effect.ok) return [];
    const [first] = effect.value.levels;
    return effect.value.pairs
      .filter(({ from }) => from === first?.label)
      .map(({ from, to, relative }) => ({
        label: `${factor}: ${to} against ${from}`,
        beside: `n = ${effect.value.n}`,
        value: 100 * relative.value,
        interval: [100 * relative.interval[0], 100 * relative.interval[1]] as const,
      }));
  });
}

/**
 * The parts of the scatter as standard deviations in per cent of the strength, with intervals.
 *
 * @example
 * figureScatterParts(findings, { id: "parts", width: 860 })
 */
export function figureScatterParts(findings: SeriesFindings, about: About): string | undefined {
  const rows = scatterRows(findings);
  if (rows.length === 0) return undefined;
  return figureIntervals(rows, {
    ...about,
    title: "Where the scatter comes from",
    axis: "standard deviation, % of the strength",
    reference: 0,
  });
}

/** The rows of that figure. */
export function scatterRows({ mattered }: SeriesFindings): IntervalRow[] {
  if (!mattered.scatterParts.ok) return [];
  return mattered.scatterParts.value.parts.map(
    ({ name, groups, sd, share, interval }): IntervalRow => ({
      label: groups === undefined ? name : `between: ${name}`,
      beside: `${Math.round(100 * share)} % of the variance${groups === undefined ? "" : `, ${groups} groups`}`,
      value: 100 * sd,
      interval: interval.ok ? [100 * interval.value[0], 100 * interval.value[1]] : undefined,
    }),
  );
}

/**
 * Published figures beside what the pulls show, in per cent of all legs' rated strength; those that cannot be brought to
 * that basis are not drawn.
 *
 * @example
 * figureClaims(findings, { id: "claims", width: 860 })
 */
export function figureClaims(findings: SeriesFindings, about: About): string | undefined {
  const rows = claimRows(findings);
  if (rows.length === 0) return undefined;
  return figureIntervals(rows, {
    ...about,
    title: "Claims against the pulls",
    axis: "of all legs’ rated strength, %",
  });
}

/** The rows of that figure. */
export function claimRows({ claims }: SeriesFindings): IntervalRow[] {
  return claims.flatMap(({ statement, judged, against, n, kind }): IntervalRow[] => {
    if (!judged.ok || judged.value.onLegs === undefined) return [];
    const { claimed, mean } = judged.value.onLegs;
    return [
      {
        label: statement,
        beside: kind === "mean" ? "claimed as a mean" : "claimed as a least value",
        value: 100 * claimed,
        kind: "claimed",
      },
      {
        label: `the pulls: ${against}`,
        beside: `mean, n = ${n}`,
        value: 100 * mean.value,
        interval: [100 * mean.interval[0], 100 * mean.interval[1]] as const,
      },
    ];
  });
}
