/** The share of a two-parameter Weibull population below x > 0: 1 − exp(−(x/scale)^shape). */
export function weibullCdf(x: number, shape: number, scale: number): number {
  return x <= 0 ? 0 : -Math.expm1(-((x / scale) ** shape));
}

/** The share above x. */
export function weibullUpper(x: number, shape: number, scale: number): number {
  return x <= 0 ? 1 : Math.exp(-((x / scale) ** shape));
}

/** The value below which the share p lies: scale × (−log(1 − p))^(1/shape). */
export function weibullQuantile(p: number, shape: number, scale: number): number {
  return scale * (-Math.log1p(-p)) ** (1 / shape);
}
