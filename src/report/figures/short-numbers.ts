/**
 * A number as toFixed writes it, whole or to one decimal. A figure writes hundreds of them, and whole numbers are written in
 * a third of the time; what lies near the middle between two figures is left to toFixed.
 *
 * @example
 * fixedText(25.349, 1) // "25.3"
 */
export function fixedText(value: number, decimals: 0 | 1): string {
  const scaled = decimals === 0 ? value : value * 10;
  const below = Math.floor(scaled);
  const rest = scaled - below;
  if (!(value >= 0 && scaled < most) || Math.abs(rest - 0.5) < 1e-6) return value.toFixed(decimals);
  const rounded = rest < 0.5 ? below : below + 1;
  if (decimals === 0) return String(rounded);
  const whole = Math.floor(rounded / 10);
  return `${whole}.${rounded - 10 * whole}`;
}

/** A coordinate to two decimals without noughts at the end, the same text as of the number that `at` gives. */
export function coordinate(value: number): string {
  const hundredths = Math.round(value * 100);
  if (!(hundredths >= 0 && hundredths < most)) return String(hundredths / 100 + 0);
  const whole = Math.floor(hundredths / 100);
  return whole + (trimmed[hundredths - 100 * whole] as string);
}

/** Up to here a product with ten is right to a millionth, and far beyond what a figure holds. */
const most = 2 ** 30;
/** .01, .02 … .99 behind a whole number. */
const trimmed = Array.from({ length: 100 }, (_, hundredths) =>
  hundredths === 0 ? "" : String(hundredths / 100).slice(1),
);
