import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import { createRandom, type Random } from "../stats/mod.ts";
import type { Factor, LevelValue } from "./series.ts";

/** One specimen to make and pull: its levels, where its rope comes from, who makes it, and when it is pulled. */
export type PlannedPull = {
  /** Place in the order of pulling, from 1. */
  readonly order: number;
  /** The round that it belongs to, from 1: each round pulls every cell once. */
  readonly block: number;
  readonly levels: Readonly<Record<string, LevelValue>>;
  readonly spool?: string;
  readonly maker?: string;
};

/** More would be a plan that nobody pulls, and a page that nobody can read. */
export const mostPlannedPulls = 5000;

/**
 * In which order should specimens be made and pulled, and from which spool and by whom, so that nothing else goes along with
 * the factors?
 *
 * Rounds in which each cell of the plan comes once, in an order drawn by the seed: whatever drifts over the day (oil, cell,
 * hands) touches all cells alike. In each cell the spools are used evenly, to one specimen, and so are the makers; pairs of
 * both as evenly as that allows. Same input, same plan. Refused: a factor without levels, more pulls than can be listed.
 * Source: randomised complete blocks; R. A. Fisher, The Design of Experiments (1935), chapter 4 (from memory).
 *
 * @example
 * const answer = planPulls({ factors: [{ name: "bury", unit: "d", levels: [24, 36] }], pullsPerCell: 3, seed: 7 });
 * answer.ok && answer.value.map(({ block }) => block) // [1, 1, 2, 2, 3, 3]
 */
export function planPulls(input: {
  readonly factors: readonly Factor[];
  readonly pullsPerCell: number;
  readonly spools?: readonly string[];
  readonly makers?: readonly string[];
  readonly seed: number;
}): Result<readonly PlannedPull[]> {
  const { factors, pullsPerCell, spools = [], makers = [], seed } = input;
  const cells = cellsOf(factors);
  const [problem, ...others] = problemsOf(factors, pullsPerCell, cells.length);
  if (problem !== undefined) return refuse(problem, ...others);
  const random = createRandom(seed);
  const used = new Counts();
  const planned: PlannedPull[] = [];
  for (let block = 1; block <= pullsPerCell; block++)
    for (const cell of random.shuffle(cells.map((_, index) => index))) {
      const spool = fairest(spools, random, (name) => [
        used.of("cell", cell, "spool", name),
        used.of("block", block, "spool", name),
        used.of("spool", name),
      ]);
      const maker = fairest(makers, random, (name) => [
        used.of("cell", cell, "maker", name),
        used.of("both", spool ?? "", name),
        used.of("block", block, "maker", name),
        used.of("maker", name),
      ]);
      if (spool !== undefined)
        used.add(["cell", cell, "spool", spool], ["block", block, "spool", spool], ["spool", spool]);
      if (maker !== undefined)
        used.add(
          ["cell", cell, "maker", maker],
          ["both", spool ?? "", maker],
          ["block", block, "maker", maker],
          ["maker", maker],
        );
      planned.push({
        order: planned.length + 1,
        block,
        levels: cells[cell] ?? {},
        ...(spool === undefined ? {} : { spool }),
        ...(maker === undefined ? {} : { maker }),
      });
    }
  return ok(planned);
}

/** Every combination of levels, the last factor turning fastest; a series without factors has one cell. */
function cellsOf(factors: readonly Factor[]): readonly Readonly<Record<string, LevelValue>>[] {
  if (factors.reduce((count, { levels }) => count * levels.length, 1) > mostPlannedPulls) return [];
  return factors.reduce<readonly Readonly<Record<string, LevelValue>>[]>(
    (cells, { name, levels }) => cells.flatMap((cell) => levels.map((level) => ({ ...cell, [name]: level }))),
    [{}],
  );
}

/** The name that was used least by the first count, then by the next; among equals one by chance. */
function fairest(
  names: readonly string[],
  random: Random,
  counts: (name: string) => readonly number[],
): string | undefined {
  let best: { readonly name: string; readonly counts: readonly number[] } | undefined;
  for (const name of random.shuffle(names)) {
    const here = { name, counts: counts(name) };
    if (best === undefined || isLess(here.counts, best.counts)) best = here;
  }
  return best?.name;
}

function isLess(a: readonly number[], b: readonly number[]): boolean {
  const at = a.findIndex((count, i) => count !== b[i]);
  return at >= 0 && (a[at] as number) < (b[at] as number);
}

class Counts {
  readonly #counts = new Map<string, number>();
  of(...key: readonly (string | number)[]): number {
    return this.#counts.get(JSON.stringify(key)) ?? 0;
  }
  add(...keys: readonly (readonly (string | number)[])[]): void {
    for (const key of keys) this.#counts.set(JSON.stringify(key), this.of(...key) + 1);
  }
}

function problemsOf(factors: readonly Factor[], pullsPerCell: number, cells: number): Problem[] {
  const bare = factors.findIndex(({ levels }) => levels.length === 0);
  if (bare >= 0)
    return [
      {
        code: "INPUT_FIELD",
        message: `The factor "${factors[bare]?.name}" has no levels.`,
        where: { field: `factors[${bare}].levels` },
        found: "none",
        expected: "the levels to pull at",
      },
    ];
  if (!(Number.isInteger(pullsPerCell) && pullsPerCell >= 1))
    return [
      {
        code: "INPUT_FIELD",
        message: "A plan says how many pulls each cell gets.",
        where: { field: "pullsPerCell" },
        found: String(pullsPerCell),
        expected: "a whole number from 1",
      },
    ];
  if (cells === 0 || cells * pullsPerCell > mostPlannedPulls)
    return [
      {
        code: "FINDING_PLAN_TOO_LARGE",
        message: "The plan asks for more pulls than can be listed.",
        where: { field: "pullsPerCell" },
        found: cells === 0 ? `more than ${mostPlannedPulls} cells` : `${cells * pullsPerCell} pulls`,
        expected: `at most ${mostPlannedPulls}`,
        wayOut: "Take fewer levels, or split the question.",
      },
    ];
  return [];
}
