import { ok, type Result, refuse, type Warning } from "../../problem/mod.ts";
import type { Factor } from "../../series/mod.ts";
import { varianceParts } from "../../stats/mod.ts";
import type { ScatterPart, ScatterParts } from "../effect-types.ts";
import { listed } from "../words.ts";
import type { Compared } from "./compared.ts";
import { crossed, groupsOf, kindNames, liesWithin } from "./kinds.ts";

/**
 * How much of the scatter lies between ropes (sizes), spools and makers, and how much from pull to pull.
 *
 * On logarithms, so that each part is a share of the strength. The plan's factors are taken out first, but for one that
 * only says which rope, spool or maker it was: its part is what is asked. Kinds that go together (each maker had a spool of
 * his own) stand as one part. Refused where no kind has two groups, or too few pulls are left.
 */
export function scatterParts(factors: readonly Factor[], { by, pulls }: Compared): Result<ScatterParts> {
  const full = pulls.filter((pull) => factors.every(({ name }) => Object.hasOwn(pull.levels, name)));
  const kinds = new Map<string, readonly string[]>();
  for (const kind of kindNames) {
    const groups = groupsOf(kind, full);
    if (groups === undefined) continue;
    const twin = [...kinds].find(([, other]) => liesWithin(other, groups) && liesWithin(groups, other));
    if (twin !== undefined) {
      kinds.delete(twin[0]);
      kinds.set(`${twin[0]} and ${kind}`, groups);
    } else kinds.set(kind, groups);
  }
  if (kinds.size === 0)
    return refuse({
      code: "STAT_TOO_FEW",
      message:
        "All pulls that count are of one rope, one spool and one maker, or nobody said of which: there is nothing to part.",
      found: "no kind with two groups",
      expected: "two spools, makers or ropes that are named",
    });
  const varied = factors.filter(({ name }) => new Set(full.map(({ levels }) => levels[name])).size > 1);
  const out = varied.filter(({ name }) => {
    const levels = full.map((pull) => String(pull.levels[name]));
    return ![...kinds.values()].some((groups) => liesWithin(groups, levels));
  });
  const cells = crossed(
    full.length,
    out.map(({ name }) => full.map((pull) => String(pull.levels[name]))),
  );
  const found = varianceParts({
    values: full.map(({ value }) => Math.log(value)),
    cells,
    random: Object.fromEntries(kinds),
  });
  if (!found.ok) return found;
  const { parts, rest } = found.value;
  const shown: ScatterPart[] = [
    ...parts,
    { name: "pull to pull", sd: rest.sd, share: rest.share, interval: ok(rest.interval) },
  ];
  return ok({
    by,
    n: full.length,
    pulls: full.map(({ pullId }) => pullId),
    without: out.map(({ name }) => name),
    parts: shown,
    warnings: fewGroups(shown),
  });
}

function fewGroups(parts: readonly ScatterPart[]): Warning[] {
  const few = parts.filter(({ groups }) => groups !== undefined && groups < 5);
  if (few.length === 0) return [];
  return [
    {
      code: "FINDING_FEW_GROUPS",
      message: `So few groups (${listed(few.map(({ name, groups }) => `${name}: ${groups}`))}) say little of how far others would differ; the intervals show how little.`,
    },
  ];
}
