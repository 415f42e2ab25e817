/** What a bend over a pin customarily leaves of a spliced HMPE braid's strength, where nobody pulled it on that pin. */
export type CustomaryBend = {
  /** Pin diameter over rope diameter. */
  readonly pinRatio: number;
  readonly retention: readonly [number, number];
};

/**
 * Customary ranges, common practice, no published source. They are shown as such and never applied by themselves: the rule
 * of steel wire rope is no rule for HMPE, and pulls on the rig's own pin say more than any of these.
 */
export const customaryBends: readonly CustomaryBend[] = [
  { pinRatio: 1, retention: [0.5, 0.75] },
  { pinRatio: 2, retention: [0.65, 0.9] },
  { pinRatio: 5, retention: [0.85, 1] },
];
