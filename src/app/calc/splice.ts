import { z } from "zod";
import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import {
  builtInRecipe,
  builtInRecipeIds,
  type CutLength,
  cutLength,
  finishedLength,
  learnedNames,
  learnNumber,
  lengthMeasures,
  lengthTermNames,
  markKinds,
  markRope,
  readForceN,
  readLengthMm,
  recipeFields,
  type SpliceJob,
} from "../../splice/mod.ts";
import { defineCalculation } from "./define.ts";
import { interval, list } from "./fields.ts";

const length = z
  .union([z.number(), z.string().max(100)])
  .describe('Millimetres, or a length as typed: "600 mm", "2 ft 3 in", "1/4 in".');

/** A job as it is typed. */
const jobFields = {
  rope: z.object({
    diameter: length,
    construction: z.string().max(200).default("12-strand braid"),
    stiffnessN: z.number().max(1e12).exactOptional().describe("Force over strain of the bedded rope (EA)."),
    stiffnessSpreadN: z.number().min(0).max(1e12).exactOptional(),
    pickLengthMm: z.number().max(1000).exactOptional(),
  }),
  recipe: z
    .union([
      z.enum(builtInRecipeIds),
      recipeFields.extend({ name: recipeFields.shape.name.default("own recipe") }),
    ])
    .describe("A recipe of the program by its id, or a recipe of one's own."),
  measure: z.enum(lengthMeasures).default("inside"),
  tension: z
    .union([z.number(), z.string().max(100)])
    .exactOptional()
    .describe('Newtons, or as typed: "5 kN". Absent: slack.'),
  bedded: z.boolean().default(false),
  nearPin: length.default(0),
  farPin: length.default(0),
  nearEye: length.exactOptional(),
  farEye: length.exactOptional(),
};

type TypedJob = z.output<ReturnType<typeof jobOf>>;
const jobOf = () => z.object(jobFields);

const term = z.object({
  name: z.enum(lengthTermNames),
  says: z.string(),
  valueMm: z.number(),
  spreadMm: z.number().describe("Standard uncertainty."),
  source: z.string(),
});

const cutOutput = {
  cutLengthMm: z.number(),
  pieces: z.number(),
  pieceMm: z.number(),
  finishedLengthMm: z.number(),
  slackLengthMm: z.number(),
  cutUncertaintyMm: z.number(),
  finishedUncertaintyMm: z.number(),
  terms: list(term),
  shortestMm: z.number(),
  spareMm: z.number(),
} satisfies Record<keyof CutLength, z.ZodType>;

const source =
  "Derived in docs/methods/cut-length.md; customary values: common practice, no published source";
const example = { rope: { diameter: "6 mm" }, recipe: "crossed-tail-loop" as const };

const step = z.object({
  number: z.number(),
  fromTipMm: z.number(),
  left: z.string(),
  right: z.string(),
  strandsAfter: z.number(),
  picksFromStart: z.number().exactOptional(),
});

const end = z.object({
  end: z.enum(["near", "far"]),
  says: z.string(),
  marks: list(
    z.object({
      kind: z.enum(markKinds),
      says: z.string(),
      fromEndMm: z.number(),
      picks: z.number().exactOptional(),
      step: step.exactOptional(),
    }),
  ),
  taper: z
    .object({
      steps: list(step),
      stretches: list(
        z.object({ fromTipMm: z.number(), toTipMm: z.number(), strands: z.number(), share: z.number() }),
      ),
      meanShare: z.number(),
      picksPerStep: z.number().exactOptional(),
    })
    .exactOptional(),
});

/** How long to cut, how long it comes out, and where to mark. */
export const spliceCalculations = [
  defineCalculation({
    name: "cut-length",
    version: "1",
    answers: "How long is the rope to be cut so that the finished splice comes out at a length?",
    formula:
      "turns · path + Σ tails + contraction · Σ (full + share · taper) + crossings + knot + noose + cut off; path slack = (path + s q)/((1 + s)(1 + b))",
    source,
    input: z.object({ ...jobFields, finished: length }),
    output: z.object(cutOutput),
    example: { ...example, finished: "600 mm" },
    run: ({ finished, ...typed }) => withLength(typed, finished, "finished", cutLength),
  }),
  defineCalculation({
    name: "finished-length",
    version: "1",
    answers: "How long does a splice come out when the rope is cut to a length?",
    formula:
      "The inverse of cut-length: path slack = (cut − tails − contraction − crossings − knot − noose − cut off)/turns",
    source,
    input: z.object({ ...jobFields, cut: length }),
    output: z.object(cutOutput),
    example: { ...example, cut: "1746.5 mm" },
    run: ({ cut, ...typed }) => withLength(typed, cut, "cut", finishedLength),
  }),
  defineCalculation({
    name: "splice-marks",
    version: "1",
    answers: "Where is the rope marked, and which strands are cut out at each step of its taper?",
    formula:
      "From each end: taper step i at taper − (i − 1) · taper / steps; throat or crossing after tail and half the crossings; exit a bury and its contraction beyond",
    source,
    input: z.object({ ...jobFields, finished: length }),
    output: z.object({ cut: z.object(cutOutput), ends: z.tuple([end, end]).readonly() }),
    example: { ...example, rope: { diameter: "6 mm", pickLengthMm: 4 }, finished: "600 mm" },
    run: ({ finished, ...typed }) => withLength(typed, finished, "finished", markRope),
  }),
  defineCalculation({
    name: "learned-number",
    version: "1",
    answers:
      "What do the book's own specimens say of a recipe's number, and may it stand in for the customary one?",
    formula:
      "mean + w (group's mean − mean), w = n τ²/(n τ² + σ²), averaged over τ/σ from 0 to 5 by its restricted likelihood",
    source:
      "B. Efron and C. Morris, J. Amer. Statist. Assoc. 70 (1975), 311-319; G. C. Tiao and W. Y. Tan, Biometrika 52 (1965), 37-53",
    input: z.object({
      name: z.enum(learnedNames).default("contraction"),
      group: z.string().max(200).describe("The rope and recipe that is asked for."),
      observations: z
        .array(z.object({ group: z.string().max(200), value: z.number().min(-1e6).max(1e6) }))
        .max(10_000),
      customary: z.object({ value: z.number(), spread: z.number(), source: z.string().max(500).default("") }),
    }),
    output: z.object({
      name: z.enum([...learnedNames, "crossing"]),
      group: z.string(),
      n: z.number(),
      others: z.number(),
      estimate: z.number(),
      standardError: z.number(),
      interval,
      spread: z.number(),
      weight: z.number(),
      used: z.boolean(),
      why: z.string(),
    }),
    example: {
      group: "a",
      observations: [
        { group: "a", value: 0.07 },
        { group: "a", value: 0.08 },
        { group: "a", value: 0.09 },
      ],
      customary: { value: 0.085, spread: 0.0202 },
    },
    run: ({ name, group, observations, customary }) => {
      const learned = learnNumber(name, group, observations, customary);
      return learned === undefined
        ? refuse({
            code: "STAT_TOO_FEW",
            message:
              "Nothing can be learned: at least one rope and recipe needs two specimens that are not alike.",
            where: { field: "observations" },
            found: String(observations.length),
          })
        : ok(learned);
    },
  }),
];

/** Reads what was typed and calculates. */
function withLength<T>(
  typed: TypedJob,
  given: number | string,
  field: string,
  calculate: (job: SpliceJob, lengthMm: number) => Result<T>,
): Result<T> {
  const problems: Problem[] = [];
  const taken = (result: Result<number>): number => {
    if (result.ok) return result.value;
    problems.push(...result.problems);
    return 0;
  };
  const mm = (value: number | string, name: string) => taken(readLengthMm(value, name));
  const { diameter, ...rope } = typed.rope;
  const job: SpliceJob = {
    rope: { ...rope, nominalDiameterMm: mm(diameter, "rope.diameter") },
    recipe: typeof typed.recipe === "string" ? builtInRecipe(typed.recipe) : typed.recipe,
    state: {
      measure: typed.measure,
      bedded: typed.bedded,
      nearPinMm: mm(typed.nearPin, "nearPin"),
      farPinMm: mm(typed.farPin, "farPin"),
      tensionN: typed.tension === undefined ? undefined : taken(readForceN(typed.tension, "tension")),
      nearEyeMm: typed.nearEye === undefined ? undefined : mm(typed.nearEye, "nearEye"),
      farEyeMm: typed.farEye === undefined ? undefined : mm(typed.farEye, "farEye"),
    },
  };
  const lengthMm = mm(given, field);
  if (problems.length > 0) return { ok: false, problems };
  // What no bench has, no arithmetic need be good for: a rope round the earth is 4e10 mm.
  const sizes = [lengthMm, job.rope.nominalDiameterMm, ...Object.values(job.state)];
  const far = sizes.find((size) => typeof size === "number" && Math.abs(size) > 1e11);
  if (far !== undefined)
    return {
      ok: false,
      problems: [
        {
          code: "SPLICE_LENGTH",
          message: "This is longer than any rope.",
          found: String(far),
          expected: "at most 1e11",
        },
      ],
    };
  const result = calculate(job, lengthMm);
  return result.ok ? ok(result.value, result.warnings) : result;
}
