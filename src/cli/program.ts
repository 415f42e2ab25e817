import { type Command, InvalidArgumentError } from "commander";
import { bundleCommands } from "./bundle-commands.ts";
import { bookOption, finish, readWhole } from "./command-parts.ts";
import { addLayoutOptions, readAbove0, readForceUnit } from "./layout-options.ts";
import { addRead, createProgram, type Report } from "./read-command.ts";
import type { Terminal } from "./terminal.ts";

/**
 * The whole command line: every command with its arguments, options and an example. What a command does is loaded when
 * it is called, so that a short one starts fast.
 */
export function buildProgram(terminal: Terminal, report: Report): Command {
  const program = createProgram(terminal);
  for (const add of [
    addStart,
    addRead,
    addImport,
    addSeries,
    addPlan,
    addFindings,
    addBound,
    addSlipOrBreak,
    addReport,
    addTables,
    addPullRecord,
    addCaptions,
    addFigure,
    addSite,
    ...bundleCommands,
    addCutSheet,
    addRecipes,
    addRig,
    addReread,
    addCertificate,
    addCalc,
    addSimulate,
  ])
    add(program, terminal, report);
  program.addHelpText(
    "after",
    "\nExit codes: 0 done, 1 the input has problems, 2 wrong usage, 3 a fault of this program." +
      "\nExample:\n  $ bitterend read pull-14.csv --force-unit kN",
  );
  return program;
}

function addStart(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("start")
    .description("Open the book and serve the web app on this computer.")
    .option(
      "--port <number>",
      "listen on exactly this port (default: 7320, or the next that is free)",
      readPort,
    )
    .option("--host <address>", "listen on this address (default: 127.0.0.1, this computer only)")
    .option("--allow-host <name...>", "answer to this host name as well, for a proxy or another computer")
    .addOption(bookOption(program));
  finish(command, "bitterend start --port 8080").action(async (options) => {
    const { start } = await import("./commands/start.ts");
    report(await start(options, terminal));
  });
}

function addImport(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("import")
    .description("Keep recordings in the book, in a series, with a pull for each that was read.")
    .argument("<file...>", "files to import; - for the standard input")
    .requiredOption("--series <id>", "the series they belong to; `bitterend series` lists the ids");
  addLayoutOptions(command)
    .option("--bench <id>", "the bench they were pulled on")
    .option("--save-layout <name>", "keep the layout under this name, for the next files of this logger")
    .addOption(bookOption(program));
  finish(command, "bitterend import pull-*.csv --series ser-7k3qx9tbm4 --force-unit kN").action(
    async (files, options) => {
      const { importFiles } = await import("./commands/import.ts");
      report(await importFiles(files, options, terminal));
    },
  );
}

function addSeries(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("series")
    .description("List the series of the book, with their ids.")
    .addOption(bookOption(program));
  finish(command, "bitterend series").action(async (options) => {
    const { listSeries } = await import("./commands/series.ts");
    report(await listSeries(options, terminal));
  });
}

function addPlan(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("plan")
    .description("Say how many pulls a series needs, which buries, in which order, and what it takes.")
    .argument("<series>", "the id of the series; `bitterend series` lists them")
    .option("--seed <number>", "the seed by which the order of pulling is drawn", readWhole, 1)
    .option("--difference <percent>", "the difference worth knowing, of the mean (default: 10)", readAbove0)
    .option("--power <percent>", "how often such a difference is to be found (default: 80)", readAbove0)
    .option("--cv <percent>", "scatter within a cell (default: the book's own, or 8)", readAbove0)
    .option("--spool <id...>", "the spools to take from, evenly")
    .option("--maker <name...>", "the makers, evenly")
    .option("--rope <id>", "the rope, where no spool is named")
    .option("--recipe <id>", "the recipe, for the rope that it takes")
    .option("--length <mm>", "the finished length, inside, slack", readAbove0)
    .option("--minutes <number>", "making and pulling one specimen", readAbove0)
    .option("--make", "make the specimens that the plan still wants: all or none")
    .addOption(bookOption(program));
  finish(command, "bitterend plan ser-7k3qx9tbm4 --seed 7 --difference 8").action(async (series, options) => {
    const { showPlan } = await import("./commands/plan.ts");
    report(await showPlan(series, options, terminal));
  });
}

function addFindings(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("findings")
    .description("Say what a series shows: each cell's statistics, and sentences with what they rest on.")
    .argument("<series>", "the id of the series; `bitterend series` lists them")
    .addOption(bookOption(program));
  finish(command, "bitterend findings ser-7k3qx9tbm4").action(async (series, options) => {
    const { showFindings } = await import("./commands/findings.ts");
    report(await showFindings(series, options, terminal));
  });
}

function addBound(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("bound")
    .description("Say by which lower bound a series states its strengths, or choose another.")
    .argument("<series>", "the id of the series; `bitterend series` lists them")
    .option(
      "--method <name>",
      "normal, lognormal, weibull, distribution-free, hanson-koopmans, mean-3sd or lowest",
    )
    .option("--content <share>", "the share of specimens that is to be stronger, such as 0.95")
    .option("--confidence <share>", "how surely, such as 0.95")
    .addOption(bookOption(program));
  finish(command, "bitterend bound ser-7k3qx9tbm4 --method weibull --content 0.9").action(
    async (series, options) => {
      const { chooseBound } = await import("./commands/bound.ts");
      report(await chooseBound(series, options, terminal));
    },
  );
}

function addSlipOrBreak(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("slip-or-break")
    .description("Say from which bury on the specimens of a series break before they slip.")
    .argument("<series>", "the id of the series; `bitterend series` lists them")
    .option("--chance <share>", "how unlikely slipping first is to be (default: 0.05)")
    .option("--confidence <share>", "how surely (default: 0.95)")
    .option(
      "--growth <law>",
      "how slip strength grows with bury: exponential, linear or auto (default: auto)",
    )
    .option("--refits <number>", "how many times it is fitted anew for the bound (default: 2000)")
    .option("--seed <number>", "of the chances in these (default: follows from the series)")
    .addOption(bookOption(program));
  finish(command, "bitterend slip-or-break ser-7k3qx9tbm4 --chance 0.01").action(async (series, options) => {
    const { showSlipOrBreak } = await import("./commands/slip-or-break.ts");
    report(await showSlipOrBreak(series, options, terminal));
  });
}

function addReport(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("report")
    .description("Write the report of a series as one HTML page that needs nothing else.")
    .argument("<series>", "the id of the series; `bitterend series` lists them")
    .requiredOption("--out <folder>", "the folder to write it to; made where it is missing")
    .option("--publish", "freeze it in the book under the next number first")
    .addOption(bookOption(program));
  finish(command, "bitterend report ser-7k3qx9tbm4 --out reports --publish").action(
    async (series, options) => {
      const { writeReport } = await import("./commands/report.ts");
      report(await writeReport(series, options, terminal));
    },
  );
}

function addTables(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("tables")
    .description("Write the tables of a series' report as a spreadsheet (XLSX); no text in it is a formula.")
    .argument("<series>", "the id of the series; `bitterend series` lists them")
    .requiredOption("--out <file>", "the XLSX file to write")
    .addOption(bookOption(program));
  finish(command, "bitterend tables ser-7k3qx9tbm4 --out tables.xlsx").action(async (series, options) => {
    const { writeTables } = await import("./commands/tables.ts");
    report(await writeTables(series, options, terminal));
  });
}

function addPullRecord(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("pull-record")
    .description(
      "Write what is known of one pull as a page to print. It certifies nothing beyond that specimen.",
    )
    .argument("<pull>", "the id of the pull")
    .requiredOption("--out <file>", "the HTML file to write")
    .addOption(bookOption(program));
  finish(command, "bitterend pull-record pul-7k3qx9tbm4 --out pull.html").action(async (pull, options) => {
    const { writePullRecord } = await import("./commands/tables.ts");
    report(await writePullRecord(pull, options, terminal));
  });
}

function addCaptions(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("captions")
    .description("Write the force of a pull as captions (WebVTT) for the film of it.")
    .argument("<pull>", "the id of the pull")
    .requiredOption("--out <file>", "the VTT file to write")
    .option("--at <seconds>", "when the film shows the moment, in its own seconds", readSeconds)
    .addOption(
      program
        .createOption("--moment <name>", "which moment that is")
        .choices(["break", "peak", "start"])
        .default("break"),
    )
    .option("--film-started <time>", "instead: when the film was begun, by the recording's clock")
    .option("--rate <number>", "captions in a second, from 0.1 to 30 (default: 5)", readAbove0)
    .addOption(
      program
        .createOption("--unit <unit>", "the unit of force")
        .choices(["kN", "lbf", "N", "kgf"])
        .default("kN"),
    )
    .addOption(bookOption(program));
  finish(command, "bitterend captions pul-7k3qx9tbm4 --at 41.6 --out pull.vtt").action(
    async (pull, options) => {
      const { writeCaptions } = await import("./commands/tables.ts");
      report(await writeCaptions(pull, options, terminal));
    },
  );
}

function addFigure(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("figure")
    .description(
      "Write a figure of a series with its title, source and data. Without a kind: list what can be drawn.",
    )
    .argument("<series>", "the id of the series; `bitterend series` lists them")
    .argument("[kind]", "the kind of figure")
    .option("--out <file>", "the file to write: .svg, .png, or .csv for the data alone")
    .addOption(program.createOption("--scheme <name>", "on which paper").choices(["light", "dark"]))
    .addOption(
      program.createOption("--align <moment>", "where an overlay begins its time").choices(["peak", "start"]),
    )
    .option("--number <number>", "which one, where a series can have several of a kind", readWhole)
    .option("--width <pixels>", "how wide, from 320 to 4000 (default: 900)", readWhole)
    .addOption(bookOption(program));
  finish(command, "bitterend figure ser-7k3qx9tbm4 every-pull --out every-pull.svg --scheme dark").action(
    async (series, kind, options) => {
      const { writeFigure } = await import("./commands/figure.ts");
      report(await writeFigure(series, kind, options, terminal));
    },
  );
}

function addSite(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("site")
    .description(
      "Make a site of all published reports, for any static host or a disk; what did not change is not made again.",
    )
    .requiredOption("--out <folder>", "the folder to write it to; made where it is missing")
    .option("--title <words>", "what stands at its head (default: What spliced rope bore)")
    .option("--url <address>", "where it will stand; with it come a sitemap and whole addresses")
    .addOption(bookOption(program));
  finish(command, "bitterend site --out site --url https://example.org/ropes/").action(async (options) => {
    const { writeSite } = await import("./commands/site.ts");
    report(await writeSite(options, terminal));
  });
}

function addCutSheet(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("cut-sheet")
    .description("Write what to cut and where to mark for a series, to print on A4 or Letter at 100 %.")
    .argument("<series>", "the id of the series; `bitterend series` lists them")
    .requiredOption("--out <file>", "the HTML file to write")
    .addOption(program.createOption("--paper <size>", "the paper").choices(["a4", "letter"]).default("a4"))
    .option("--all", "specimens that were cut already as well")
    .option("--link <address>", "where the book answers, for the QR marks on labels")
    .addOption(bookOption(program));
  finish(command, "bitterend cut-sheet ser-7k3qx9tbm4 --out cut-sheet.html --paper letter").action(
    async (series, options) => {
      const { writeCutSheet } = await import("./commands/cut-sheet.ts");
      report(await writeCutSheet(series, options, terminal));
    },
  );
}

function addRecipes(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("recipes")
    .description("List the recipes that come with the program, and with --book those of a book.")
    .option("--book <file>", "the book whose own recipes are listed as well");
  finish(command, "bitterend recipes").action(async (options) => {
    const { listRecipes } = await import("./commands/recipes.ts");
    report(await listRecipes(options, terminal));
  });
}

function addRig(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("rig")
    .description(
      "Say which part of a rig is the weakest and with what margin. Without an id: list the rigs of the book.",
    )
    .argument("[id]", "the id of the rig")
    .addOption(bookOption(program));
  finish(command, "bitterend rig rig-7k3qx9tbm4").action(async (id, options) => {
    const { showRig } = await import("./commands/rig.ts");
    report(await showRig(id, options, terminal));
  });
}

function addReread(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("reread")
    .description("Read the book's recordings again by the present method, and say what came out otherwise.")
    .option("--series <id>", "only the recordings of this series")
    .option("--dry-run", "only say what would change; store nothing")
    .addOption(bookOption(program));
  finish(command, "bitterend reread --dry-run").action(async (options) => {
    const { rereadBook } = await import("./commands/reread.ts");
    report(await rereadBook(options, terminal));
  });
}

function addCertificate(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("certificate")
    .description(
      "Keep the points of a load cell's certificate, and read its pulls again with them. Without a file: list the load cells.",
    )
    .argument(
      "[file]",
      "two columns, the applied force and what the cell showed of it; - for the standard input",
    )
    .option("--cell <id>", "the load cell; its former points are replaced")
    .option("--applied-unit <unit>", "the unit of the applied force, where no heading says it", readForceUnit)
    .option("--indicated-unit <unit>", "the unit of what the cell showed, likewise", readForceUnit)
    .option("--calibrated-on <date>", "the date of the certificate, as in 2026-03-14")
    .option("--accuracy-class <number>", "the cell's class, in per cent", readAbove0)
    .option("--dry-run", "only say what was read; store nothing")
    .addOption(bookOption(program));
  finish(command, "bitterend certificate points.csv --cell cel-7k3qx9tbm4 --calibrated-on 2026-03-14").action(
    async (file, options) => {
      const { keepCertificate } = await import("./commands/certificate.ts");
      report(await keepCertificate(file, options, terminal));
    },
  );
}

function addCalc(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("calc")
    .description("Run one calculation: JSON in, JSON out. Without a name: list them.")
    .argument("[name]", "the calculation; alone, its note is printed")
    .argument("[json]", "its input; without it, read from the standard input");
  finish(command, `bitterend calc convert '{"value": 1000, "from": "lbf", "to": "kN"}'`).action(
    async (name, json, options) => {
      const { calculate } = await import("./commands/calc.ts");
      report(await calculate(name, json, options, terminal));
    },
  );
}

function addSimulate(program: Command, terminal: Terminal, report: Report): void {
  const command = program
    .command("simulate")
    .description("Write recordings of pulls that never were, each with what is true of it. Needs no book.")
    .requiredOption("--out <folder>", "the folder to write them to; made where it is missing")
    .option("--seed <number>", "the seed of the first; each next one has the next whole number", readWhole, 1)
    .option("--count <number>", "how many", readWhole, 1);
  finish(command, "bitterend simulate --seed 7 --count 20 --out simulated").action(async (options) => {
    const { simulate } = await import("./commands/simulate.ts");
    report(await simulate(options, terminal));
  });
}

function readPort(text: string): number {
  const port = Number(text);
  if (!/^\d+$/.test(text) || port > 65_535)
    throw new InvalidArgumentError("Wanted a whole number from 0 to 65535; 0 takes any free one.");
  return port;
}

function readSeconds(text: string): number {
  const seconds = Number(text);
  if (text.trim() === "" || !Number.isFinite(seconds))
    throw new InvalidArgumentError("Wanted seconds, such as 41.6.");
  return seconds;
}
