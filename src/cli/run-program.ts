import { type Command, CommanderError } from "commander";
import type { Report } from "./read-command.ts";
import { type ExitCode, exitCodes, processTerminal, type Terminal } from "./terminal.ts";

type BuildProgram = (terminal: Terminal, report: Report) => Command;

/** Runs one command line by a program and resolves to its exit code. */
export async function runProgram(
  args: readonly string[],
  terminal: Terminal,
  build: BuildProgram,
): Promise<ExitCode> {
  let exitCode: ExitCode = exitCodes.done;
  const program = build(terminal, (code) => {
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

/** Runs this process's own command line. */
export async function runProcess(args: readonly string[], build: BuildProgram): Promise<void> {
  const terminal = processTerminal();
  process.on("uncaughtException", (error) => {
    sayFault(terminal, error, args.includes("--debug"));
    process.exit(exitCodes.ourFault);
  });
  process.exitCode = await runProgram(args, terminal, build);
}

/** Says that this program has a fault; where it lies only when asked. */
function sayFault(terminal: Terminal, error: unknown, debug: boolean): void {
  const said = error instanceof Error ? error.message : String(error);
  terminal.err(`bitterend has a fault and could not go on: ${said}   [SERVER_BUG]`);
  if (!debug)
    terminal.err("  Run the command again with --debug to see where it lies, and please report that.");
  else if (error instanceof Error) terminal.err(error.stack ?? "");
}
