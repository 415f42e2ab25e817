import { type Command, InvalidArgumentError } from "commander";

/** What every command has: JSON for programs, where a fault lies, and an example. */
export function finish(command: Command, example: string): Command {
  return command
    .option("--json", "print JSON, for programs")
    .option("--debug", "where this program has a fault, print where")
    .addHelpText("after", `\nExample:\n  $ ${example}`);
}

/** Which book a command works with. */
export function bookOption(program: Command) {
  return program.createOption(
    "--book <file>",
    "the book (default: what BITTEREND_BOOK names, or book.sqlite in your data folder)",
  );
}

/** Reads a whole number from 0 on. */
export function readWhole(text: string): number {
  const number = Number(text);
  if (!/^\d+$/.test(text) || !Number.isSafeInteger(number))
    throw new InvalidArgumentError("Wanted a whole number from 0 on.");
  return number;
}
