import type { LevelValue } from "../../series/mod.ts";
import { hasStrength } from "../judge-pull.ts";
import type { JudgedPull } from "../types.ts";

export type StrongPull = JudgedPull & { readonly strengthN: number };

/** The pulls that count and stand at these levels; a level is the same whether it came as a number or as text. */
export function pullsAt(
  pulls: readonly JudgedPull[],
  levels: Readonly<Record<string, LevelValue>>,
): readonly StrongPull[] {
  return pulls
    .filter(({ use }) => use === "counted")
    .filter(hasStrength)
    .filter((pull) =>
      Object.entries(levels).every(
        ([name, level]) => Object.hasOwn(pull.levels, name) && String(pull.levels[name]) === String(level),
      ),
    );
}

/** Levels in words: "bury 60, pin 20"; "all pulls" where none is named. */
export function levelsText(levels: Readonly<Record<string, LevelValue>>): string {
  const named = Object.entries(levels).map(([name, level]) => `${name} ${level}`);
  return named.length === 0 ? "all pulls" : named.join(", ");
}

/** The one value that all pulls share; nothing where they differ or some have none. */
export function common<T>(
  pulls: readonly JudgedPull[],
  of: (pull: JudgedPull) => T | undefined,
): T | undefined {
  const [first, ...others] = pulls.map(of);
  return others.every((one) => one === first) ? first : undefined;
}
