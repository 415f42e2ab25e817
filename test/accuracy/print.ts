import type { Line, Tally } from "./tally.ts";

/** The table as lines of text. */
export function printTally(sums: Tally, options: { readonly list: boolean }): string[] {
  const rows = sums.lines.map((line) => [
    line.what,
    figure(line),
    ofText(line),
    targetText(line),
    verdict(line),
  ]);
  const widths = [0, 1, 2, 3].map((at) => Math.max(...rows.map((row) => (row[at] ?? "").length)));
  const table = rows.map((row) =>
    row
      .map((cell, at) =>
        at === 1 || at === 2 ? cell.padStart(widths[at] ?? 0) : cell.padEnd(widths[at] ?? 0),
      )
      .join("  ")
      .trimEnd(),
  );
  return [
    ...table,
    "",
    ...part("Boundaries", sums.boundaries),
    ...part("Quantities, where the reading has its deeper part", sums.quantities),
    ...part("Faults told, by kind", sums.faults),
    ...(Object.keys(sums.alarms).length === 0
      ? []
      : [
          "False alarms, by code",
          ...Object.entries(sums.alarms).map(([code, count]) => `  ${code}: ${count}`),
          "",
        ]),
    ...(sums.z === undefined
      ? []
      : [
          `Error of the peak over its standard uncertainty: mean ${sums.z.mean.toFixed(2)}, SD ${sums.z.deviation.toFixed(2)} (0 and 1 where the budget is right)`,
        ]),
    ...(sums.brier === undefined
      ? ["Outcome: probabilities not given"]
      : [
          `Outcome: Brier score ${sums.brier.toFixed(4)} (0 is certain and right, 0.667 knows nothing)`,
          "  said            cases  on average  was so",
          ...sums.reliability.map(
            ({ from, to, count, said, was }) =>
              `  ${percent(from)} to ${percent(to)}`.padEnd(16) +
              `${String(count).padStart(7)}  ${percent(said).padStart(10)}  ${percent(was).padStart(6)}`,
          ),
        ]),
    ...(options.list
      ? ["", ...failures([...sums.lines, ...sums.boundaries, ...sums.quantities, ...sums.faults])]
      : []),
  ];
}

function part(title: string, lines: readonly Line[]): string[] {
  const known = lines.filter(({ of }) => of > 0);
  if (known.length === 0) return [];
  return [
    title,
    ...known.map((line) => `  ${line.what.padEnd(46)} ${figure(line).padStart(9)} ${ofText(line)}`),
    "",
  ];
}

function failures(lines: readonly Line[]): string[] {
  return lines.flatMap(({ what, failed }) =>
    failed.length === 0
      ? []
      : [
          `Not so in (${what.trim()}): ${failed.slice(0, 40).join(" ")}${failed.length > 40 ? ` and ${failed.length - 40} more` : ""}`,
        ],
  );
}

function figure({ share }: Line): string {
  return share === undefined ? "not given" : percent(share);
}

function ofText({ of }: Line): string {
  return `of ${of}`;
}

function targetText({ target }: Line): string {
  if (target === undefined) return "";
  const { least, most } = target;
  if (least !== undefined && most !== undefined) return `${percent(least)} to ${percent(most)}`;
  return least === undefined ? `at most ${percent(most ?? 1)}` : `at least ${percent(least)}`;
}

function verdict({ met }: Line): string {
  return met === undefined ? "" : met ? "met" : "NOT MET";
}

function percent(part: number): string {
  return `${(100 * part).toFixed(1)} %`;
}
