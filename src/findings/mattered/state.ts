import type { Finding, WhatMattered } from "../types.ts";
import { stateEffect, stateInteraction, stateOrder, stateRate } from "./state-effects.ts";
import { statePlaces, stateScatter, stateSettling } from "./state-parts.ts";

/** What mattered, in sentences: each with its numbers, its n, its method and the pulls that it rests on. */
export function stateWhatMattered(shown: WhatMattered): Finding[] {
  const questions = shown.effects.filter(({ effect }) => effect.ok).length + shown.interactions.length;
  return [
    ...shown.effects.flatMap(({ factor, effect }) =>
      effect.ok
        ? stateEffect(effect.value, questions)
        : notWorkedOut(factor, effect.problems[0]?.message ?? ""),
    ),
    ...shown.interactions.map((one) => stateInteraction(one, questions)),
    ...shown.failurePlaces.flatMap(statePlaces),
    ...(shown.scatterParts.ok ? [stateScatter(shown.scatterParts.value)] : []),
    ...(shown.orderTrend.ok ? [stateOrder(shown.orderTrend.value)] : []),
    ...(shown.rateEffect.ok ? [stateRate(shown.rateEffect.value)] : []),
    ...(shown.settling.ok ? [stateSettling(shown.settling.value)] : []),
  ];
}

function notWorkedOut(factor: string, why: string): Finding[] {
  return [
    {
      id: `effect-${factor}`,
      sentence: `What ${factor} does is not shown by these pulls. ${why}`,
      method: "A refusal with its reason, where no figure can be given.",
      pulls: [],
      warnings: [],
    },
  ];
}
