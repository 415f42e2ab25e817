import { addRead, createProgram } from "./read-command.ts";
import { runProcess } from "./run-program.ts";

/** The command line with `read` alone, bundled into one file with all that it needs; see read-from-cache.ts. */
export function runRead(args: readonly string[]): Promise<void> {
  return runProcess(args, (terminal, report) => {
    const program = createProgram(terminal);
    addRead(program, terminal, report);
    return program;
  });
}
