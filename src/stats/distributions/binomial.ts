import { betaTails } from "../special/beta.ts";

/** The chance of at least `least` successes in n trials of chance p each: I(p; least, n − least + 1), DLMF 8.17.5. */
export function binomialAtLeast(least: number, n: number, p: number): number {
  if (least <= 0) return 1;
  if (least > n) return 0;
  return betaTails(p, 1 - p, least, n - least + 1).lower;
}
