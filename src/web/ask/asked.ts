import { useEffect, useRef, useState } from "preact/hooks";
import type { SeriesPlan } from "../../app/mod.ts";
import { fromForceUnit, newtons, toForceUnit } from "../../units/mod.ts";
import { type Answer, ask, changes } from "../server.ts";
import type { ShownForceUnit } from "../shown-units.ts";

/** What is typed for a plan; text until it is sent. */
export type PlanTyped = {
  readonly difference: string;
  readonly differenceIn: "%" | "force";
  readonly strength: string;
  readonly power: string;
  readonly cv: string;
  readonly growth: "" | "exponential" | "linear";
  readonly plateau: string;
  readonly turn: string;
  readonly slipBury: string;
  readonly slipStrength: string;
  readonly scatter: string;
  readonly seed: string;
  readonly spoolIds: readonly string[];
  readonly makers: string;
  readonly ropeId: string;
  readonly recipeId: string;
  readonly length: string;
  readonly minutes: string;
};

export const nothingTyped: PlanTyped = {
  difference: "10",
  differenceIn: "%",
  strength: "",
  power: "80",
  cv: "",
  growth: "",
  plateau: "",
  turn: "",
  slipBury: "",
  slipStrength: "",
  scatter: "",
  seed: "1",
  spoolIds: [],
  makers: "",
  ropeId: "",
  recipeId: "",
  length: "",
  minutes: "",
};

/** What the specimens are made with, as the book wants it. What reads as no number is sent as it is, and refused with its field. */
export function specimensAsked(typed: PlanTyped): Record<string, unknown> {
  return present({
    seed: numberIn(typed.seed),
    spoolIds: typed.spoolIds,
    makers: typed.makers
      .split(/[,;]/)
      .map((name) => name.trim())
      .filter((name) => name !== ""),
    ropeId: typed.spoolIds.length > 0 ? undefined : typed.ropeId || undefined,
    recipeId: typed.recipeId || undefined,
    lengthMm: numberIn(typed.length),
  });
}

/** The whole question to the book. */
export function planAsked(typed: PlanTyped, unit: ShownForceUnit): Record<string, unknown> {
  const newtonsIn = (text: string) => times(numberIn(text), fromForceUnit(1, unit));
  return present({
    ...specimensAsked(typed),
    ...(typed.differenceIn === "%"
      ? { difference: times(numberIn(typed.difference), 0.01) }
      : { differenceN: newtonsIn(typed.difference), strengthN: newtonsIn(typed.strength) }),
    power: times(numberIn(typed.power), 0.01),
    cv: times(numberIn(typed.cv), 0.01),
    minutes: numberIn(typed.minutes),
    truth: present({
      growth: typed.growth || undefined,
      plateau: times(numberIn(typed.plateau), 0.01),
      turn: numberIn(typed.turn),
      slipBury: numberIn(typed.slipBury),
      slipStrength: times(numberIn(typed.slipStrength), 0.01),
      slipScatter: times(numberIn(typed.scatter), 0.01),
      breakScatter: times(numberIn(typed.scatter), 0.01),
    }),
  });
}

/** The book's answer; the last one stays while the next is on its way, so that nothing jumps. */
export function usePlan(seriesId: string, body: string): Answer<SeriesPlan> | undefined {
  const [answer, setAnswer] = useState<Answer<SeriesPlan>>();
  const change = changes.value;
  const latest = useRef("");
  useEffect(() => {
    const key = `${seriesId} ${change} ${body}`;
    latest.current = key;
    ask<SeriesPlan>("POST", `/api/series/${encodeURIComponent(seriesId)}/plan`, JSON.parse(body), {
      quiet: true,
    }).then((said) => {
      if (latest.current === key) setAnswer(said);
    });
    return () => {
      latest.current = "";
    };
  }, [seriesId, body, change]);
  return answer;
}

/** How a force is shown for typing: in the chosen unit, without it. */
export function forceTyped(valueN: number, unit: ShownForceUnit): string {
  return String(Number(toForceUnit(newtons(valueN), unit).toPrecision(3)));
}

function numberIn(text: string): number | string | undefined {
  const typed = text.trim().replace(",", ".");
  if (typed === "") return undefined;
  return Number.isFinite(Number(typed)) ? Number(typed) : text;
}

function times(value: number | string | undefined, factor: number): number | string | undefined {
  return typeof value === "number" ? Number((value * factor).toPrecision(12)) : value;
}

function present(fields: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined));
}
