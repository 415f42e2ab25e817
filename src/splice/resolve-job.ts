import { ok, type Problem, type Result, refuse, type Warning } from "../problem/mod.ts";
import { customaryNumber, eyeDiameters, eyePins } from "./customary.ts";
import type { RecipeFields, RecipeNumber, RecipeNumberName } from "./recipe.ts";
import { type SpliceShape, shapeOf } from "./shapes.ts";
import { planTaper, type Taper } from "./taper.ts";
import { type lengthMeasures, recipeNumberNames } from "./words.ts";

/** What the lengths ask of a rope. */
export type JobRope = {
  readonly nominalDiameterMm: number;
  readonly construction: string;
  /** Force over strain of the bedded rope (EA), in newtons. */
  readonly stiffnessN?: number | undefined;
  readonly stiffnessSpreadN?: number | undefined;
  readonly pickLengthMm?: number | undefined;
};

/** What they ask of a recipe: a recipe of the book or of the program has it all. */
export type JobRecipe = Pick<
  RecipeFields,
  | "kind"
  | "variant"
  | "buryFullDiameters"
  | "buryTaperDiameters"
  | "taperStrandsLeft"
  | "crossings"
  | "strandsEachSide"
  | "stitchDiameters"
  | "numbers"
  | "legs"
  | "wraps"
>;

/** How a finished length is measured. */
export type FinishedState = {
  readonly measure: (typeof lengthMeasures)[number];
  /** Force on the whole specimen; absent or 0: slack. */
  readonly tensionN?: number | undefined;
  /** Whether the splice was set and has bedded in; always so at a tension. */
  readonly bedded?: boolean | undefined;
  readonly nearPinMm?: number | undefined;
  readonly farPinMm?: number | undefined;
  readonly nearEyeMm?: number | undefined;
  readonly farEyeMm?: number | undefined;
};

/** One bury: at full thickness, and its taper. */
export type Bury = { readonly fullMm: number; readonly taperMm: number };

/** A splice to be made, or one that was. */
export type SpliceJob = {
  readonly rope: JobRope;
  readonly recipe: JobRecipe;
  readonly state: FinishedState;
  /** Buries as they were made, where they are not the recipe's. */
  readonly buries?: readonly [near: Bury, far: Bury] | undefined;
  /** Numbers that were learned from the book's own specimens; they stand before the recipe's. */
  readonly learned?: Readonly<Partial<Record<RecipeNumberName, RecipeNumber>>> | undefined;
};

/** A job with every number that its lengths need, in mm. */
export type ResolvedJob = {
  readonly job: SpliceJob;
  readonly shape: SpliceShape;
  readonly d: number;
  readonly strands: number;
  readonly numbers: Readonly<Record<RecipeNumberName, RecipeNumber>>;
  /** The buried tails; empty where the splice has none. */
  readonly buries: readonly Bury[];
  readonly tapers: readonly Taper[];
  /** Rope over which a bury shortens its host: the full part, and the taper by its mean cross-section. */
  readonly fattenedMm: readonly number[];
  readonly crossings: number;
  readonly pins: { readonly near: number; readonly far: number; readonly rope: number };
  readonly eyes: { readonly near: number; readonly far: number };
  readonly tensionN: number;
  readonly bedded: boolean;
};

/**
 * Brings a job's numbers together, each from the book's specimens, the recipe, or custom, in that order, and refuses what
 * cannot be made with the number that must change.
 */
export function resolveJob(job: SpliceJob): Result<ResolvedJob> {
  const { rope, recipe, state } = job;
  const shape = shapeOf(recipe);
  if (shape === undefined) return refuse(unknownKind(recipe.kind));
  const d = rope.nominalDiameterMm;
  const strands = strandsOf(rope.construction);
  const problems: Problem[] = [
    ...positive(d, "rope.nominalDiameterMm", "The rope's diameter"),
    ...(rope.stiffnessN === undefined
      ? []
      : positive(rope.stiffnessN, "rope.stiffnessN", "The rope's stiffness")),
    ...(rope.pickLengthMm === undefined ? [] : positive(rope.pickLengthMm, "rope.pickLengthMm", "A pick")),
    ...constructionFault(rope.construction, strands, recipe),
    ...buryFault(recipe, shape, job.buries),
    ...measureFault(state, shape),
  ];
  const numbers = Object.fromEntries(
    recipeNumberNames.map((name) => [
      name,
      job.learned?.[name] ?? recipe.numbers[name] ?? customaryNumber(name, recipe.kind),
    ]),
  ) as Record<RecipeNumberName, RecipeNumber>;
  const pins = { near: state.nearPinMm ?? 0, far: state.farPinMm ?? 0, rope: d };
  problems.push(...pinFaults(pins, numbers.leastPin.value, shape));
  if (problems.length > 0 || strands === undefined) return { ok: false, problems };

  const planned = {
    fullMm: (recipe.buryFullDiameters ?? 0) * d,
    taperMm: (recipe.buryTaperDiameters ?? 0) * d,
  };
  const buries = shape.buries === 0 ? [] : (job.buries ?? [planned, planned]);
  const tapers: Taper[] = [];
  for (const { taperMm } of buries) {
    const taper = planTaper({
      taperMm,
      strands,
      strandsLeft: recipe.taperStrandsLeft,
      ...(rope.pickLengthMm === undefined ? {} : { pickLengthMm: rope.pickLengthMm }),
    });
    if (!taper.ok) return taper;
    tapers.push(taper.value);
  }
  const tensionN = state.tensionN ?? 0;
  const eyeOf = (given: number | undefined, pin: number) =>
    given ?? Math.max(eyeDiameters * d, eyePins * pin);
  return ok(
    {
      job,
      shape,
      d,
      strands,
      numbers,
      buries,
      tapers,
      fattenedMm: buries.map(
        ({ fullMm, taperMm }, index) => fullMm + taperMm * (tapers[index]?.meanShare ?? 0),
      ),
      crossings: recipe.crossings * shape.crossingsTimes,
      pins,
      eyes: { near: eyeOf(state.nearEyeMm, pins.near), far: eyeOf(state.farEyeMm, pins.far) },
      tensionN,
      bedded: state.bedded === true || tensionN > 0,
    },
    tensionN > 0 && rope.stiffnessN === undefined ? [noStiffness] : [],
  );
}

/**
 * How many strands a construction says: 12 for "12-strand braid".
 *
 * @example
 * strandsOf("12-strand braid") // 12
 */
export function strandsOf(construction: string): number | undefined {
  const said = /(\d+)[\s-]*strand/i.exec(construction)?.[1];
  return said === undefined ? undefined : Number(said);
}

const noStiffness: Warning = {
  code: "SPLICE_STIFFNESS",
  message: "The rope's stiffness is not known, so its elastic stretch at this tension is left out.",
  where: { field: "rope.stiffnessN" },
  wayOut: "Measure the stretch between two loads on a bedded length and enter the rope's stiffness.",
};

function unknownKind(kind: string): Problem {
  return {
    code: "SPLICE_KIND",
    message: `How the lengths of the kind "${kind}" go together is not known here.`,
    where: { field: "recipe.kind" },
    found: kind,
    expected: 'a kind of splice other than "other"',
  };
}

function constructionFault(
  construction: string,
  strands: number | undefined,
  { strandsEachSide }: JobRecipe,
): Problem[] {
  const needed = 2 * strandsEachSide;
  if (strands === needed) return [];
  return [
    {
      code: "SPLICE_CONSTRUCTION",
      message: `The recipe passes a tail between ${strandsEachSide} and ${strandsEachSide} strands, so it needs a ${needed}-strand hollow braid.`,
      where: { field: "rope.construction" },
      found: construction,
      expected: `${needed}-strand braid`,
      wayOut:
        strands === undefined || strands % 2 !== 0
          ? `Take a ${needed}-strand rope, or write its construction as "${needed}-strand braid".`
          : `Take a ${needed}-strand rope, or a recipe with ${strands / 2} strands on each side.`,
    },
  ];
}

function buryFault(recipe: JobRecipe, shape: SpliceShape, made: SpliceJob["buries"]): Problem[] {
  if (shape.buries === 0) return [];
  if (made !== undefined)
    return made.flatMap(({ fullMm, taperMm }, index) => [
      ...notNegative(fullMm, `buries[${index}].fullMm`, "A bury"),
      ...notNegative(taperMm, `buries[${index}].taperMm`, "A taper"),
    ]);
  if (recipe.buryFullDiameters === undefined)
    return [
      {
        code: "SPLICE_BURY",
        message: "The recipe does not say how long its bury is.",
        where: { field: "recipe.buryFullDiameters" },
        expected: "the bury at full thickness, in rope diameters",
        wayOut: "Enter the recipe's bury, full thickness and taper apart.",
      },
    ];
  return [
    ...notNegative(recipe.buryFullDiameters, "recipe.buryFullDiameters", "A bury"),
    ...notNegative(recipe.buryTaperDiameters ?? 0, "recipe.buryTaperDiameters", "A taper"),
  ];
}

function measureFault(
  { measure, tensionN, nearEyeMm, farEyeMm }: FinishedState,
  shape: SpliceShape,
): Problem[] {
  const problems: Problem[] = [];
  if (!shape.measures.includes(measure))
    problems.push({
      code: "SPLICE_MEASURE",
      message: `A splice of this kind has no length measured as "${measure}".`,
      where: { field: "measure" },
      found: measure,
      expected: shape.measures.map((one) => JSON.stringify(one)).join(" or "),
    });
  if (tensionN !== undefined) problems.push(...notNegative(tensionN, "tensionN", "A tension"));
  for (const [field, eye] of [
    ["nearEyeMm", nearEyeMm],
    ["farEyeMm", farEyeMm],
  ] as const)
    if (eye !== undefined) problems.push(...positive(eye, field, "An eye's inside length"));
  return problems;
}

function pinFaults(pins: ResolvedJob["pins"], least: number, shape: SpliceShape): Problem[] {
  if (!shape.hasPins) return [];
  return (["near", "far"] as const).flatMap((end) => {
    const pin = pins[end];
    const field = `${end}PinMm`;
    const fault = notNegative(pin, field, "A pin's diameter");
    const needed = least * pins.rope;
    // 0 is a bare fold, laid flat to be measured: no pin at all.
    if (fault.length > 0 || pin === 0 || pin >= needed) return fault;
    return [
      {
        code: "SPLICE_PIN" as const,
        message: `A pin of ${say(pin)} mm is thinner than this rope allows: the recipe asks at least ${say(least)} d.`,
        where: { field },
        found: `${say(pin)} mm`,
        expected: `at least ${say(needed)} mm`,
        wayOut: `Take a pin of ${say(needed)} mm or more, or rope of ${say(pin / least)} mm or less.`,
      },
    ];
  });
}

function positive(value: number, field: string, what: string): Problem[] {
  return Number.isFinite(value) && value > 0
    ? []
    : [lengthFault(value, field, `${what} is more than 0.`, "more than 0")];
}

function notNegative(value: number, field: string, what: string): Problem[] {
  return Number.isFinite(value) && value >= 0
    ? []
    : [lengthFault(value, field, `${what} is 0 or more.`, "0 or more")];
}

export function lengthFault(value: number, field: string, message: string, expected: string): Problem {
  return { code: "SPLICE_LENGTH", message, where: { field }, found: String(value), expected };
}

/** A length or ratio as it is said in a sentence: to a tenth. */
export function say(value: number): string {
  return String(Math.round(value * 10) / 10);
}
