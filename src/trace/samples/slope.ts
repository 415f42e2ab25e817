/**
 * Slope of a straight line by least squares through points. Sums are taken about the first of them: an axis in epoch
 * seconds would lose its digits otherwise. Nothing where the axis stands still.
 *
 * @example
 * slopeOf(Float64Array.of(1.7e9, 1.7e9 + 1, 1.7e9 + 2), Float64Array.of(0, 5, 10)) // 5
 */
export function slopeOf(x: Float64Array, y: Float64Array): number | undefined {
  const count = x.length;
  const [firstX, firstY] = [x[0] as number, y[0] as number];
  let sumX = 0;
  let sumY = 0;
  let squares = 0;
  let products = 0;
  for (let at = 0; at < count; at++) {
    const awayX = (x[at] as number) - firstX;
    const awayY = (y[at] as number) - firstY;
    sumX += awayX;
    sumY += awayY;
    squares += awayX * awayX;
    products += awayX * awayY;
  }
  const across = squares - (sumX * sumX) / count;
  return across > 0 ? (products - (sumX * sumY) / count) / across : undefined;
}
