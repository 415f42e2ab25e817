import type { Problem } from "./problem.ts";

/**
 * Writes problems the way a user reads them: a heading that says what was not done, then each problem with its place,
 * what was found and wanted, the offending line, and the way out, closed by its code.
 *
 * @example
 * formatProblems("Cannot import pull-14.csv: nothing was stored", [{
 *   code: "TRACE_NUMBER",
 *   message: "this is not a number",
 *   where: { line: 812, column: "force", text: "40.56;12,4" },
 *   found: "12,4",
 *   expected: "a number such as 12.4",
 *   wayOut: "Decimal commas? Import again with --decimal comma.",
 * }])
 * // Cannot import pull-14.csv: nothing was stored
 * //   line 812, column "force": found "12,4", wanted a number such as 12.4
 * //     812 | 40.56;12,4
 * //   Decimal commas? Import again with --decimal comma.   [TRACE_NUMBER]
 */
export function formatProblems(heading: string, problems: readonly Problem[]): string {
  return [heading, ...problems.map(formatProblem)].join("\n");
}

/** One problem as indented lines; see `formatProblems`. */
export function formatProblem(problem: Problem): string {
  const { where } = problem;
  const place = placeOf(problem);
  const says =
    problem.found !== undefined && problem.expected !== undefined
      ? `found ${JSON.stringify(problem.found)}, wanted ${problem.expected}`
      : problem.message;
  const lines = [`  ${place === "" ? "" : `${place}: `}${says}`];
  if (where?.text !== undefined)
    lines.push(`    ${where.line === undefined ? "" : `${where.line} | `}${where.text}`);
  if (problem.wayOut === undefined) lines[lines.length - 1] += `   [${problem.code}]`;
  else lines.push(`  ${problem.wayOut}   [${problem.code}]`);
  return lines.join("\n");
}

function placeOf({ where }: Problem): string {
  if (where === undefined) return "";
  const parts: string[] = [];
  if (where.file !== undefined) parts.push(where.file);
  if (where.line !== undefined) parts.push(`line ${where.line}`);
  if (where.row !== undefined) parts.push(`row ${where.row}`);
  if (where.column !== undefined) parts.push(`column ${JSON.stringify(where.column)}`);
  if (where.field !== undefined) parts.push(where.field);
  return parts.join(", ");
}
