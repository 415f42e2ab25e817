import { buildProgram } from "./program.ts";
import { runProcess, runProgram } from "./run-program.ts";
import type { ExitCode, Terminal } from "./terminal.ts";

/**
 * Runs one command line and resolves to its exit code: 0 done, 1 input problems, 2 wrong usage, 3 our fault. A fault
 * shows where it lies only with --debug.
 */
export function run(args: readonly string[], terminal: Terminal): Promise<ExitCode> {
  return runProgram(args, terminal, buildProgram);
}

/** Runs this process's own command line, whichever command it is. */
export function runAny(args: readonly string[]): Promise<void> {
  return runProcess(args, buildProgram);
}
