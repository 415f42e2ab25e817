import type { Factor } from "../../series/mod.ts";
import { type Columns, fTails, linearModel } from "../../stats/mod.ts";
import type { Interaction } from "../effect-types.ts";
import type { Compared } from "./compared.ts";
import { crossed } from "./kinds.ts";

/** Interactions are looked for among so many factors at most; more would be a search for accidents. */
const mostFactors = 5;

/**
 * Whether the effect of one factor depends on the level of another, for each two factors of which every combination of
 * levels was pulled twice or more. On logarithms: the question is whether the effect in per cent is the same everywhere.
 * The other factors, and the ropes, are kept apart as blocks. p by the F law: what two factors do together has no exact
 * permutation of its own.
 */
export function interactionsOf(factors: readonly Factor[], { pulls }: Compared): Interaction[] {
  const full = pulls.filter((pull) => factors.every(({ name }) => Object.hasOwn(pull.levels, name)));
  const varied = factors
    .map(({ name, levels }) => ({
      name,
      order: levels.map(String),
      levels: full.map((pull) => String(pull.levels[name])),
    }))
    .filter(({ levels }) => new Set(levels).size > 1)
    .slice(0, mostFactors);
  const values = full.map(({ value }) => Math.log(value));
  return varied.flatMap((first, i) =>
    varied.slice(i + 1).flatMap((second): Interaction[] => {
      const [a, b] = [indicators(first.levels, first.order), indicators(second.levels, second.order)];
      const cells = crossed(full.length, [first.levels, second.levels]);
      const counts = new Map<string, number>();
      for (const cell of cells) counts.set(cell, (counts.get(cell) ?? 0) + 1);
      if (counts.size < (a.length + 1) * (b.length + 1) || Math.min(...counts.values()) < 2) return [];
      const others = varied.filter((one) => one !== first && one !== second);
      const blocks = indicators(
        crossed(
          full.length,
          others.map(({ levels }) => levels),
        ),
      );
      const both = a.flatMap((x) => b.map((y) => x.map((value, row) => value * (y[row] as number))));
      const plain = linearModel({ columns: named([...blocks, ...a, ...b]), response: values });
      const whole = linearModel({ columns: named([...both, ...blocks, ...a, ...b]), response: values });
      if (!plain.ok || !whole.ok) return [];
      const [less, more] = [plain.value, whole.value];
      const rest = more.df * more.residualSd ** 2;
      const between = less.df - more.df;
      // What is left once the cells are fitted may be nothing but rounding.
      if (!(more.residualSd > 1e-10) || between < 1) return [];
      const f = Math.max(0, (less.df * less.residualSd ** 2 - rest) / between / more.residualSd ** 2);
      const p = fTails(f, between, more.df).upper;
      const [value, interval] = [more.coefficients["x0"], more.intervals["x0"]];
      return [
        {
          factors: [first.name, second.name],
          n: full.length,
          pulls: full.map(({ pullId }) => pullId),
          f,
          df: [between, more.df],
          significance: { by: "F law", p, pOfAll: p },
          ...(both.length === 1 &&
            value !== undefined &&
            interval !== undefined && {
              relative: {
                value: Math.expm1(value),
                interval: [Math.expm1(interval[0]), Math.expm1(interval[1])] as const,
              },
            }),
        },
      ];
    }),
  );
}

/** A column of ones and zeros for each name but the first of the order. */
function indicators(names: readonly string[], order: readonly string[] = []): number[][] {
  const [, ...others] = new Set([...order.filter((one) => names.includes(one)), ...names]);
  return others.map((one) => names.map((name) => (name === one ? 1 : 0)));
}

function named(columns: readonly (readonly number[])[]): Columns {
  return Object.fromEntries(columns.map((column, i) => [`x${i}`, column]));
}
