import type { Bury, JobRecipe } from "./resolve-job.ts";

/** What was measured of a splice; each absent where nobody did. */
export type MeasuredSplice = {
  readonly buryFullMm?: number | undefined;
  readonly buryTaperMm?: number | undefined;
  readonly secondBuryFullMm?: number | undefined;
  readonly secondBuryTaperMm?: number | undefined;
  readonly picksPerStep?: readonly number[] | undefined;
  readonly secondPicksPerStep?: readonly number[] | undefined;
};

/** One measured value that is not what the recipe says. */
export type OutOfRecipe = {
  readonly field: keyof MeasuredSplice;
  readonly what: string;
  readonly made: number;
  readonly recipe: number;
  readonly unit: "d" | "steps";
  /** "bury 24.5 d, recipe 30 d" */
  readonly sentence: string;
};

/** A bury or taper within this of its recipe is made by it (own choice, no published source). */
export const madeToleranceDiameters = 1;

/**
 * The buries as made, for lengths and for any analysis: what was measured stands before the recipe; where one bury was
 * measured, it stands for both.
 *
 * @example
 * buriesAsMade({ buryFullMm: 147 }, { buryFullDiameters: 30, buryTaperDiameters: 10 }, 6)
 * // [{ fullMm: 147, taperMm: 60 }, { fullMm: 147, taperMm: 60 }]
 */
export function buriesAsMade(
  made: MeasuredSplice,
  recipe: Pick<JobRecipe, "buryFullDiameters" | "buryTaperDiameters">,
  diameterMm: number,
): readonly [near: Bury, far: Bury] {
  const fullMm = made.buryFullMm ?? (recipe.buryFullDiameters ?? 0) * diameterMm;
  const taperMm = made.buryTaperMm ?? (recipe.buryTaperDiameters ?? 0) * diameterMm;
  return [
    { fullMm, taperMm },
    { fullMm: made.secondBuryFullMm ?? fullMm, taperMm: made.secondBuryTaperMm ?? taperMm },
  ];
}

/**
 * The bury that a strength rests on: the shorter of the two at full thickness, with its own taper. Only what was measured;
 * nothing where nobody measured.
 */
export function governingBury(made: MeasuredSplice): { readonly fullMm?: number; readonly taperMm?: number } {
  const { buryFullMm, buryTaperMm, secondBuryFullMm, secondBuryTaperMm } = made;
  const second =
    secondBuryFullMm !== undefined && (buryFullMm === undefined || secondBuryFullMm < buryFullMm);
  const fullMm = second ? secondBuryFullMm : buryFullMm;
  const taperMm = second ? (secondBuryTaperMm ?? buryTaperMm) : (buryTaperMm ?? secondBuryTaperMm);
  return { ...(fullMm === undefined ? {} : { fullMm }), ...(taperMm === undefined ? {} : { taperMm }) };
}

/**
 * Where a splice as made differs from its recipe: a bury or taper by more than 1 d, a taper by its number of steps.
 *
 * diameterMm: the rope's nominal diameter, above 0. Result: empty where nothing was measured or all is as the recipe says.
 *
 * @example
 * outOfRecipe({ buryFullMm: 147 }, { buryFullDiameters: 30, taperStrandsLeft: 2, strandsEachSide: 6 }, 6)[0]?.sentence
 * // "bury 24.5 d, recipe 30 d"
 */
export function outOfRecipe(
  made: MeasuredSplice,
  recipe: Pick<
    JobRecipe,
    "buryFullDiameters" | "buryTaperDiameters" | "taperStrandsLeft" | "strandsEachSide"
  >,
  diameterMm: number,
): readonly OutOfRecipe[] {
  const lengths = [
    ["buryFullMm", "bury", recipe.buryFullDiameters],
    ["buryTaperMm", "taper", recipe.buryTaperDiameters],
    ["secondBuryFullMm", "second bury", recipe.buryFullDiameters],
    ["secondBuryTaperMm", "second taper", recipe.buryTaperDiameters],
  ] as const;
  const differing = lengths.flatMap(([field, what, wanted]): OutOfRecipe[] => {
    const measured = made[field];
    if (measured === undefined || wanted === undefined || !(diameterMm > 0)) return [];
    const diameters = measured / diameterMm;
    if (Math.abs(diameters - wanted) <= madeToleranceDiameters + 1e-9) return [];
    const sentence = `${what} ${tenth(diameters)} d, recipe ${tenth(wanted)} d`;
    return [{ field, what, made: diameters, recipe: wanted, unit: "d", sentence }];
  });
  const steps = recipe.strandsEachSide - recipe.taperStrandsLeft / 2;
  const counted = (["picksPerStep", "secondPicksPerStep"] as const).flatMap((field): OutOfRecipe[] => {
    const taken = made[field]?.length ?? 0;
    if (taken === 0 || taken === steps || (recipe.buryTaperDiameters ?? 0) === 0) return [];
    const what = field === "picksPerStep" ? "steps of the taper" : "steps of the second taper";
    return [
      {
        field,
        what,
        made: taken,
        recipe: steps,
        unit: "steps",
        sentence: `${what} ${taken}, recipe ${steps}`,
      },
    ];
  });
  return [...differing, ...counted];
}

function tenth(value: number): string {
  return String(Math.round(value * 10) / 10);
}
