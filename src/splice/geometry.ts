/**
 * Lengths of a rope's centre line round pins; everything in one unit of length. Derived in docs/methods/cut-length.md.
 */

/** Two pins at a distance, and the rope's diameter. A pin of diameter 0 is a bare fold. */
export type Pins = { readonly near: number; readonly far: number; readonly rope: number };

/**
 * The centre line of a loop of rope laid tightly round two pins whose centres are `centres` apart: two straight legs and
 * two arcs, as of a belt round two wheels of radius (pin + rope)/2.
 *
 * Needs centres ≥ |near − far|/2; there the smaller wheel touches the larger from within.
 * Formula: 2 √(C² − e²) + π (r₁ + r₂) + 2 e asin(e/C), with e = r₁ − r₂.
 *
 * @example
 * loopRoundPins(100, { near: 10, far: 10, rope: 0 }) // 200 + π·10 = 231.42
 */
export function loopRoundPins(centres: number, pins: Pins): number {
  const [near, far] = radii(pins);
  const e = near - far;
  const straight = 2 * Math.sqrt(Math.max(0, centres ** 2 - e ** 2));
  return straight + Math.PI * (near + far) + (e === 0 ? 0 : 2 * e * Math.asin(clamp(e / centres)));
}

/**
 * The distance between the pins' centres at which a loop with this centre line is tight: the inverse of `loopRoundPins`,
 * by Newton's method to the last digits. The shortest loop that goes round both pins gives |near − far|/2; a shorter one
 * gives undefined.
 */
export function centresOfLoop(length: number, pins: Pins): number | undefined {
  const [near, far] = radii(pins);
  const e = Math.abs(near - far);
  const shortest = loopRoundPins(e, pins);
  if (!(length >= shortest)) return undefined;
  if (e === 0) return (length - 2 * Math.PI * near) / 2;
  // The length grows with the centres, by 2 √(1 − (e/C)²), and bends upward: from the right Newton never overshoots.
  let centres = Math.max(e, (length - Math.PI * (near + far)) / 2) + e;
  for (let step = 0; step < 200; step++) {
    const slope = 2 * Math.sqrt(Math.max(0, 1 - (e / centres) ** 2));
    const next = Math.max(e, centres - (loopRoundPins(centres, pins) - length) / Math.max(slope, 1e-9));
    if (Math.abs(next - centres) <= 1e-15 * centres) return next;
    centres = next;
  }
  return centres;
}

/**
 * The centre line of an eye from the throat round the pin and back to the throat. `inside` is measured inside the eye,
 * from its crown to its throat.
 *
 * With r = (pin + rope)/2 and the throat at h = inside − pin/2 from the pin's centre, the two legs are tangents of length
 * √(h² − r²) and the arc between them covers 2 (π − acos(r/h)). Undefined where the throat would lie within the bend, h ≤ r.
 *
 * @example
 * eyeRoundPin(100, 0, 0) // 200: a flat eye of a line without thickness
 */
export function eyeRoundPin(inside: number, pin: number, rope: number): number | undefined {
  const radius = (pin + rope) / 2;
  const throat = inside - pin / 2;
  if (!(throat > radius)) return undefined;
  const legs = 2 * Math.sqrt(throat ** 2 - radius ** 2);
  return legs + 2 * radius * (Math.PI - Math.acos(radius / throat));
}

function radii({ near, far, rope }: Pins): [number, number] {
  return [(near + rope) / 2, (far + rope) / 2];
}

function clamp(value: number): number {
  return Math.min(1, Math.max(-1, value));
}
