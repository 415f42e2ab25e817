/**
 * The value of a place, counted from 0, that a list would hold if it were ordered; the list is partly ordered on the way.
 * Method: C. A. R. Hoare, Algorithm 65: Find, Comm. ACM 4 (1961), 321-322, about the middle of the part that is left.
 */
export function select(values: Float64Array, place: number): number {
  let low = 0;
  let high = values.length - 1;
  while (low < high) {
    const pivot = values[(low + high) >>> 1] as number;
    let i = low;
    let j = high;
    while (i <= j) {
      while ((values[i] as number) < pivot) i++;
      while ((values[j] as number) > pivot) j--;
      if (i > j) break;
      const swapped = values[i] as number;
      values[i++] = values[j] as number;
      values[j--] = swapped;
    }
    if (place <= j) high = j;
    else if (place >= i) low = i;
    else break;
  }
  return values[place] as number;
}

/** The median; the list is partly ordered on the way. */
export function medianIn(values: Float64Array): number {
  const half = values.length >>> 1;
  const upper = select(values, half);
  if (values.length % 2 === 1) return upper;
  // Everything before the place is no larger than what stands there.
  let lower = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < half; i++) lower = Math.max(lower, values[i] as number);
  return (lower + upper) / 2;
}
