/**
 * What went wrong, as data. Every part speaks of bad input in this one shape, so that the command line, the HTTP
 * answers and the screens say the same words.
 *
 * @example
 * const answer = refuse({ code: "STAT_TOO_FEW", message: "A standard deviation needs 2 values.", found: "1" });
 * answer.ok // false
 */
export { type ProblemCode, problemCodes } from "./codes.ts";
export { formatProblem, formatProblems } from "./format.ts";
export { ok, type Problem, type Result, refuse, type Warning, type Where } from "./problem.ts";
