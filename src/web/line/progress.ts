import type { SeriesOverview } from "../../app/mod.ts";
import { count, type Stage } from "../words.ts";

/** How far a series is at one stage: 0 to 1, what has been done in two or three words, and whether it needs care. */
export type StageProgress = { readonly done: number; readonly text: string; readonly care?: boolean };

/** How far a series has come along the line. */
export function progressOf(overview: SeriesOverview): Readonly<Record<Stage, StageProgress>> {
  const { series, specimens, pulls, reports } = overview;
  const planned = plannedSpecimens(series);
  const judged = pulls.filter((pull) => pull.outcome !== undefined && pull.specimenId !== undefined).length;
  const toSay = pulls.length - judged;
  const asked = (series.question.trim() === "" ? 0 : 0.5) + (series.factors.length > 0 ? 0.5 : 0);
  const wanted = Math.max(planned, specimens.length);
  return {
    ask: {
      done: asked,
      text: series.question.trim() === "" ? "no question yet" : count(cellCount(series), "cell"),
    },
    splice: {
      done: wanted === 0 ? 0 : specimens.length / wanted,
      text: planned > 0 ? `${specimens.length} of ${wanted} made` : count(specimens.length, "specimen"),
    },
    pull: {
      done: Math.max(wanted, pulls.length) === 0 ? 0 : judged / Math.max(wanted, pulls.length),
      text: toSay > 0 ? `${toSay} to say` : count(pulls.length, "pull"),
      ...(toSay > 0 ? { care: true } : {}),
    },
    judge: {
      done: pulls.length > 0 && toSay === 0 ? 1 : judged > 0 ? 0.5 : 0,
      text: judged > 0 ? `${judged} judged` : "nothing yet",
    },
    tell: {
      done: reports.length > 0 ? 1 : 0,
      text:
        reports.length > 0 ? `revision ${Math.max(...reports.map((one) => one.number))}` : "not published",
    },
    use: { done: reports.length > 0 ? 1 : 0, text: judged > 0 ? "what it permits" : "nothing yet" },
  };
}

/** How many cells the plan has: one where nothing is varied. */
export function cellCount(series: SeriesOverview["series"]): number {
  return series.factors.reduce((cells, factor) => cells * factor.levels.length, 1);
}

export function plannedSpecimens(series: SeriesOverview["series"]): number {
  return cellCount(series) * series.pullsPerCell;
}
