import { ok } from "../../problem/mod.ts";
import type { Factor } from "../../series/mod.ts";
import type { Significance } from "../effect-types.ts";
import type { JudgedPull, WhatMattered } from "../types.ts";
import { compared } from "./compared.ts";
import { factorEffect, holm, oneLevelOnly, refusedEffects } from "./effects.ts";
import { failurePlaces } from "./failure-places.ts";
import { interactionsOf } from "./interactions.ts";
import { orderTrend } from "./order-trend.ts";
import { rateEffect } from "./rate-effect.ts";
import { scatterParts } from "./scatter-parts.ts";
import { settlingShown } from "./settling.ts";

/**
 * What mattered in a series, over the pulls that count. Each p of a factor or an interaction stands beside the one that
 * counts the other questions in (Holm); order and rate are checks and stand alone. The same pulls give the same numbers.
 */
export function whatMattered(factors: readonly Factor[], judged: readonly JudgedPull[]): WhatMattered {
  const basis = compared(judged);
  const places = failurePlaces(factors, judged);
  const settling = settlingShown(judged);
  if (!basis.ok)
    return {
      effects: refusedEffects(factors, basis),
      interactions: [],
      orderTrend: basis,
      scatterParts: basis,
      failurePlaces: places,
      rateEffect: basis,
      settling,
    };
  const effects = factors.map((factor) => ({
    factor: factor.name,
    effect: effectOf(factor, factors, basis.value),
  }));
  const interactions = interactionsOf(factors, basis.value);
  const asked: Significance[] = [
    ...effects.flatMap(({ effect }) => (effect.ok ? [effect.value.significance] : [])),
    ...interactions.map(({ significance }) => significance),
  ];
  const together = holm(asked.map(({ p }) => p));
  const ofAll = (one: Significance): Significance => ({
    ...one,
    pOfAll: together[asked.indexOf(one)] ?? one.p,
  });
  return {
    effects: effects.map(({ factor, effect }) => ({
      factor,
      effect: effect.ok
        ? ok({ ...effect.value, significance: ofAll(effect.value.significance) }, effect.warnings)
        : effect,
    })),
    interactions: interactions.map((one) => ({ ...one, significance: ofAll(one.significance) })),
    orderTrend: orderTrend(factors, basis.value),
    scatterParts: scatterParts(factors, basis.value),
    failurePlaces: places,
    rateEffect: rateEffect(factors, basis.value),
    settling,
  };
}

function effectOf(factor: Factor, factors: readonly Factor[], of: Parameters<typeof factorEffect>[2]) {
  const levels = of.pulls.flatMap(({ levels }) =>
    Object.hasOwn(levels, factor.name) ? [String(levels[factor.name])] : [],
  );
  return new Set(levels).size < 2 ? oneLevelOnly(factor.name) : factorEffect(factor, factors, of);
}
