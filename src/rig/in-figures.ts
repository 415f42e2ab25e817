/**
 * A number to so many figures, and never in powers of ten: what has more digits before its point is rounded to a whole.
 *
 * @example
 * inFigures(100, 2) // "100", where toPrecision says 1.0e+2
 */
export function inFigures(value: number, figures: number): string {
  return Math.abs(value) >= 10 ** figures - 0.5 ? String(Math.round(value)) : value.toPrecision(figures);
}
