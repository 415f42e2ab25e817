import { run, sayFault } from "./run.ts";
import { exitCodes, processTerminal } from "./terminal.ts";

// The entrance of the command line: `bitterend`.
const args = process.argv.slice(2);
const terminal = processTerminal();
process.on("uncaughtException", (error) => {
  sayFault(terminal, error, args.includes("--debug"));
  process.exit(exitCodes.ourFault);
});
process.exitCode = await run(args, terminal);
