import type { Factor, LevelValue } from "../series/mod.ts";
import { factorOfBury } from "./bury-levels.ts";
import type { CellFindings, Finding, JudgedPull } from "./types.ts";
import { listed } from "./words.ts";

/**
 * How many slipped at which bury: over the levels of the factor whose name says bury, or cell by cell where there is
 * none. Says nothing where no pull slipped. Where none of n slipped at a level, the largest share of slips that this
 * still allows is given: with 95 % confidence 1 − 0.05^(1/n), the exact binomial bound for none of n.
 */
export function slipsByBury(
  factors: readonly Factor[],
  pulls: readonly JudgedPull[],
  cells: readonly CellFindings[],
): Finding[] {
  const ended = pulls.filter(({ outcome }) => outcome?.kind === "broke" || outcome?.kind === "slipped");
  if (!ended.some(slipped)) return [];
  const bury = factorOfBury(factors);
  const groups = (bury === undefined ? byCell(cells, ended) : byLevel(bury, ended)).filter(
    (group) => group.pulls.length > 0,
  );
  const parts = groups.map(
    ({ label, pulls: those }) => `${those.filter(slipped).length} of ${those.length} at ${label}`,
  );
  const none = groups.filter((group) => group.named && !group.pulls.some(slipped));
  const allowed = none.map(
    ({ label, pulls: those }) => `${Math.round((1 - 0.05 ** (1 / those.length)) * 100)} % (${label})`,
  );
  const caution =
    none.length === 0
      ? ""
      : ` Where none slipped, that is no proof that none will: slips in up to ${listed(allowed)} of all such specimens would still agree with these pulls.`;
  return [
    {
      id: "slipped",
      sentence: `Ended by slipping: ${listed(parts)}.${caution}`,
      method:
        "A count of outcomes among the pulls that broke or slipped. None of n: exact binomial upper bound, 95 % confidence, 1 − 0.05^(1/n).",
      pulls: groups.flatMap((group) => group.pulls.map(({ pullId }) => pullId)),
      warnings:
        bury === undefined || factors.length === 1
          ? []
          : [
              {
                code: "FINDING_CELLS_POOLED",
                message: `Here the levels of ${listed(factors.filter((factor) => factor !== bury).map(({ name }) => name))} are counted together; they may slip differently.`,
              },
            ],
    },
  ];
}

/** Named: a bury or cell that says what it is, of which a bound can be told. */
type Group = { readonly label: string; readonly named: boolean; readonly pulls: readonly JudgedPull[] };

function byLevel(bury: Factor, ended: readonly JudgedPull[]): Group[] {
  const levels = [...bury.levels];
  const ordered = levels.every((level) => typeof level === "number")
    ? levels.sort((a, b) => Number(a) - Number(b))
    : levels;
  const has = (pull: JudgedPull, level: LevelValue) => String(pull.levels[bury.name]) === String(level);
  const named = ordered.map((level) => ({
    label: `${bury.name} ${level}${bury.unit === "" ? "" : ` ${bury.unit}`}`,
    named: true,
    pulls: ended.filter((pull) => has(pull, level)),
  }));
  const rest = ended.filter((pull) => !ordered.some((level) => has(pull, level)));
  return [...named, { label: `another ${bury.name} or none given`, named: false, pulls: rest }];
}

function byCell(cells: readonly CellFindings[], ended: readonly JudgedPull[]): Group[] {
  return cells.map((cell) => {
    const ids = new Set(cell.pulls);
    return {
      label: cell.label,
      named: cell.kind !== "no specimen",
      pulls: ended.filter(({ pullId }) => ids.has(pullId)),
    };
  });
}

function slipped({ outcome }: JudgedPull): boolean {
  return outcome?.kind === "slipped";
}
