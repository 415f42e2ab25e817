import type { Estimate, Significance } from "../effect-types.ts";
import { percentText } from "../rounding.ts";

/** "12 % (95 % interval 8 to 16 %)", to the digits that the interval leaves. */
export function estimateText({ value, interval: [low, high] }: Estimate): string {
  const u = uncertaintyOf({ value, interval: [low, high] });
  return `${percentText(value, u)} (95 % interval ${percentText(low, u).replace(" %", "")} to ${percentText(high, u)})`;
}

/** About the standard uncertainty of an estimate: a quarter of its interval's width. */
export function uncertaintyOf({ interval: [low, high] }: Estimate): number {
  return (high - low) / 4;
}

/** "p = 0.0079", "p < 0.001". */
export function pText(p: number): string {
  return p < 0.001 ? "p < 0.001" : `p = ${Number(p.toPrecision(2))}`;
}

/** How a p came about: "p = 0.0079, exact over 126 arrangements". */
export function significanceText(
  { by, p, pOfAll, exact, arrangements }: Significance,
  questions = 1,
): string {
  const count = (arrangements ?? 0).toLocaleString("en").replaceAll(",", " ");
  const how = {
    permutation:
      exact === true ? `exact over ${count} arrangements` : `by ${count} arrangements drawn at random`,
    "F law": "by the F law",
    "mixed model": "by a mixed model",
  }[by];
  const together =
    questions > 1 ? `; with the ${questions} questions asked counted in, ${pText(pOfAll)}` : "";
  return `${pText(p)}, ${how}${together}`;
}

/** "Bury", of "bury". */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** To two digits, for what is no more than an order of size. */
export function roughPercent(fraction: number): string {
  return `${Number((100 * fraction).toPrecision(2))} %`;
}
