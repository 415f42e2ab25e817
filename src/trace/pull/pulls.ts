import { placeOf, type Samples } from "../samples/samples.ts";
import { joinLoads, type Load, lengthOf, secondsBetween } from "./loads.ts";

/** The loads that are pulls, each joined with the bedding cycles and the tail that belong to it, and the others. */
export type SortedLoads = { readonly pulls: readonly Load[]; readonly others: readonly Load[] };

/** A load is a pull by its size when its net force is at least half of the record's highest. */
const halfOfHighest = 0.5;
/** A smaller one is a pull of its own only if it broke, is not tiny, and stands apart. */
const smallPull = 0.15;
/** Or, where it was drawn out and did not break, if it is larger and lasts as long as a pull. */
const longPull = 0.3;
/** Seconds at rest in which a specimen can be changed; after a break fewer will do, for the next is known to be another. */
const changeS = 20;
const changeAfterBreakS = 2;
/** Bedding cycles reach one level within this part, and at least this part of the peak that follows. */
const cycleLikeness = 0.15;
const cyclePart = 0.1;

/**
 * Rules R-PULL, R-CYCLE and R-OTHER: which loads are pulls. A load of at least half of the record's highest net force is
 * one. Neighbours are one pull, as bedding cycles and waves are, unless the rest between them lasts 20 s and half of
 * the shorter one, or the first broke, the rest lasts 2 s, and neither is shorter than a quarter of the other. A smaller
 * load is a pull only if it stands 20 s apart and broke, or reached 30 % and lasted half as long as the shortest of those. Two or more loads of one level before a pull are its bedding
 * cycles, and so is a single one that lasts an eighth of the pull and is followed by it at once; loads after a pull that did not break belong to it while the rests stay short; what is left is another load:
 * a tug at set-up, handling after the break.
 *
 * @param options the level of no load and the record's highest force; `single` where the layout says that this stretch
 * is one pull: then only the highest load is one.
 */
export function sortLoads(
  samples: Samples,
  loads: readonly Load[],
  { floor, highest, single }: { floor: number; highest: number; single: boolean },
): SortedLoads {
  const net = (load: Load) => load.peak - floor;
  const big = loads.filter((load) => net(load) >= halfOfHighest * (highest - floor));
  const risen = big.filter((load) => load.rose);
  const seeds = new Set(risen.length > 0 ? risen : big);
  const shortest = Math.min(...[...seeds].map((seed) => lengthOf(samples, seed)));
  loads.forEach((load, at) => {
    const part = net(load) / (highest - floor);
    const isLong = part >= longPull && lengthOf(samples, load) >= shortest / 2;
    const small = load.rose && part >= smallPull && (load.collapsed || isLong);
    if (small && !single && standsApart(samples, loads, at)) seeds.add(load);
  });

  const groups: Load[][] = [];
  for (const load of loads) {
    if (!seeds.has(load)) continue;
    const last = groups.at(-1);
    if (last !== undefined && !areTwoPulls(samples, joined(samples, last, floor), load)) last.push(load);
    else groups.push([load]);
  }
  if (single && groups.length > 1) {
    const best = groups.reduce((a, b) =>
      joined(samples, a, floor).peak >= joined(samples, b, floor).peak ? a : b,
    );
    groups.splice(0, groups.length, best);
  }
  for (const group of groups) adopt(samples, loads, groups, group, floor);
  const taken = (load: Load) =>
    groups.some((group) => {
      const whole = joined(samples, group, floor);
      return load.from >= whole.from && load.to <= whole.to;
    });
  return {
    pulls: groups.map((group) => joined(samples, group, floor)),
    others: loads.filter((load) => !taken(load)),
  };
}

function joined(samples: Samples, group: readonly Load[], floor: number): Load {
  return joinLoads(samples, group as [Load, ...Load[]], floor); // a group is never empty
}

function areTwoPulls(samples: Samples, before: Load, after: Load): boolean {
  const rest = placeOf(samples, after.from) - placeOf(samples, Math.min(before.to, after.from));
  const seconds = secondsBetween(samples, before.to, after.from);
  const lengths = [lengthOf(samples, before), lengthOf(samples, after)].sort((a, b) => a - b);
  const [shorter = 0, longer = 0] = lengths;
  if (before.collapsed && (seconds ?? changeAfterBreakS) >= changeAfterBreakS && shorter >= longer / 4)
    return true;
  return rest >= shorter / 2 && (seconds ?? changeS) >= changeS;
}

function standsApart(samples: Samples, loads: readonly Load[], at: number): boolean {
  const load = loads[at] as Load;
  const before = loads[at - 1];
  const after = loads[at + 1];
  const far = (seconds: number | undefined) => seconds !== undefined && seconds >= changeS;
  return (
    (before === undefined || far(secondsBetween(samples, before.to, load.from))) &&
    (after === undefined || far(secondsBetween(samples, load.to, after.from)))
  );
}

/** Takes the neighbours that belong to a pull into its group. */
function adopt(
  samples: Samples,
  loads: readonly Load[],
  groups: readonly Load[][],
  group: Load[],
  floor: number,
): void {
  const isFree = (load: Load | undefined): load is Load =>
    load !== undefined && !groups.some((other) => other.includes(load));
  const whole = joined(samples, group, floor);

  const cycles: Load[] = [];
  for (let at = loads.indexOf(group[0] as Load) - 1; isFree(loads[at]); at--) {
    const load = loads[at] as Load;
    const next = cycles[0] ?? whole;
    const rest = placeOf(samples, next.from) - placeOf(samples, Math.min(load.to, next.from));
    if (rest > Math.max(lengthOf(samples, load), lengthOf(samples, next))) break;
    if (load.peak - floor < cyclePart * (whole.peak - floor)) break;
    if (cycles[0] !== undefined && !areAlike(load, cycles[0], floor)) break;
    cycles.unshift(load);
  }
  const firstOfGroup = group[0] as Load;
  const joinsCycles =
    cycles.length === 1 && group.length > 1 && areAlike(cycles[0] as Load, firstOfGroup, floor);
  if (
    cycles.length >= 2 ||
    joinsCycles ||
    (cycles[0] !== undefined && isSingleCycle(samples, cycles[0], whole))
  )
    group.unshift(...cycles);

  for (let at = loads.indexOf(group.at(-1) as Load) + 1; isFree(loads[at]); at++) {
    const load = loads[at] as Load;
    const last = joined(samples, group, floor);
    const rest = placeOf(samples, load.from) - placeOf(samples, Math.min(last.to, load.from));
    if (last.collapsed || rest > Math.min(lengthOf(samples, last), lengthOf(samples, load)) / 2) break;
    group.push(load);
  }
}

/** One load alone before a pull is bedding where it lasts an eighth of the pull and is followed by it at once. */
function isSingleCycle(samples: Samples, load: Load, pull: Load): boolean {
  const length = lengthOf(samples, load);
  const rest = placeOf(samples, pull.from) - placeOf(samples, Math.min(load.to, pull.from));
  return !load.collapsed && length >= lengthOf(samples, pull) / 8 && rest <= length / 4;
}

function areAlike(a: Load, b: Load, floor: number): boolean {
  const [lower = 0, higher = 0] = [a.peak - floor, b.peak - floor].sort((x, y) => x - y);
  return lower >= (1 - cycleLikeness) * higher;
}
