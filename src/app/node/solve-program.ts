import type { ProgramAnswer } from "../contract.ts";

/** Enough for the sizes that are put to it, many times over; it holds up nothing else for longer than that. */
const timeLimitS = 5;

/** What of the library is used. Its own types describe another module form than Node loads. */
type Solver = {
  solve(
    text: string,
    options: { readonly time_limit: number },
  ): { readonly Status: string; readonly Columns: Readonly<Record<string, { readonly Primal?: number }>> };
};

let loaded: Promise<Solver> | undefined;

/** Solves a whole-number program in LP text. The library is a megabyte and more, and is loaded when it is needed. */
export async function solveProgram(text: string): Promise<ProgramAnswer> {
  loaded ??= loadSolver();
  const answer = (await loaded).solve(text, { time_limit: timeLimitS });
  if (answer.Status === "Infeasible") return { status: "impossible" };
  if (answer.Status !== "Optimal") return { status: "not proven" };
  const values = Object.entries(answer.Columns).map(([name, { Primal = 0 }]) => [name, Primal] as const);
  return { status: "best", values: Object.fromEntries(values) };
}

async function loadSolver(): Promise<Solver> {
  const { default: load } = (await import("highs")) as unknown as { default: () => Promise<Solver> };
  return load();
}
