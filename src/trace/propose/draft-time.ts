import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import type { LayoutHints } from "../layout.ts";
import { chooseColumn } from "./choose-column.ts";
import { type FoundTime, findTime, runsBackward, timeFrom } from "./find-time.ts";
import { wrongColumn } from "./layout-words.ts";
import type { Column } from "./sketch.ts";

/** Where time comes from: as the user said, else a column, else a rate that a line above the rows states. */
export function draftTime(
  columns: readonly Column[],
  preamble: readonly string[],
  hints: LayoutHints,
): Result<FoundTime> {
  if (hints.rateHz !== undefined) {
    if (!(hints.rateHz > 0 && Number.isFinite(hints.rateHz)))
      return refuse({
        code: "INPUT_FIELD",
        message: "The rate is not a number of samples a second above 0.",
        found: String(hints.rateHz),
        expected: "a number above 0, such as 100",
        wayOut: "Give the logger's rate with --rate-hz.",
      });
    return ok({
      source: { kind: "rate", hz: hints.rateHz },
      reasons: [`Time is counted at ${hints.rateHz} samples a second, as you said.`],
    });
  }
  if (hints.timeColumn !== undefined) {
    const chosen = chooseColumn(
      hints.timeColumn,
      columns.map(({ sketch }) => sketch.name),
      "--time-column",
    );
    if (!chosen.ok) return chosen;
    const column = columns[chosen.value - 1] as Column;
    const found = timeFrom(column, hints.timeUnit);
    if (found === undefined) return refuse(wrongColumn("time", column.sketch, "--time-column"));
    return ok({
      ...found,
      reasons: [`${JSON.stringify(column.sketch.name)} is the time, as you said.`, ...found.reasons],
    });
  }
  if (hints.noTime === true)
    return ok({ source: { kind: "none" }, reasons: ["The file is read without time, as you said."] });
  const found = findTime(columns, hints.timeUnit);
  if (found.source.kind !== "none") return ok(found);
  const rate = rateIn(preamble);
  const backward = columns.find(runsBackward);
  if (rate === undefined && backward !== undefined) return refuse(timeBackward(backward));
  if (rate === undefined) return ok(found);
  return ok({
    source: { kind: "rate", hz: rate.hz },
    reasons: [`Time is counted at ${rate.hz} samples a second: line ${rate.line} says so.`],
  });
}

function timeBackward({ sketch }: Column): Problem {
  return {
    code: "TRACE_TIME_BACKWARD",
    message: `Column ${JSON.stringify(sketch.name)} is named as time and runs backward from row to row.`,
    where: { column: sketch.name },
    found: sketch.examples.join(", "),
    expected: "times that do not fall",
    wayOut: "Sort the rows by time, or give the logger's rate with --rate-hz.",
  };
}

/** "Sample rate;100 Hz" above the rows. */
function rateIn(preamble: readonly string[]): { hz: number; line: number } | undefined {
  for (const [at, line] of preamble.entries()) {
    const found = /(?:sampl|rate|freq|abtast)[^\d]*?(\d+(?:[.,]\d+)?)\s*(k?)Hz\b/i.exec(line);
    const hz = Number(found?.[1]?.replace(",", ".")) * (found?.[2] === "" ? 1 : 1000);
    if (found !== null && hz > 0) return { hz, line: at + 1 };
  }
  return undefined;
}
