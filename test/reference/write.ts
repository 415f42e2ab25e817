import type { Compared } from "./compare.ts";
import type { Done } from "./run.ts";

export type Page = {
  readonly done: readonly Done[];
  readonly versions: readonly string[];
  readonly seed: number;
  readonly cases: number;
  readonly date?: string;
  readonly without: readonly { readonly calculation: string; readonly reason: string }[];
  readonly unanswered: readonly string[];
};

/** The page that says how far the calculations lie from R. */
export function writePage({ done, versions, seed, cases, date, without, unanswered }: Page): string {
  const beyond = done.flatMap(({ outputs }) => outputs).filter((one) => one.beyond.length > 0);
  const judged = done.reduce(
    (sum, one) => sum + one.outputs.reduce((total, { compared }) => total + compared, 0),
    0,
  );
  return `# A second opinion: R

Written by \`npm run reference\` from seed ${seed}${date === undefined ? "" : ` on ${date}`}; do not edit.

Of each calculation ${cases} random cases (of the costly ones a fifth) are worked out here and by R, and every number is
compared: ${judged.toLocaleString("en")} comparisons.
${
  beyond.length === 0
    ? "None lies beyond its tolerance."
    : `${beyond.length} of the outputs lie beyond their tolerance in some case; they are marked below.`
} Where the tolerance is wider than rounding explains, the reason stands beside it: it is how far R itself, or the
search within R, can be trusted.

R and its packages: ${versions.join("; ")}.

A difference is relative to the larger of the two numbers, or to a size named in the source where a number may be near 0.
"refused": cases that we refused, and cases on which R stopped. "only one": cases in which just one of the two gives that
number (R has no non-centrality above 37.62, for one).

| calculation | asked of R | output | compared | largest difference | tolerance | only one | why so wide |
|---|---|---|---|---|---|---|---|
${done.flatMap(rowsOf).join("\n")}
${refusals(done)}
## No counterpart in R

| calculation | why, and what instead |
|---|---|
${[
  ...without,
  ...unanswered.map((calculation) => ({
    calculation,
    reason: "checked by its tests alone: published figures, algebra, simulation",
  })),
]
  .map(({ calculation, reason }) => `| ${calculation} | ${reason} |`)
  .join("\n")}

The random parts (the bootstrap's draws, permutation beyond two million splits, the regroupings of same-population) have no
counterpart either: two programs draw differently. Their deterministic parts are above; the tests check the rest by
simulation with known truth.
`;
}

function rowsOf({ spec, outputs }: Done): string[] {
  return outputs.map((one, i) => {
    const lead =
      i === 0
        ? `| ${spec.calculation}${spec.name === spec.calculation ? "" : ` (${spec.name})`} | ${spec.inR} `
        : "| | ";
    return `${lead}| ${one.output} | ${one.compared} | ${difference(one)} | ${one.tolerance.toExponential(0)} | ${onlyOne(one)} | ${one.why ?? ""} |`;
  });
}

function difference({ largest, beyond, compared }: Compared): string {
  if (compared === 0) return "never compared";
  const text = Number.isFinite(largest) ? largest.toExponential(1) : "not the same count of numbers";
  return beyond.length === 0 ? text : `**${text}**, ${beyond.length} beyond`;
}

function onlyOne({ onlyOurs, onlyR }: Compared): string {
  const parts = [onlyOurs > 0 ? `ours ${onlyOurs}` : "", onlyR > 0 ? `R ${onlyR}` : ""];
  return parts.filter((part) => part !== "").join(", ");
}

function refusals(done: readonly Done[]): string {
  const lines = done.flatMap(({ spec, weRefused, rRefused }) => {
    if (weRefused === 0 && rRefused.length === 0) return [];
    const reasons = [...new Set(rRefused)].slice(0, 2).map((reason) => `"${reason}"`);
    return [
      `| ${spec.name} | ${weRefused} | ${rRefused.length} | ${reasons.join("; ").replaceAll("|", "\\|")} |`,
    ];
  });
  if (lines.length === 0) return "";
  return `\n| part | refused by us | by R | R's words |\n|---|---|---|---|\n${lines.join("\n")}\n`;
}
