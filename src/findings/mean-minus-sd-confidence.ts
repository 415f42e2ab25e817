import { nonCentralTCdf, normalQuantile } from "../stats/mod.ts";

/**
 * How sure mean − factor·SD of n values is to lie below the strength that a share `content` of all such specimens
 * exceeds, before the specimens are made.
 *
 * n: at least 2. factor: above 0. content: between 0 and 1. Result: a fraction. Strengths are taken to scatter normally.
 * Formula: P(T ≤ factor·√n), T non-central t with n − 1 degrees of freedom and shift z(content)·√n; the same equation
 * that gives the exact tolerance factor, solved for the confidence. Source: ISO 16269-6:2014, annex on exact factors
 * (from memory); D. B. Owen, Sandia SCR-607, 1963 (from memory).
 *
 * @example
 * meanMinusSdConfidence({ n: 5, factor: 3, content: 0.95 }) // 0.853…
 */
export function meanMinusSdConfidence(about: { n: number; factor: number; content: number }): number {
  const root = Math.sqrt(about.n);
  return nonCentralTCdf(about.factor * root, about.n - 1, normalQuantile(about.content) * root);
}
