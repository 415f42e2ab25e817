import type { Problem, Result, Warning } from "../problem/mod.ts";
import { type MarkedCut, markRope } from "./marks.ts";
import type { RecipeFields, RecipeNumber, RecipeNumberName } from "./recipe.ts";
import type { FinishedState } from "./resolve-job.ts";
import type { RopeFields } from "./rope.ts";

/** One specimen that is to be cut, gathered from the book. What is not said yet is absent. */
export type SheetSpecimen = {
  readonly id: string;
  readonly label: string;
  /** Where its page is, for the mark on its label. */
  readonly link?: string;
  readonly levels: string;
  readonly maker: string;
  readonly spoolName?: string;
  readonly pricePerM?: number;
  readonly currency?: string;
  readonly rope?: RopeFields & { readonly id: string };
  readonly recipe?: RecipeFields & { readonly id: string; readonly version: number };
  readonly wanted?: FinishedState & { readonly lengthMm: number };
  readonly learned?: Readonly<Partial<Record<RecipeNumberName, RecipeNumber>>>;
};

/** Specimens that are cut and marked alike. */
export type CutBatch = {
  readonly rope: RopeFields;
  readonly recipe: RecipeFields & { readonly version: number };
  readonly wanted: FinishedState & { readonly lengthMm: number };
  readonly marked: MarkedCut;
  readonly specimens: readonly SheetSpecimen[];
  /** The load that sets the splice, on the whole specimen, where rope and recipe say it. */
  readonly setLoadN?: number;
  /** Of all specimens of the batch together, where rope or spool say it. */
  readonly massG?: number;
  readonly cost?: { readonly value: number; readonly currency: string };
  readonly warnings: readonly Warning[];
};

export type CutSheet = {
  readonly title: string;
  readonly batches: readonly CutBatch[];
  /** Specimens that cannot be cut yet, each with what is wanting. */
  readonly open: readonly {
    readonly id: string;
    readonly label: string;
    readonly problems: readonly Problem[];
  }[];
  readonly ropeM: number;
};

/**
 * Works out the cut sheet of a batch: specimens that are alike in rope, recipe, version and wanted length share one set of
 * marks; what cannot be cut stands apart with its reason.
 *
 * @example
 * planCutSheet("Twelve loops", []).batches.length // 0
 */
export function planCutSheet(title: string, specimens: readonly SheetSpecimen[]): CutSheet {
  const batches = new Map<
    string,
    { first: ReadySpecimen; marked: Result<MarkedCut>; all: SheetSpecimen[] }
  >();
  const open: CutSheet["open"][number][] = [];
  for (const specimen of specimens) {
    if (!isReady(specimen)) {
      open.push({ id: specimen.id, label: specimen.label, problems: wanting(specimen) });
      continue;
    }
    const { rope, recipe, wanted, learned } = specimen;
    const key = JSON.stringify([rope.id, recipe.id, recipe.version, wanted, learned]);
    const batch = batches.get(key) ?? {
      first: specimen,
      marked: markRope({ rope, recipe, state: wanted, learned }, wanted.lengthMm),
      all: [],
    };
    batch.all.push(specimen);
    batches.set(key, batch);
  }
  const planned: CutBatch[] = [];
  for (const { first, marked, all } of batches.values()) {
    if (marked.ok) planned.push(batchOf(first, marked.value, marked.warnings, all));
    else open.push(...all.map(({ id, label }) => ({ id, label, problems: marked.problems })));
  }
  const ropeM = planned.reduce(
    (sum, { marked, specimens: some }) => sum + (marked.cut.cutLengthMm * some.length) / 1000,
    0,
  );
  return { title, batches: planned, open, ropeM };
}

type ReadySpecimen = SheetSpecimen & Required<Pick<SheetSpecimen, "rope" | "recipe" | "wanted">>;

function isReady(specimen: SheetSpecimen): specimen is ReadySpecimen {
  return specimen.rope !== undefined && specimen.recipe !== undefined && specimen.wanted !== undefined;
}

function batchOf(
  { rope, recipe, wanted }: ReadySpecimen,
  marked: MarkedCut,
  warnings: readonly Warning[],
  specimens: readonly SheetSpecimen[],
): CutBatch {
  const metres = (marked.cut.cutLengthMm * specimens.length) / 1000;
  const currencies = new Set(specimens.map(({ currency = "" }) => currency));
  const priced = specimens.every(({ pricePerM }) => pricePerM !== undefined) && currencies.size === 1;
  const cost = specimens.reduce(
    (sum, { pricePerM = 0 }) => sum + (pricePerM * marked.cut.cutLengthMm) / 1000,
    0,
  );
  return {
    rope,
    recipe,
    wanted,
    marked,
    specimens,
    ...(recipe.setShare === undefined || rope.ratedStrengthN === undefined
      ? {}
      : { setLoadN: recipe.setShare * rope.ratedStrengthN * recipe.legs }),
    ...(rope.massPerLengthGPerM === undefined ? {} : { massG: rope.massPerLengthGPerM * metres }),
    ...(priced ? { cost: { value: cost, currency: [...currencies][0] ?? "" } } : {}),
    warnings,
  };
}

function wanting({ rope, recipe, wanted }: SheetSpecimen): Problem[] {
  const missing = [
    [rope, "ropeId", "its rope, or a spool of it"],
    [recipe, "recipeId", "its recipe"],
    [wanted, "wanted", "the length it is to come out at"],
  ] as const;
  return missing.flatMap(([value, field, what]) =>
    value === undefined
      ? [
          {
            code: "SPLICE_SHEET" as const,
            message: `The specimen does not name ${what}.`,
            where: { field },
            wayOut: "Enter it on the specimen; then it can be cut.",
          },
        ]
      : [],
  );
}
