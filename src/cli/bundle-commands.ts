import type { Command } from "commander";
import { bookOption, finish, readWhole } from "./command-parts.ts";
import type { ExitCode, Terminal } from "./terminal.ts";

type Report = (code: ExitCode) => void;

/** What carries a series to others and back: bundles, written, taken in and verified, and the withdrawal of a report. */
export const bundleCommands = [addWithdraw, addBundle, addImportBundle, addVerify];

function addWithdraw(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("withdraw")
    .description(
      "Withdraw a published report: it stays readable and says so. Without an id: list the reports.",
    )
    .argument("[report]", "the id of the report")
    .option("--reason <text>", "why; it stands on the page")
    .addOption(bookOption(program));
  finish(command, 'bitterend withdraw rep-7k3qx9tbm4 --reason "the cell was out of calibration"').action(
    async (id, options) => {
      const { withdraw } = await import("./commands/bundle.ts");
      report(await withdraw(id, options, terminal));
    },
  );
}

function addBundle(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("bundle")
    .description("Write a series as one data package: tables, recordings, pictures and the report.")
    .argument("<series>", "the id of the series; `bitterend series` lists them")
    .requiredOption("--out <file>", "the zip to write")
    .option("--revision <number>", "as it was published under this number (default: as it stands)", readWhole)
    .addOption(bookOption(program));
  finish(command, "bitterend bundle ser-7k3qx9tbm4 --revision 2 --out bury.zip").action(
    async (series, options) => {
      const { writeBundle } = await import("./commands/bundle.ts");
      report(await writeBundle(series, options, terminal));
    },
  );
}

function addImportBundle(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("import-bundle")
    .description("Take the series of a bundle into the book, all of it or nothing.")
    .argument("<file...>", "bundles, as `bitterend bundle` writes them")
    .option(
      "--replace",
      "put it in the place of another revision of the same series that was imported before",
    )
    .addOption(bookOption(program));
  finish(command, "bitterend import-bundle theirs.zip").action(async (files, options) => {
    const { importBundles } = await import("./commands/bundle.ts");
    report(await importBundles(files, options, terminal));
  });
}

function addVerify(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("verify")
    .description(
      "Calculate everything in a bundle again: the same numbers, or where they differ. Needs no book.",
    )
    .argument("<bundle>", "the bundle");
  finish(command, "bitterend verify theirs.zip").action(async (bundle, options) => {
    const { verify } = await import("./commands/bundle.ts");
    report(await verify(bundle, options, terminal));
  });
}
