import { ok, type Problem, type Result, refuse, type Warning } from "../problem/mod.ts";

/** A spool with what is left of it, and a cut that is to be made. Cuts of one group can be shared out over spools. */
export type SpoolAtHand = { readonly id: string; readonly leftMm: number };
export type CutWanted = { readonly id: string; readonly lengthMm: number; readonly group?: string };

export type NestOptions = {
  /** A remnant shorter than this counts as waste; from this on it can still be used. */
  readonly usableMm: number;
  /** Lost at each cut: the hot knife, the end trimmed square. */
  readonly lossMm: number;
  /** Whether each group's cuts are to be shared out evenly over the spools. */
  readonly balanced: boolean;
};

export type NestedSpool = {
  readonly spoolId: string;
  readonly cuts: readonly CutWanted[];
  readonly remnantMm: number;
  /** The remnant, where it is too short to be used. */
  readonly wasteMm: number;
};

export type Nesting = {
  readonly spools: readonly NestedSpool[];
  readonly wasteMm: number;
  readonly opened: number;
  /** Spools that every plan must open at least. */
  readonly fewest: number;
  /** Waste that no better plan can undercut; equal to the waste where the plan is proven best. */
  readonly boundMm: number;
  readonly proven: boolean;
};

/** A whole-number program to be solved, and how to read its answer. */
export type NestingProgram = {
  /** In the LP text format that solvers read. */
  readonly text: string;
  /** The plan behind the values of the program's variables. */
  readonly read: (values: Readonly<Record<string, number>>) => Nesting;
};

/** The most cuts and spools that are put to the exact solver; beyond them best-fit-decreasing is used, with its gap. */
export const exactLimit = { cuts: 60, spools: 12 } as const;

/**
 * Cuts on the spools at hand by best-fit-decreasing: the longest cut first, each on the spool that it leaves least on.
 * A plan at once, not always the best; `boundMm` and `fewest` say how far from it at most.
 *
 * Lengths in mm. Balanced: of each group every spool takes its share, rounded down, and no more than one beyond it.
 * Refused: a cut longer than any spool holds, more rope than there is, and what this way of packing cannot place.
 *
 * @example
 * const plan = nestByBestFit([{ id: "A", leftMm: 1000 }], [{ id: "1", lengthMm: 600 }], { usableMm: 300, lossMm: 0, balanced: false });
 * plan.ok && plan.value.wasteMm // 0: 400 are left and can be used
 */
export function nestByBestFit(
  spools: readonly SpoolAtHand[],
  cuts: readonly CutWanted[],
  options: NestOptions,
): Result<Nesting> {
  const problem = nestingProblem(spools, cuts, options);
  if (problem !== undefined) return refuse(problem);
  const left = spools.map(({ leftMm }) => leftMm);
  const placed: CutWanted[][] = spools.map(() => []);
  const share = sharesOf(spools, cuts, options);
  for (const cut of [...cuts].sort((a, b) => b.lengthMm - a.lengthMm)) {
    const needed = cut.lengthMm + options.lossMm;
    let best = -1;
    for (const [s, room] of left.entries()) {
      if (room < needed) continue;
      if (options.balanced && !mayTake(s, placed, groupOf(cut), share)) continue;
      if (best < 0 || room < (left[best] as number)) best = s;
    }
    if (best < 0) return refuse(doesNotFit(spools, cuts, options, cut));
    (placed[best] as CutWanted[]).push(cut);
    left[best] = (left[best] as number) - needed;
  }
  return ok(nesting(spools, placed, options, wasteBound(spools, cuts, options)));
}

/**
 * The same as a whole-number program whose best answer is the plan with least waste and, of those, fewest spools opened
 * (a spool counts as 1 mm of waste).
 *
 * Variables: n_k_s cuts of kind k (length and group) from spool s; o_s spool opened; u_s its remnant is usable; w_s its waste.
 * Minimise Σ w_s + Σ o_s, with all cuts made, no spool overdrawn, w_s ≥ remnant − room (u_s + 1 − o_s), remnant ≥ usable · u_s.
 */
export function nestingProgram(
  spools: readonly SpoolAtHand[],
  cuts: readonly CutWanted[],
  options: NestOptions,
): Result<NestingProgram> {
  const problem = nestingProblem(spools, cuts, options);
  if (problem !== undefined) return refuse(problem);
  const kinds = kindsOf(cuts);
  const share = sharesOf(spools, cuts, options);
  const rows: string[] = [];
  const ceilings: string[] = [];
  const count = (k: number, s: number) => `n_${k}_${s}`;
  for (const [k, { members }] of kinds.entries())
    rows.push(`${spools.map((_, s) => count(k, s)).join(" + ")} = ${members.length}`);
  for (const [s, { leftMm }] of spools.entries()) {
    const used = kinds
      .map(({ lengthMm }, k) => `${number(lengthMm + options.lossMm)} ${count(k, s)}`)
      .join(" + ");
    const taken = kinds
      .map(({ lengthMm }, k) => `- ${number(lengthMm + options.lossMm)} ${count(k, s)}`)
      .join(" ");
    rows.push(`${used} - ${number(leftMm)} o_${s} <= 0`);
    // waste ≥ leftMm − used − leftMm · u − leftMm · (1 − o)
    rows.push(`w_${s} + ${used} + ${number(leftMm)} u_${s} - ${number(leftMm)} o_${s} >= 0`);
    rows.push(`${taken} - ${number(options.usableMm)} u_${s} >= ${number(-leftMm)}`);
    if (options.balanced)
      for (const [group, { least, most }] of share) {
        const ofGroup = kinds.flatMap((kind, k) => (kind.group === group ? [count(k, s)] : [])).join(" + ");
        rows.push(`${ofGroup} <= ${most}`, `${ofGroup} >= ${least}`);
      }
    for (const [k, { members }] of kinds.entries()) ceilings.push(`0 <= ${count(k, s)} <= ${members.length}`);
  }
  const all = spools.map((_, s) => s);
  const text = [
    "Minimize",
    ` waste: ${all.map((s) => `w_${s} + o_${s}`).join(" + ")}`,
    "Subject To",
    ...rows.map((row, index) => ` r${index}: ${row}`),
    "Bounds",
    ...ceilings.map((line) => ` ${line}`),
    "General",
    ` ${kinds.flatMap((_, k) => all.map((s) => count(k, s))).join(" ")}`,
    "Binary",
    ` ${all.flatMap((s) => [`o_${s}`, `u_${s}`]).join(" ")}`,
    "End",
    "",
  ].join("\n");
  const read = (values: Readonly<Record<string, number>>): Nesting => {
    const waiting = kinds.map(({ members }) => [...members]);
    const placed = all.map((s) =>
      kinds.flatMap((_, k) => (waiting[k] as CutWanted[]).splice(0, Math.round(values[count(k, s)] ?? 0))),
    );
    const plan = nesting(spools, placed, options, 0);
    return { ...plan, boundMm: plan.wasteMm, fewest: plan.opened, proven: true };
  };
  return ok({ text, read });
}

/** Doubt that belongs to a plan which no solver has proven best. */
export function notProven({ wasteMm, boundMm, opened, fewest }: Nesting): Warning {
  const spoolsSaved = opened > fewest ? `, and open ${fewest} spools instead of ${opened}` : "";
  return {
    code: "SPLICE_NOT_PROVEN",
    message: `This plan was made by taking the longest cuts first; a better one might save up to ${Math.round(wasteMm - boundMm)} mm of waste${spoolsSaved}.`,
    found: `${Math.round(wasteMm)} mm of waste`,
  };
}

function nesting(
  spools: readonly SpoolAtHand[],
  placed: readonly (readonly CutWanted[])[],
  { usableMm, lossMm }: NestOptions,
  boundMm: number,
): Nesting {
  const nested = spools.map(({ id, leftMm }, s): NestedSpool => {
    const cuts = placed[s] ?? [];
    const remnantMm = leftMm - cuts.reduce((sum, { lengthMm }) => sum + lengthMm + lossMm, 0);
    return { spoolId: id, cuts, remnantMm, wasteMm: cuts.length > 0 && remnantMm < usableMm ? remnantMm : 0 };
  });
  const wasteMm = nested.reduce((sum, spool) => sum + spool.wasteMm, 0);
  const opened = nested.filter(({ cuts }) => cuts.length > 0).length;
  const fewest = fewestOpened(spools, needed(placed.flat(), lossMm));
  return {
    spools: nested,
    wasteMm,
    opened,
    fewest,
    boundMm,
    proven: wasteMm <= boundMm + 1e-6 && opened <= fewest,
  };
}

/**
 * Waste that no plan can undercut. Where rope to spare is shorter than a usable remnant, every remnant of an opened spool
 * is waste: all that is left over if no spool can stay closed. Otherwise the spare rope may fit into one usable remnant.
 */
function wasteBound(
  spools: readonly SpoolAtHand[],
  cuts: readonly CutWanted[],
  { usableMm, lossMm }: NestOptions,
): number {
  const spare = spools.reduce((sum, { leftMm }) => sum + leftMm, 0) - needed(cuts, lossMm);
  const shortest = Math.min(...spools.map(({ leftMm }) => leftMm));
  return spare < usableMm && spare < shortest ? spare : 0;
}

/** Spools that it takes at least, were the longest of them used up without a remnant. */
function fewestOpened(spools: readonly SpoolAtHand[], neededMm: number): number {
  let covered = 0;
  const longestFirst = spools.map(({ leftMm }) => leftMm).sort((a, b) => b - a);
  return longestFirst.filter((leftMm) => {
    const open = covered < neededMm - 1e-6;
    covered += leftMm;
    return open;
  }).length;
}

function needed(cuts: readonly CutWanted[], lossMm: number): number {
  return cuts.reduce((sum, { lengthMm }) => sum + lengthMm + lossMm, 0);
}

function kindsOf(cuts: readonly CutWanted[]) {
  const kinds = new Map<string, { lengthMm: number; group: string; members: CutWanted[] }>();
  for (const cut of cuts) {
    const group = groupOf(cut);
    const key = JSON.stringify([cut.lengthMm, group]);
    const kind = kinds.get(key) ?? { lengthMm: cut.lengthMm, group, members: [] };
    kind.members.push(cut);
    kinds.set(key, kind);
  }
  return [...kinds.values()];
}

function groupOf({ group }: CutWanted): string {
  return group ?? "";
}

/** How many of each group a spool may take when they are shared out evenly, and how many spools take the higher number. */
function sharesOf(
  spools: readonly SpoolAtHand[],
  cuts: readonly CutWanted[],
  { balanced }: NestOptions,
): Shares {
  const shares: Shares = new Map();
  if (!balanced) return shares;
  for (const group of new Set(cuts.map(groupOf))) {
    const members = cuts.filter((cut) => groupOf(cut) === group).length;
    const least = Math.floor(members / spools.length);
    shares.set(group, { least, most: Math.ceil(members / spools.length), over: members % spools.length });
  }
  return shares;
}

type Shares = Map<string, { readonly least: number; readonly most: number; readonly over: number }>;

/** Whether a spool may take one more of a group, so that enough is left for every other spool's share. */
function mayTake(
  s: number,
  placed: readonly (readonly CutWanted[])[],
  group: string,
  shares: Shares,
): boolean {
  const { least, over } = shares.get(group) ?? { least: 0, over: 0 };
  const taken = placed.map((cuts) => cuts.filter((one) => groupOf(one) === group).length);
  const here = taken[s] as number;
  return here < least || (here === least && taken.filter((count) => count > least).length < over);
}

function nestingProblem(
  spools: readonly SpoolAtHand[],
  cuts: readonly CutWanted[],
  options: NestOptions,
): Problem | undefined {
  const sizes = [...spools.map(({ leftMm }) => leftMm), options.usableMm, options.lossMm];
  const bad = cuts.find(({ lengthMm }) => !(Number.isFinite(lengthMm) && lengthMm > 0));
  if (bad !== undefined || sizes.some((size) => !Number.isFinite(size) || size < 0))
    return {
      code: "SPLICE_LENGTH",
      message: "Cuts are longer than 0, spools and remnants 0 or more.",
      found: String(bad?.lengthMm ?? sizes.find((size) => !Number.isFinite(size) || size < 0)),
    };
  const neededMm = needed(cuts, options.lossMm);
  const there = spools.reduce((sum, { leftMm }) => sum + leftMm, 0);
  if (neededMm > there) return short(neededMm, there);
  const longest = Math.max(0, ...spools.map(({ leftMm }) => leftMm));
  const tooLong = cuts.find(({ lengthMm }) => lengthMm + options.lossMm > longest);
  return tooLong === undefined ? undefined : doesNotFit(spools, cuts, options, tooLong);
}

function short(needed: number, there: number): Problem {
  return {
    code: "SPLICE_SPOOLS",
    message: `The cuts need ${metres(needed)} m of rope, and the spools hold ${metres(there)} m.`,
    where: { field: "spools" },
    found: `${metres(there)} m`,
    expected: `at least ${metres(needed)} m`,
    wayOut: `Add a spool with at least ${metres(needed - there)} m, or cut fewer.`,
  };
}

function doesNotFit(
  spools: readonly SpoolAtHand[],
  cuts: readonly CutWanted[],
  { lossMm, balanced }: NestOptions,
  cut: CutWanted,
): Problem {
  const longest = Math.max(0, ...spools.map(({ leftMm }) => leftMm));
  return {
    code: "SPLICE_SPOOLS",
    message:
      cut.lengthMm + lossMm > longest
        ? `A cut of ${metres(cut.lengthMm)} m is longer than what any spool holds, ${metres(longest)} m.`
        : `The ${cuts.length} cuts do not fit on the spools${balanced ? " shared out evenly" : ""}: there is rope enough, but not in long enough pieces.`,
    where: { field: "spools" },
    found: `${spools.length} spools, the longest with ${metres(longest)} m`,
    expected: `room for a cut of ${metres(cut.lengthMm + lossMm)} m`,
    wayOut: balanced
      ? "Add a spool, or do not ask for an even share."
      : `Add a spool with at least ${metres(cut.lengthMm + lossMm)} m.`,
  };
}

/** Refusal for cuts that the exact solver has shown not to fit. */
export function cannotNest(
  spools: readonly SpoolAtHand[],
  cuts: readonly CutWanted[],
  options: NestOptions,
): Problem {
  const longest = cuts.reduce((a, b) => (b.lengthMm > a.lengthMm ? b : a));
  return doesNotFit(spools, cuts, options, longest);
}

function metres(mm: number): string {
  return (Math.ceil(mm) / 1000).toFixed(2);
}

/** A number as solvers read it: no exponent, a micrometre is enough. */
function number(value: number): string {
  return value.toFixed(3);
}
