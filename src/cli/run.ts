import { CommanderError } from "commander";
import { buildProgram } from "./program.ts";
import { type ExitCode, exitCodes, type Terminal } from "./terminal.ts";

/**
 * Runs one command line and resolves to its exit code: 0 done, 1 input problems, 2 wrong usage, 3 our fault. A fault
 * shows where it lies only with --debug.
 */
export async function run(args: readonly string[], terminal: Terminal): Promise<ExitCode> {
  let exitCode: ExitCode = exitCodes.done;
  const program = buildProgram(terminal, (code) => {
    exitCode = code;
  });
  try {
    await program.parseAsync(args, { from: "user" });
    return exitCode;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? exitCodes.done : exitCodes.wrongUsage;
    sayFault(terminal, error, args.includes("--debug"));
    return exitCodes.ourFault;
  }
}

/** Says that this program has a fault; where it lies only when asked. */
export function sayFault(terminal: Terminal, error: unknown, debug: boolean): void {
  const said = error instanceof Error ? error.message : String(error);
  terminal.err(`bitterend has a fault and could not go on: ${said}   [SERVER_BUG]`);
  if (!debug)
    terminal.err("  Run the command again with --debug to see where it lies, and please report that.");
  else if (error instanceof Error) terminal.err(error.stack ?? "");
}
