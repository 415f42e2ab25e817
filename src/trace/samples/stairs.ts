import type { Signal } from "./signal.ts";

/** Steps of a fall are even within this part of one. */
const evenPart = 0.08;

/**
 * An amplifier that averages n readings turns a break into n even steps, the first and the last of which share one where
 * the break came between two readings; 1 where the fall is none of these.
 */
export function stairsAfter(
  { force }: Pick<Signal, "force">,
  last: number,
  to: number,
  netN: number,
): number {
  const steps: number[] = [];
  for (let at = last + 1; at < Math.min(to, last + 10); at++) {
    const step = (force[at - 1] as number) - (force[at] as number);
    if (step < 0.02 * netN) break;
    steps.push(step);
  }
  const whole = steps.reduce((sum, step) => sum + step, 0);
  if (steps.length < 2 || whole < 0.6 * netN) return 1;
  const isEven = (values: readonly number[], even: number) =>
    values.every((step) => Math.abs(step - even) < evenPart * even);
  if (isEven(steps, whole / steps.length)) return steps.length;
  const inner = steps.slice(1, -1);
  const even = inner.reduce((sum, step) => sum + step, 0) / inner.length;
  const outer = [steps[0] as number, steps.at(-1) as number] as const;
  // One whole step between two parts of one may be the quick fall of a break that nothing averaged.
  const tells = inner.length >= 2 || Math.min(...outer) > 0.12 * even;
  const isOne = inner.length > 0 && isEven([outer[0] + outer[1]], even);
  return tells && isOne && isEven(inner, even) ? inner.length + 1 : 1;
}
