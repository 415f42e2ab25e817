/** a·b and what its rounding lost. Source: T. J. Dekker, Numer. Math. 18 (1971), 224-242. */
function twoProduct(a: number, b: number): readonly [number, number] {
  const product = a * b;
  const [aHigh, aLow] = split(a);
  const [bHigh, bLow] = split(b);
  return [product, aLow * bLow - (product - aHigh * bHigh - aLow * bHigh - aHigh * bLow)];
}

function split(a: number): readonly [number, number] {
  const spread = 134217729 * a;
  const high = spread - (spread - a);
  return [high, a - high];
}

/** start + Σ aᵢ bᵢ as if worked with twice the digits and rounded once. Source: Ogita, Rump and Oishi (2005), Dot2. */
export function exactDot(start: number, a: ArrayLike<number>, b: ArrayLike<number>): number {
  let total = start;
  let lost = 0;
  for (let i = 0; i < a.length; i++) {
    const [product, productLost] = twoProduct(a[i] as number, b[i] as number);
    const next = total + product;
    const back = next - total;
    lost += total - (next - back) + (product - back) + productLost;
    total = next;
  }
  return total + lost;
}
