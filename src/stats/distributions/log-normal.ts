import { normalCdf, normalQuantile } from "./normal.ts";

/** The share of a log-normal population below x > 0; parameters are those of the natural logarithms. */
export function logNormalCdf(x: number, meanLog: number, sdLog: number): number {
  return x <= 0 ? 0 : normalCdf((Math.log(x) - meanLog) / sdLog);
}

/** The value below which the share p lies. */
export function logNormalQuantile(p: number, meanLog: number, sdLog: number): number {
  return Math.exp(meanLog + sdLog * normalQuantile(p));
}
