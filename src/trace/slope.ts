/**
 * Slope of a straight line by least squares through the samples of a range, both ends in. Sums are taken about the means:
 * an axis in epoch seconds would lose its digits otherwise. Nothing where the axis stands still.
 *
 * @example
 * slopeOf({ from: 0, to: 2 }, (at) => 1.7e9 + at, (at) => 5 * at) // 5
 */
export function slopeOf(
  { from, to }: { readonly from: number; readonly to: number },
  x: (at: number) => number,
  y: (at: number) => number,
): number | undefined {
  const count = to - from + 1;
  let meanX = 0;
  let meanY = 0;
  for (let at = from; at <= to; at++) {
    meanX += x(at) / count;
    meanY += y(at) / count;
  }
  let across = 0;
  let along = 0;
  for (let at = from; at <= to; at++) {
    const away = x(at) - meanX;
    across += away * away;
    along += away * (y(at) - meanY);
  }
  return across > 0 ? along / across : undefined;
}
