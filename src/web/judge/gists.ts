import {
  buryBoundText,
  type CellFindings,
  chanceText,
  type Estimate,
  type SeriesFindings,
  type SeriesSlipOrBreak,
} from "../../findings/mod.ts";
import { type OutcomeKind, outcomeKinds } from "../../series/mod.ts";
import { force } from "../shown-units.ts";
import { count } from "../words.ts";
import { pFigure, shareRange } from "./estimates.tsx";

// What each folded section of Judge comes to, in a line.

export function gistOfBury({ answer }: SeriesSlipOrBreak): string {
  const { length, confidence } = answer;
  const asked = `at most ${chanceText(length.chance)} slip first, ${chanceText(confidence)} confidence`;
  return length.upper === undefined
    ? `${asked}: the pulls put no end to it`
    : `From ${buryBoundText(length)} on: ${asked}`;
}

export function gistOfEffects({ mattered }: SeriesFindings): string {
  if (mattered.effects.length === 0) return "The plan varies nothing";
  return mattered.effects
    .map(({ factor, effect }) =>
      effect.ok ? `${factor}: p ${pFigure(effect.value.significance.p)}` : `${factor}: not compared`,
    )
    .join(" · ");
}

export function gistOfPlaces({ places }: SeriesFindings): string {
  const found = Object.entries(places).sort((a, b) => b[1] - a[1]);
  return found.length === 0
    ? "No place was named"
    : found.map(([place, n]) => `${place === "" ? "place not named" : place} ${n}`).join(" · ");
}

export function gistOfRateAndHold({ mattered: { rateEffect, settling } }: SeriesFindings): string {
  const share = (of: Estimate) => shareRange(of.interval);
  return [
    rateEffect.ok
      ? `ten times the rate: ${share(rateEffect.value.perTenfold)}`
      : "no effect of the rate could be given",
    settling.ok ? `settling: ${share(settling.value.mean)} in each tenfold of time` : "no settling was read",
  ].join(" · ");
}

export function gistOfClaims({ claims }: SeriesFindings): string {
  if (claims.length === 0) return "No published figure was entered";
  const verdicts = claims.map(({ judged }) => (judged.ok ? judged.value.verdict : "not comparable"));
  const counted = [...new Set(verdicts)].map(
    (verdict) => `${verdicts.filter((one) => one === verdict).length} ${verdict}`,
  );
  return `${count(claims.length, "published figure")}: ${counted.join(", ")}`;
}

export function gistOfPooling(pooledWith: number): string {
  return pooledWith === 0
    ? "No other series stands beside this one"
    : `${pooledWith === 1 ? "One other series stands" : `${pooledWith} other series stand`} beside this one`;
}

export function gistOfCells(cells: readonly CellFindings[]): string {
  const means = cells.flatMap(({ meanN }) => (meanN.ok ? [meanN.value] : []));
  return `${count(cells.length, "cell")}${means.length === 0 ? "" : `, means from ${force(Math.min(...means))} to ${force(Math.max(...means))}`}`;
}

export function gistOfPulls({ pulls, outcomes }: SeriesFindings): string {
  const counted = outcomeKinds.filter((kind: OutcomeKind) => outcomes[kind] > 0);
  return `${count(pulls.length, "pull")}: ${counted.map((kind) => `${outcomes[kind]} ${kind}`).join(", ")}`;
}
