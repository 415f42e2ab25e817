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

// The coefficients are those of Cody's tables, written out: a loop over lists takes three times as long.

/** erf(x)/x, of y = x², for |x| ≤ 0.46875. */
function nearRatio(y: number): number {
  const top =
    (((0.18577770618460315 * y + 3.1611237438705655) * y + 113.86415415105016) * y + 377.485237685302) * y +
    3209.3775891384694;
  const bottom =
    (((y + 23.601290952344122) * y + 244.02463793444417) * y + 1282.6165260773723) * y + 2844.236833439171;
  return top / bottom;
}

/** exp(x²) erfc(x) for x > 0.46875. */
function scaledTail(x: number): number {
  return x <= 4 ? middleTail(x) : farTail(x);
}

function middleTail(x: number): number {
  const top =
    (((((((2.1531153547440383e-8 * x + 0.5641884969886701) * x + 8.883149794388377) * x + 66.11919063714163) *
      x +
      298.6351381974001) *
      x +
      881.952221241769) *
      x +
      1712.0476126340707) *
      x +
      2051.0783778260716) *
      x +
    1230.3393547979972;
  const bottom =
    (((((((x + 15.744926110709835) * x + 117.6939508913125) * x + 537.1811018620099) * x +
      1621.3895745666903) *
      x +
      3290.7992357334597) *
      x +
      4362.619090143247) *
      x +
      3439.3676741437216) *
      x +
    1230.3393548037495;
  return top / bottom;
}

function farTail(x: number): number {
  const y = 1 / (x * x);
  const top =
    ((((0.016315387137302097 * y + 0.30532663496123236) * y + 0.36034489994980445) * y +
      0.12578172611122926) *
      y +
      0.016083785148742275) *
      y +
    6.587491615298378e-4;
  const bottom =
    ((((y + 2.568520192289822) * y + 1.8729528499234604) * y + 0.5279051029514285) * y +
      0.06051834131244132) *
      y +
    0.0023352049762686918;
  return (1 / Math.sqrt(Math.PI) - (y * top) / bottom) / x;
}
