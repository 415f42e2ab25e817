import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";

/** A taper as it is cut: lengths in mm, counted from the tip of the tail. */
export type TaperInput = {
  /** Length of the taper, from full thickness to the tip. */
  readonly taperMm: number;
  readonly strands: number;
  /** Strands that still stand at the tip. */
  readonly strandsLeft: number;
  /** Length of one pick, where it was measured. */
  readonly pickLengthMm?: number;
};

/** One step: a pair of strands, one of each hand, is cut out here. */
export type TaperStep = {
  readonly number: number;
  readonly fromTipMm: number;
  /** The pair, as they are counted round the rope: left-hand strand L4 and right-hand strand R4. */
  readonly left: string;
  readonly right: string;
  /** Strands that stand between this step and the next towards the tip. */
  readonly strandsAfter: number;
  /** Picks from the start of the taper, where the pick was measured. */
  readonly picksFromStart?: number;
};

/** A stretch of the tail with what stands of its cross-section. */
export type TaperStretch = {
  readonly fromTipMm: number;
  readonly toTipMm: number;
  readonly strands: number;
  /** Of the whole rope's cross-section. */
  readonly share: number;
};

export type Taper = {
  /** From full thickness to the tip. */
  readonly steps: readonly TaperStep[];
  /** From the tip to full thickness. */
  readonly stretches: readonly TaperStretch[];
  /** Mean share of the cross-section along the taper; 0 where there is none. */
  readonly meanShare: number;
  /** Picks from one step to the next, not rounded, where the pick was measured. */
  readonly picksPerStep?: number;
};

/**
 * Where the strands of a taper are cut out: in pairs, one left-hand and one right-hand strand, at equal distances, the
 * first pair where the full thickness ends. Pairs follow each other across the rope, so that no side is thinned first.
 *
 * strands: even, 12 in the trade's rope; strandsLeft: even, fewer than that. taperMm: 0 or more; 0 gives no steps.
 * Result: with n = (strands − left)/2 steps over the length P, step i lies at P − (i − 1) P/n from the tip and leaves
 * strands − 2 i. The mean share is 1 − (n + 1)/strands.
 * Refused: more strands left than the rope has, an odd count, steps closer than one pick.
 * Source: pairs of one of each hand, every 2 to 4 picks: common practice, no published source.
 *
 * @example
 * const taper = planTaper({ taperMm: 60, strands: 12, strandsLeft: 2 });
 * taper.ok && taper.value.meanShare // 0.5
 */
export function planTaper(input: TaperInput): Result<Taper> {
  const problem = taperProblem(input);
  if (problem !== undefined) return refuse(problem);
  const { taperMm, strands, strandsLeft, pickLengthMm } = input;
  const count = taperMm === 0 ? 0 : (strands - strandsLeft) / 2;
  if (count === 0) return ok({ steps: [], stretches: [], meanShare: taperMm === 0 ? 0 : 1 });
  const stretch = taperMm / count;
  const order = pairOrder(strands / 2);
  const steps = Array.from({ length: count }, (_, index): TaperStep => {
    const pair = order[index] as number;
    return {
      number: index + 1,
      fromTipMm: taperMm - index * stretch,
      left: `L${pair}`,
      right: `R${pair}`,
      strandsAfter: strands - 2 * (index + 1),
      ...(pickLengthMm === undefined ? {} : { picksFromStart: (index * stretch) / pickLengthMm }),
    };
  });
  const stretches = steps
    .map(
      ({ fromTipMm, strandsAfter }): TaperStretch => ({
        fromTipMm: Math.max(0, fromTipMm - stretch),
        toTipMm: fromTipMm,
        strands: strandsAfter,
        share: strandsAfter / strands,
      }),
    )
    .reverse();
  return ok({
    steps,
    stretches,
    meanShare: 1 - (count + 1) / strands,
    ...(pickLengthMm === undefined ? {} : { picksPerStep: stretch / pickLengthMm }),
  });
}

/** The pairs across the rope in turn: 1 4 2 5 3 6 of six, each as far as can be from the one before. */
function pairOrder(pairs: number): number[] {
  const half = Math.ceil(pairs / 2);
  return Array.from({ length: pairs }, (_, index) =>
    index % 2 === 0 ? index / 2 + 1 : half + (index - 1) / 2 + 1,
  );
}

function taperProblem({ taperMm, strands, strandsLeft, pickLengthMm }: TaperInput): Problem | undefined {
  if (!(Number.isFinite(taperMm) && taperMm >= 0))
    return {
      code: "SPLICE_LENGTH",
      message: "A taper has a length of 0 or more.",
      where: { field: "taper" },
      found: String(taperMm),
      expected: "0 or more millimetres",
    };
  if (!Number.isInteger(strands) || strands < 2 || strands % 2 !== 0)
    return {
      code: "SPLICE_TAPER",
      message: "A taper is cut in pairs, one strand of each hand: the rope needs an even number of strands.",
      where: { field: "strands" },
      found: String(strands),
      expected: "an even number of strands, such as 12",
    };
  if (!Number.isInteger(strandsLeft) || strandsLeft < 0 || strandsLeft % 2 !== 0 || strandsLeft > strands)
    return {
      code: "SPLICE_TAPER",
      message: `A rope of ${strands} strands cannot be tapered to ${strandsLeft}: the same number of each hand must be left, and no more than there are.`,
      where: { field: "taperStrandsLeft" },
      found: String(strandsLeft),
      expected: `an even number from 0 to ${strands}`,
      wayOut: `Leave ${Math.min(Math.max(0, 2 * Math.floor(strandsLeft / 2)), strands - 2)} strands at the tip.`,
    };
  const steps = (strands - strandsLeft) / 2;
  if (pickLengthMm !== undefined && taperMm > 0 && steps > 0 && taperMm / steps < pickLengthMm)
    return {
      code: "SPLICE_TAPER",
      message: `A taper of ${round(taperMm)} mm holds ${round(taperMm / pickLengthMm)} picks, too few for ${steps} steps of a pick or more.`,
      where: { field: "buryTaperDiameters" },
      found: `${round(taperMm)} mm`,
      expected: `at least ${round(steps * pickLengthMm)} mm`,
      wayOut: `Make the taper ${round(steps * pickLengthMm)} mm or longer, or leave more strands at its tip.`,
    };
  return undefined;
}

function round(value: number): string {
  return String(Math.round(value * 10) / 10);
}
