import type { Layout } from "../../trace/mod.ts";
import { formatForce, formatNumber, type NumberFormat, newtons } from "../../units/mod.ts";
import { hintsOf, type LayoutOptions } from "../layout-options.ts";
import { type PrintedFile, type PrintedPull, type ReadFile, readFile } from "../read-file.ts";
import {
  type ExitCode,
  exitCodes,
  formatTable,
  plain,
  refuseAloud,
  sayWarnings,
  type Terminal,
  toJson,
} from "../terminal.ts";

export type ReadOptions = LayoutOptions & { readonly why?: boolean; readonly json?: boolean };

/** Reads files and prints their pulls. Each file stands for itself: one that cannot be read does not stop the others. */
export async function read(
  files: readonly string[],
  options: ReadOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const hints = hintsOf(options);
  const answers: ReadFile[] = [];
  for (const file of files) {
    const answer = await readFile(file, hints, terminal);
    answers.push(answer);
    if (!options.json) printFile(answer, options, terminal);
  }
  const printed = answers.map((answer) => answer.printed);
  if (options.json) terminal.out(toJson(printed.length === 1 ? printed[0] : printed));
  else if (printed.some(({ pulls }) => pulls !== undefined))
    terminal.out("A reading says what a file holds. It certifies no rope, no splice and no bench.");
  return printed.some(({ problems }) => problems.length > 0) ? exitCodes.inputProblems : exitCodes.done;
}

function printFile({ printed, reasons }: ReadFile, options: ReadOptions, terminal: Terminal): void {
  const { file, problems, pulls, layout, warnings } = printed;
  if (problems.length > 0 || pulls === undefined || layout === undefined)
    refuseAloud(terminal, `Cannot read ${file}`, problems);
  else {
    terminal.out(terminal.paint.bold(file));
    terminal.out(`  ${describeLayout(layout, printed)}`);
    if (pulls.length > 0) {
      const [head = "", ...lines] = formatTable([tableHead, ...pulls.map(tableRow)], "rrrrrrrrl");
      terminal.out("");
      terminal.out(`  ${terminal.paint.dim(head)}`);
      for (const line of lines) terminal.out(`  ${line}`);
    }
  }
  if (options.why === true && reasons.length > 0) {
    terminal.out("");
    for (const { about, text } of reasons) terminal.out(plain(`  ${about}: ${text}`));
  }
  if (warnings.length > 0) {
    terminal.out("");
    for (const warning of warnings) {
      const whose = warning.pull === undefined ? "" : `Pull ${warning.pull}: `;
      sayWarnings(terminal.out, [{ ...warning, message: whose + warning.message }], "  ");
    }
  }
  if (pulls !== undefined) terminal.out("");
}

const tableHead = ["pull", "peak", "", "at", "rest", "net peak", "rate", "drops", "end"];

function tableRow(pull: PrintedPull): string[] {
  const peak = newtons(pull.peakN);
  const peakText = formatForce(peak, "kN", { significant: 4 });
  return [
    String(pull.index),
    peakText.text,
    formatForce(peak, "lbf", { significant: 4 }).text,
    pull.peakTimeS === undefined
      ? `row ${pull.peakRow}`
      : `${formatNumber(pull.peakTimeS, { decimals: 2 })} s`,
    // The rest is a part of the peak: both end at the same digit.
    forceOrDash(pull.restN, { decimals: decimalsOf(peakText.figure) }),
    forceOrDash(pull.netPeakN, { significant: 4 }),
    pull.loadingRateNPerS === undefined
      ? "-"
      : `${formatForce(newtons(pull.loadingRateNPerS), "kN", { significant: 3 }).figure} kN/s`,
    String(pull.dropCount ?? pull.drops.length),
    endWords[pull.end],
  ];
}

function forceOrDash(force: number | undefined, format: NumberFormat): string {
  return force === undefined ? "-" : formatForce(newtons(force), "kN", format).text;
}

function decimalsOf(figure: string): number {
  return figure.split(".")[1]?.length ?? 0;
}

const endWords = {
  collapse: "collapsed",
  decline: "declined",
  "cut-off": "record stops first",
} as const;

/** The layout in one line: what was taken for force and time, in what dialect, and how much of it there was. */
function describeLayout(layout: Layout, { rows = 0, durationS, sign }: PrintedFile): string {
  const { columnNames, force, time } = layout;
  const nameOf = (column: number) => JSON.stringify(columnNames[column - 1] ?? `column ${column}`);
  const timeWords =
    time.kind === "column"
      ? `time in ${nameOf(time.column)} (${time.format.replace("-", " ")})`
      : time.kind === "rate"
        ? `time by ${time.hz} Hz`
        : "no time";
  const span = durationS === undefined ? "" : `, ${formatNumber(durationS, { significant: 4 })} s`;
  return [
    `force in ${nameOf(force.column)} (${force.unit}${sign === "turned round" ? ", sign turned" : ""})`,
    timeWords,
    `${separatorWords[layout.separator]}, decimal ${layout.decimal === "," ? "comma" : "point"}, ${layout.encoding}`,
    `${rows} rows${span}`,
  ].join("; ");
}

const separatorWords: Record<Layout["separator"], string> = {
  ",": "commas",
  ";": "semicolons",
  "\t": "tabs",
  "|": "pipes",
  whitespace: "spaces",
};
