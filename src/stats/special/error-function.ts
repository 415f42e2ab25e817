/**
 * The error function and its complement, relative error about 2e-16, the complement down to the smallest doubles.
 * Source: W. J. Cody, Rational Chebyshev approximations for the error function, Math. Comp. 23 (1969), 631-637.
 */
export function erf(x: number): number {
  if (Math.abs(x) <= nearLimit) return x * nearRatio(x * x);
  return x > 0 ? 1 - erfc(x) : erfc(-x) - 1;
}

/** 1 − erf(x), without the loss of digits for x > 0; see `erf`. */
export function erfc(x: number): number {
  if (Math.abs(x) <= nearLimit) return 1 - x * nearRatio(x * x);
  const size = Math.abs(x);
  const tail = expMinusSquare(size) * scaledTail(size);
  return x > 0 ? tail : 2 - tail;
}

/** exp(x²) erfc(x) for x ≥ 0: what is left of the tail when its steep part is taken out. */
export function scaledErfc(x: number): number {
  return x <= nearLimit ? Math.exp(x * x) * erfc(x) : scaledTail(x);
}

const nearLimit = 0.46875;

/** exp(−x²): the square is split, so that its rounding error is not multiplied by its size. */
function expMinusSquare(x: number): number {
  const head = Math.trunc(x * 16) / 16;
  return Math.exp(-head * head) * Math.exp(-(x - head) * (x + head));
}

function nearRatio(y: number): number {
  let top = near.p[4] * y;
  let bottom = y;
  for (let i = 0; i < 3; i++) {
    top = (top + (near.p[i] as number)) * y;
    bottom = (bottom + (near.q[i] as number)) * y;
  }
  return (top + near.p[3]) / (bottom + near.q[3]);
}

function scaledTail(x: number): number {
  if (x <= 4) {
    let top = middle.p[8] * x;
    let bottom = x;
    for (let i = 0; i < 7; i++) {
      top = (top + (middle.p[i] as number)) * x;
      bottom = (bottom + (middle.q[i] as number)) * x;
    }
    return (top + middle.p[7]) / (bottom + middle.q[7]);
  }
  const y = 1 / (x * x);
  let top = far.p[5] * y;
  let bottom = y;
  for (let i = 0; i < 4; i++) {
    top = (top + (far.p[i] as number)) * y;
    bottom = (bottom + (far.q[i] as number)) * y;
  }
  return (1 / Math.sqrt(Math.PI) - (y * (top + far.p[4])) / (bottom + far.q[4])) / x;
}

// The coefficients of Cody's tables: |x| ≤ 0.46875, 0.46875 to 4, and above 4.
const near = {
  p: [3.1611237438705655, 113.86415415105016, 377.485237685302, 3209.3775891384694, 0.18577770618460315],
  q: [23.601290952344122, 244.02463793444417, 1282.6165260773723, 2844.236833439171],
} as const;
const middle = {
  p: [
    0.5641884969886701, 8.883149794388377, 66.11919063714163, 298.6351381974001, 881.952221241769,
    1712.0476126340707, 2051.0783778260716, 1230.3393547979972, 2.1531153547440383e-8,
  ],
  q: [
    15.744926110709835, 117.6939508913125, 537.1811018620099, 1621.3895745666903, 3290.7992357334597,
    4362.619090143247, 3439.3676741437216, 1230.3393548037495,
  ],
} as const;
const far = {
  p: [
    0.30532663496123236, 0.36034489994980445, 0.12578172611122926, 0.016083785148742275, 6.587491615298378e-4,
    0.016315387137302097,
  ],
  q: [2.568520192289822, 1.8729528499234604, 0.5279051029514285, 0.06051834131244132, 0.0023352049762686918],
} as const;
