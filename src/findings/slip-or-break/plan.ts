import { ok, type Result } from "../../problem/mod.ts";
import { normalQuantile } from "../../stats/mod.ts";
import { fallsTo } from "./falls-to.ts";
import { breakSize, broke, type Sample, slipped } from "./fitter.ts";
import { createLaw, type Law, placeAt, roughWorlds, signedRoot, type Top } from "./law.ts";
import { drawChance, layPulls, roomForChance, seedOf, stopsOf, type World } from "./resample.ts";
import { type Asked, readInput } from "./sample.ts";
import { type Growth, growths, type SlipOrBreakInput } from "./types.ts";

/** A law of growth fitted to the pulls, and the world from which its refits are drawn. */
export type PlannedLaw = {
  readonly growth: Growth;
  readonly top: Top;
  /** Where, in the range of buries, the chance is held in that world, and its likelihood's top. */
  readonly t: number;
  readonly world: World;
};

/** What is to be refitted: plain data, which can be handed to a worker. */
export type SlipOrBreakPlan = {
  readonly input: SlipOrBreakInput;
  readonly given: "length" | "bound" | "counts";
  readonly laws: readonly PlannedLaw[];
  /** How many refits of each law are wanted; 0 where counts are all that can be given. */
  readonly refits: number;
};

/** For each refit the signed root of each law, and the pivot of the better law's plateau; NaN where it did not settle. */
export type SlipOrBreakRefits = { readonly from: number; readonly values: Float64Array };

/** Of the refits' values: the signed root of one law, or the plateau's pivot, in the order of the refits. */
export function columnOf(
  { laws }: SlipOrBreakPlan,
  refits: readonly SlipOrBreakRefits[],
  of: PlannedLaw | "plateau",
): number[] {
  const column = of === "plateau" ? laws.length : laws.indexOf(of);
  const wide = laws.length + 1;
  return refits
    .toSorted((a, b) => a.from - b.from)
    .flatMap(({ values }) =>
      Array.from({ length: values.length / wide }, (_, i) => values[i * wide + column] as number),
    );
}

/** The law that fits best. */
export function bestLaw({ laws }: SlipOrBreakPlan): PlannedLaw {
  const [first, ...others] = laws;
  if (first === undefined) throw new Error("a plan with refits has a law");
  return others.reduce((best, one) => (one.top.height > best.top.height ? one : best), first);
}

/** Fewer than these, and the likelihood has no top, or one that three numbers always fit. */
export const fewestSlips = 3;
export const fewestBreaks = 2;

/** A bound farther than this many ranges beyond the shortest bury is none. */
export const farthest = 40;

/**
 * Checks the input, fits it, and says what has to be refitted. `refitSlipOrBreak` does any stretch of it, in any thread, and
 * `combineSlipOrBreak` makes the answer of all stretches: it is the same however the work was shared out.
 */
export function prepareSlipOrBreak(input: SlipOrBreakInput): Result<SlipOrBreakPlan> {
  const read = readInput(input);
  if (!read.ok) return read;
  const asked = read.value;
  const counts = ok({ input, given: "counts", laws: [], refits: 0 } as const);
  const { kind, t } = asked.sample;
  const slips = [...t].filter((_, i) => kind[i] === slipped);
  const breaks = kind.filter((one) => one === broke).length;
  const parameters = 5 + asked.slipNames.length + asked.breakNames.length;
  if (slips.length < fewestSlips || breaks < fewestBreaks || asked.range === 0) return counts;
  if (slips.length < 3 + asked.slipNames.length || breaks < 2 + asked.breakNames.length) return counts;
  if (asked.sample.n < parameters) return counts;
  const laws = (asked.growth === "auto" ? growths : [asked.growth]).flatMap((growth) => {
    const law = planLaw(asked, growth);
    return law === undefined ? [] : [law];
  });
  if (laws.length === 0) return counts;
  return ok({
    input,
    given: new Set(slips).size < 2 ? "bound" : "length",
    laws,
    refits: asked.refits,
  });
}

/**
 * Where refits are climbed to: the last step is no longer than some thousandths of a standard error, and the parabola by
 * which it is foreseen leaves of the height the cube of that.
 */
const near = 1e-5;

/** Refits the resamples from `from` up to but not with `to`: of each the same draw whoever makes it. */
export function refitSlipOrBreak(plan: SlipOrBreakPlan, from: number, to: number): SlipOrBreakRefits {
  const read = readInput(plan.input);
  if (!read.ok) throw new Error("a plan is made of input that was checked");
  const { sample, chance, seed } = read.value;
  const z = normalQuantile(1 - chance);
  const stops = stopsOf(sample);
  const drawn: Sample = { ...sample, y: new Float64Array(sample.n), kind: new Uint8Array(sample.n) };
  const wide = plan.laws.length + 1;
  const values = new Float64Array((to - from) * wide);
  const laws = plan.laws.map((planned) => ({ ...planned, law: createLaw(drawn, planned.growth) }));
  if (laws.length === 0) return { from, values };
  const best = bestLaw(plan).top;
  const drawnChance = roomForChance(sample.n);
  const room = new Float64Array(breakSize + best.breakEffects.length);
  for (let i = from; i < to; i++) {
    drawChance(sample, stops, seedOf(seed, 0, i), drawnChance);
    let at = (i - from) * wide;
    for (const { law, t, world } of laws) {
      layPulls(world, sample, drawnChance, drawn);
      law.fitter.read();
      const top = law.top(world, near);
      const held = top === undefined ? undefined : law.held(startOf(top, world), t, z, near);
      values[at++] = top === undefined || held === undefined ? Number.NaN : signedRoot(top, held, t, z);
    }
    // The world of a bound bends plateau and scatter to put the length far out; the plateau's own is the estimate.
    layPulls(best, sample, drawnChance, drawn);
    values[at] = pivot(laws[0]?.law as Law, best, room);
  }
  return { from, values };
}

/** The held top lies beside the free one, unless that has run off to the end of a scale. */
function startOf(top: Top, world: World): World {
  const ratio = top.grown / world.grown;
  return ratio > 0.3 && ratio < 3 && top.slipScatter > 0.3 * world.slipScatter ? top : world;
}

/** How many standard errors the plateau refitted to what was drawn lies from the world's; NaN where it did not settle. */
function pivot({ fitter }: Law, world: World, at: Float64Array): number {
  fitter.read();
  at[0] = world.plateau;
  at[1] = Math.log(world.breakScatter);
  for (const [j, effect] of world.breakEffects.entries()) at[breakSize + j] = effect;
  if (!Number.isFinite(fitter.fitBreak(at, near))) return Number.NaN;
  const plateau = at[0] as number;
  const breakEffects = at.length > breakSize ? at.subarray(breakSize) : [];
  const fitted = { plateau, breakScatter: Math.exp(at[1] as number), breakEffects };
  return (plateau - world.plateau) / plateauError(fitter.breakHill, fitted);
}

/** The standard error of the plateau, from the second derivatives at the top; infinite where there is no curvature. */
export function plateauError(
  hill: Law["fitter"]["breakHill"],
  {
    plateau,
    breakScatter,
    breakEffects,
  }: Pick<Top, "plateau" | "breakScatter"> & { readonly breakEffects: Iterable<number> },
): number {
  const { size, second } = hill;
  if (size > breakSize) {
    // With covariates the climb ended at the last step that was tried, which is the top.
    hill.climb(Float64Array.of(plateau, Math.log(breakScatter), ...breakEffects), true);
    const error = standardErrors(hill)?.[0];
    return error ?? Number.POSITIVE_INFINITY;
  }
  const a = -(second[0] as number);
  const b = -(second[2] as number);
  const d = -(second[3] as number);
  const determinant = a * d - b * b;
  return determinant > 0 && d > 0 ? Math.sqrt(d / determinant) : Number.POSITIVE_INFINITY;
}

/** Roots of the diagonal of the inverse of minus the second derivatives; undefined where these are not negative definite. */
export function standardErrors({
  size,
  second,
}: {
  size: number;
  second: Float64Array;
}): number[] | undefined {
  const inverse = inverseOf(size, second);
  return inverse?.map((row, i) => Math.sqrt(row[i] as number));
}

/** The covariances of the parameters at a top. */
export function inverseOf(size: number, second: Float64Array): number[][] | undefined {
  const rows = Array.from({ length: size }, (_, i) => [
    ...Array.from({ length: size }, (__, j) => -(second[Math.max(i, j) * size + Math.min(i, j)] as number)),
    ...Array.from({ length: size }, (__, j) => (i === j ? 1 : 0)),
  ]);
  for (const [i, row] of rows.entries()) {
    const head = row[i] as number;
    if (!(head > 1e-12)) return undefined;
    for (let j = 0; j < 2 * size; j++) row[j] = (row[j] as number) / head;
    for (const [k, other] of rows.entries()) {
      if (k === i) continue;
      const times = other[i] as number;
      for (let j = 0; j < 2 * size; j++) other[j] = (other[j] as number) - times * (row[j] as number);
    }
  }
  return rows.map((row) => row.slice(size));
}

/** One law's top, from several starts, and the place near its bound where the refits' world holds the chance. */
function planLaw(asked: Asked, growth: Growth): PlannedLaw | undefined {
  const { sample, chance, confidence } = asked;
  const law = createLaw(sample, growth);
  const top = bestTop(law, sample);
  if (top === undefined) return undefined;
  const z = normalQuantile(1 - chance);
  // In refits of some fifty pulls the root's quantile lay some 15 % farther out than the normal one.
  const limit = 1.15 * normalQuantile(1 - confidence);
  const bound = placeOfRoot(law, top, z, limit);
  const t = bound ?? Math.max(3, placeAt(top, z) < farthest ? 1.5 * placeAt(top, z) : 3);
  const world = law.held(top, t, z);
  return world === undefined ? undefined : { growth, top, t, world };
}

/**
 * The highest top that is found from several starts. The break part is the same from any of them: once it is found, the others
 * climb the slip part alone, and to its very top only where that is another than the one known.
 */
export function bestTop(law: Law, sample: Sample): Top | undefined {
  const exact = 1e-12;
  let best: Top | undefined;
  for (const from of roughWorlds(sample, law.growth)) {
    if (best === undefined) {
      best = law.top(from, exact) ?? law.top(from);
      continue;
    }
    const { plateau, breakScatter, breakEffects, height }: Top = best;
    const other = law.top({ ...from, plateau, breakScatter, breakEffects }, near);
    if (other !== undefined && other.height > height + 1e-4) best = law.top(other, exact) ?? best;
  }
  return best;
}

/**
 * Where, from the top's own place outward, the signed root falls to the limit: an upper bound of the place at which the
 * chance of slipping first is that of z. 0 where that is at or below the shortest bury; undefined where it never falls so far.
 */
export function placeOfRoot(law: Law, top: Top, z: number, limit: number): number | undefined {
  const rootOf = (t: number) => {
    const held = law.held(top, t, z);
    // Where it cannot be fitted nothing is ruled out.
    return held === undefined ? Number.NaN : signedRoot(top, held, t, z);
  };
  return fallsTo(rootOf, limit, Math.min(Math.max(placeAt(top, z), 0), farthest), 0.08, farthest);
}
