/** A function of a few parameters with its slopes; larger is better. */
export type Hill = {
  readonly size: number;
  /** Bounds of each parameter. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** The value at the parameters; where `slopes` is wanted the gradient and the second derivatives (row by row) as well. */
  readonly climb: (at: Float64Array, slopes: boolean) => number;
  readonly gradient: Float64Array;
  readonly second: Float64Array;
};

/** A hill without bounds to speak of. */
export function makeHill(size: number, height: Hill["climb"]): Hill {
  return {
    size,
    low: new Float64Array(size).fill(-200),
    high: new Float64Array(size).fill(200),
    climb: height,
    gradient: new Float64Array(size),
    second: new Float64Array(size * size),
  };
}

/**
 * Climbs a hill by Newton's steps from `at`, which is moved to the top; answers the height, or NaN where it did not come to
 * rest. Where the hill is not curved downward, a ridge is added until it is (Levenberg and Marquardt); a step that does not
 * climb is halved; a parameter at its bound stays there while the slope pushes outward.
 */
export function climb(hill: Hill, at: Float64Array, room: Room, tolerance: number): number {
  const { size, gradient, second, low, high } = hill;
  const { step, tried, matrix, fixed } = room;
  let height = hill.climb(at, true);
  if (!Number.isFinite(height)) return Number.NaN;
  let ridge = 0;
  for (let round = 0; round < 100; round++) {
    for (let i = 0; i < size; i++) {
      const g = gradient[i] as number;
      const x = at[i] as number;
      fixed[i] = (x <= (low[i] as number) && g <= 0) || (x >= (high[i] as number) && g >= 0) ? 1 : 0;
    }
    while (!solve(size, gradient, second, fixed, ridge, matrix, step)) {
      ridge = Math.max(4 * ridge, 1e-3);
      if (ridge > 1e12) return Number.NaN;
    }
    let gain = 0;
    let longest = 0;
    for (let i = 0; i < size; i++) {
      gain += (gradient[i] as number) * (step[i] as number);
      longest = Math.max(longest, Math.abs(step[i] as number));
    }
    // So near the top the hill is a parabola: the step leads there, and half of what its slope promises is the rise.
    if (gain < tolerance && ridge === 0 && longest < 0.1) {
      moveBy(step, at, low, high);
      return height + 0.5 * gain;
    }
    // Parameters are logarithms of strength or scatter: a step of more than 2 is out of all proportion.
    let damping = longest > 2 ? 2 / longest : 1;
    let next = Number.NaN;
    for (let halving = 0; halving < 40; halving++) {
      for (let i = 0; i < size; i++) {
        const x = (at[i] as number) + damping * (step[i] as number);
        tried[i] = Math.min(Math.max(x, low[i] as number), high[i] as number);
      }
      next = hill.climb(tried, true);
      if (next >= height - 1e-13 * Math.abs(height)) break;
      damping *= 0.5;
    }
    if (!(next >= height - 1e-13 * Math.abs(height))) {
      // No step climbs: at the top to the last digits, or at a place where the second derivatives mislead.
      hill.climb(at, true);
      if (gain < 1e-9) return height;
      ridge = Math.max(16 * ridge, 1e-2);
      if (ridge > 1e12) return Number.NaN;
      continue;
    }
    at.set(tried);
    const rise = next - height;
    height = next;
    if (gain < tolerance || (ridge > 0 && rise < 1e-3 * tolerance && gain < 1e-6)) return height;
    ridge = damping === 1 ? ridge * 0.1 : ridge;
    if (ridge < 1e-9) ridge = 0;
  }
  return Number.NaN;
}

function moveBy(step: Float64Array, at: Float64Array, low: Float64Array, high: Float64Array): void {
  for (let i = 0; i < at.length; i++) {
    const x = (at[i] as number) + (step[i] as number);
    at[i] = Math.min(Math.max(x, low[i] as number), high[i] as number);
  }
}

/** Room for one climb at a time. */
export type Room = {
  readonly step: Float64Array;
  readonly tried: Float64Array;
  readonly matrix: Float64Array;
  readonly fixed: Uint8Array;
};

export function roomFor(size: number): Room {
  return {
    step: new Float64Array(size),
    tried: new Float64Array(size),
    matrix: new Float64Array(size * size),
    fixed: new Uint8Array(size),
  };
}

/** The step (−second + ridge)⁻¹ gradient by Cholesky's root; false where that matrix is not positive definite. */
function solve(
  size: number,
  gradient: Float64Array,
  second: Float64Array,
  fixed: Uint8Array,
  ridge: number,
  root: Float64Array,
  step: Float64Array,
): boolean {
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = fixed[i] === 1 || fixed[j] === 1 ? (i === j ? 1 : 0) : -(second[i * size + j] as number);
      const own = sum;
      if (i === j) sum += ridge * (1 + Math.abs(own));
      for (let k = 0; k < j; k++) sum -= (root[i * size + k] as number) * (root[j * size + k] as number);
      if (i === j) {
        if (!(sum > 1e-12 * (1 + Math.abs(own)))) return false;
        root[i * size + i] = Math.sqrt(sum);
      } else root[i * size + j] = sum / (root[j * size + j] as number);
    }
  }
  for (let i = 0; i < size; i++) {
    let sum = fixed[i] === 1 ? 0 : (gradient[i] as number);
    for (let k = 0; k < i; k++) sum -= (root[i * size + k] as number) * (step[k] as number);
    step[i] = sum / (root[i * size + i] as number);
  }
  for (let i = size - 1; i >= 0; i--) {
    let sum = step[i] as number;
    for (let k = i + 1; k < size; k++) sum -= (root[k * size + i] as number) * (step[k] as number);
    step[i] = sum / (root[i * size + i] as number);
  }
  return true;
}
