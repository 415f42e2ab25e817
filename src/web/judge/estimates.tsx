import { decimalsFor, type Estimate, type Significance } from "../../findings/mod.ts";
import { formatNumber, withMinus } from "../../units/mod.ts";
import { force } from "../shown-units.ts";

/** A share with its interval beneath it, to the digits that the interval leaves: "68 %", "47 to 91 %". */
export function ShareEstimate({ of, signed = false }: { readonly of: Estimate; readonly signed?: boolean }) {
  const decimals = shareDecimals(of.interval);
  const figure = (value: number) => shareFigure(value, decimals);
  return (
    <>
      {signed && of.value > 0 ? "+" : ""}
      {figure(of.value)} %
      <small>
        {figure(of.interval[0])} to {figure(of.interval[1])}
      </small>
    </>
  );
}

/** "1.88 to 2.16 %". */
export function shareRange([low, high]: readonly [number, number]): string {
  const decimals = shareDecimals([low, high]);
  return `${shareFigure(low, decimals)} to ${shareFigure(high, decimals)} %`;
}

/** A difference of forces with its interval beneath it, in the unit that is shown. */
export function ForceEstimate({ of }: { readonly of: Estimate }) {
  return (
    <>
      {force(of.value)}
      <small>
        {force(of.interval[0])} to {force(of.interval[1])}
      </small>
    </>
  );
}

/** "< 0.001", "0.12". */
export function pFigure(p: number): string {
  return p < 0.001 ? "< 0.001" : String(Number(p.toPrecision(2)));
}

/** How a p came about. */
export function byWhat({ by, exact, arrangements }: Significance): string {
  if (by !== "permutation") return by === "F law" ? "by the F law" : "by a mixed model";
  const counted = (arrangements ?? 0).toLocaleString("en").replaceAll(",", "\u00a0");
  return exact === true ? `exact over ${counted} arrangements` : `by ${counted} arrangements drawn at random`;
}

/** A fraction in per cent to two digits, for what is no more than an order of size. */
export function roughShare(fraction: number): string {
  return `${Number((100 * fraction).toPrecision(2))} %`;
}

/** Decimals of a percentage by a quarter of its interval's width, about its standard uncertainty. */
function shareDecimals([low, high]: readonly [number, number]): number {
  return Math.min(3, Math.max(0, decimalsFor((100 * (high - low)) / 4)));
}

function shareFigure(value: number, decimals: number): string {
  return withMinus(formatNumber(100 * value, { decimals }));
}
