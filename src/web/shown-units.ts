import { computed, signal } from "@preact/signals";
import { type ForceUnit, formatForce, formatNumber, newtons, withMinus } from "../units/mod.ts";
import { recall, remember } from "./memory.ts";

/** Units that forces can be shown in; stored figures stay newtons. */
export const shownForceUnits = ["kN", "N", "kgf", "lbf"] as const satisfies readonly ForceUnit[];
export type ShownForceUnit = (typeof shownForceUnits)[number];

/** The unit in which forces are shown on this computer. */
export const forceUnit = signal<ShownForceUnit>(
  shownForceUnits.find((unit) => unit === recall("force-unit")) ?? "kN",
);
export const otherForceUnit = computed<ShownForceUnit>(() => (forceUnit.value === "lbf" ? "kN" : "lbf"));

export function showForcesIn(unit: ShownForceUnit): void {
  forceUnit.value = unit;
  remember("force-unit", unit);
}

/** A force with its unit, as in "34.2 kN"; less than one kilonewton is told in newtons. */
export function force(valueN: number): string {
  const unit = forceUnit.value === "kN" && Math.abs(valueN) < 1000 ? "N" : forceUnit.value;
  return withMinus(formatForce(newtons(valueN), unit).text);
}

/** A force without its unit, for a table whose heading names it. */
export function forceFigure(valueN: number): string {
  return withMinus(formatForce(newtons(valueN), forceUnit.value).figure);
}

/** A fraction as a percentage with one digit after the point. */
export function percent(fraction: number): string {
  return `${withMinus(formatNumber(fraction * 100, { decimals: 1 }))} %`;
}

/** Seconds with as many digits as a reader of a trace can use. */
export function seconds(valueS: number): string {
  return `${withMinus(formatNumber(valueS, { decimals: 2 }))} s`;
}

/** A file's size in the words of file managers. */
export function fileSize(bytes: number): string {
  if (bytes < 1000) return `${bytes} bytes`;
  if (bytes < 1_000_000) return `${formatNumber(bytes / 1000, { significant: 2 })} kB`;
  return `${formatNumber(bytes / 1_000_000, { significant: 2 })} MB`;
}
