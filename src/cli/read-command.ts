import { Command } from "commander";
import { finish } from "./command-parts.ts";
import { addLayoutOptions } from "./layout-options.ts";
import type { ExitCode, Terminal } from "./terminal.ts";
import { version } from "./version.ts";

export type Report = (code: ExitCode) => void;

/** The command line without its commands. */
export function createProgram(terminal: Terminal): Command {
  return new Command("bitterend")
    .description("The bench book of a rope-splice tester: ask, splice, pull, judge, tell, use.")
    .version(version)
    .helpCommand(false)
    .showSuggestionAfterError()
    .showHelpAfterError("Try --help.")
    .exitOverride()
    .configureOutput({
      writeOut: (text) => terminal.out(text.trimEnd()),
      writeErr: (text) => terminal.err(text.trimEnd()),
    });
}

/** `read`, which has an entrance of its own besides the whole command line's: it is to start fast. */
export function addRead(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("read")
    .description("Read the pulls out of a logger's files. Needs no book and stores nothing.")
    .argument("<file...>", "files to read; - for the standard input");
  addLayoutOptions(command).option("--why", "say why each file was read the way it was");
  finish(command, "bitterend read pull.csv --force-unit kN").action(async (files, options) => {
    const { read } = await import("./commands/read.ts");
    report(await read(files, options, terminal));
  });
}
