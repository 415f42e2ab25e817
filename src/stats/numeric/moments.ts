/** Mean and squared deviations of a list, worked so that no digit of the values as typed is lost. */
export type Moments = {
  readonly n: number;
  readonly mean: number;
  /** Σ(x − mean)². */
  readonly sumOfSquares: number;
  /** Σ(xᵢ − mean)(xᵢ₊₁ − mean), over neighbours in the order given. */
  readonly sumOfNeighbours: number;
};

/**
 * Mean and squared deviations of n ≥ 1 finite values.
 *
 * A value typed as 1000000.2 is not that number in binary, and where the scatter is a ten-millionth of the mean, the
 * difference spoils the seventh digit of the standard deviation. So the values are taken for the decimals they were
 * typed as: where a power of ten makes all of them whole, the sums run over those whole numbers, exactly, about a whole
 * pivot. Otherwise they run over the values themselves, scaled by a power of two so that 1e-300 and 1e300 neither
 * vanish nor overflow.
 * Source: the corrected two-pass algorithm, T. F. Chan, G. H. Golub and R. J. LeVeque, Amer. Statist. 37 (1983),
 * 242-247; compensated sums, A. Neumaier (1974).
 */
export function moments(values: ArrayLike<number>): Moments {
  const n = values.length;
  const { scaled, unit } = scaleToWhole(values);
  const first = sum(scaled) / n;
  const pivot = Math.abs(first) < 2 ** 52 && unit.isDecimal ? Math.round(first) : first;
  const deviations = new Float64Array(n);
  for (let i = 0; i < n; i++) deviations[i] = (scaled[i] as number) - pivot;
  const rest = sum(deviations) / n;
  const squares = sumOf(n, (i) => ((deviations[i] as number) - rest) ** 2);
  const correction = sumOf(n, (i) => (deviations[i] as number) - rest);
  const neighbours = sumOf(
    n - 1,
    (i) => ((deviations[i + 1] as number) - rest) * ((deviations[i] as number) - rest),
  );
  return {
    n,
    mean: unit.toValue(pivot + rest),
    sumOfSquares: unit.toSquare(squares - (correction * correction) / n),
    sumOfNeighbours: unit.toSquare(neighbours),
  };
}

/** The sum of values with the rounding errors carried along (Neumaier 1974). */
export function sum(values: ArrayLike<number>): number {
  return sumOf(values.length, (i) => values[i] as number);
}

/** The same over the terms 0 to n − 1, without making a list of them. */
function sumOf(n: number, term: (i: number) => number): number {
  let total = 0;
  let lost = 0;
  for (let i = 0; i < n; i++) {
    const value = term(i);
    const next = total + value;
    lost += Math.abs(total) >= Math.abs(value) ? total - next + value : value - next + total;
    total = next;
  }
  return total + lost;
}

/** The length of a vector, or of what it has from a place on; safe from overflow. */
export function norm(vector: ArrayLike<number>, from = 0): number {
  let largest = 0;
  for (let i = from; i < vector.length; i++) largest = Math.max(largest, Math.abs(vector[i] as number));
  if (largest === 0 || !Number.isFinite(largest)) return largest;
  let squares = 0;
  // A product, not a power: a power is a call until the compiler has done with the loop.
  for (let i = from; i < vector.length; i++) {
    const part = (vector[i] as number) / largest;
    squares += part * part;
  }
  return largest * Math.sqrt(squares);
}

type Scale = {
  readonly isDecimal: boolean;
  readonly toValue: (scaled: number) => number;
  readonly toSquare: (scaledSquare: number) => number;
};

/** The values times a power of ten that makes them whole, or times a power of two that keeps their squares in range. */
export function scaleToWhole(values: ArrayLike<number>): {
  readonly scaled: Float64Array;
  readonly unit: Scale;
} {
  const n = values.length;
  const scaled = new Float64Array(n);
  for (let digits = 0; digits <= 15; digits++) {
    const ten = 10 ** digits;
    let i = 0;
    for (; i < n; i++) {
      const value = values[i] as number;
      const whole = Math.round(value * ten);
      // Below 2^50 the product rounds to the right whole number, and dividing it gives the value back.
      if (whole / ten !== value || Math.abs(whole) > 2 ** 50) break;
      scaled[i] = whole;
    }
    if (i === n) {
      return {
        scaled,
        unit: { isDecimal: true, toValue: (x) => x / ten, toSquare: (x) => x / ten / ten },
      };
    }
  }
  let largest = 0;
  for (let i = 0; i < n; i++) largest = Math.max(largest, Math.abs(values[i] as number));
  const exponent = Math.floor(Math.log2(largest));
  const down = 2 ** Math.trunc(-exponent / 2);
  const down2 = 2 ** (-exponent - Math.trunc(-exponent / 2));
  for (let i = 0; i < n; i++) scaled[i] = (values[i] as number) * down * down2;
  return {
    scaled,
    unit: {
      isDecimal: false,
      toValue: (x) => x / down / down2,
      toSquare: (x) => x / down / down2 / down / down2,
    },
  };
}
