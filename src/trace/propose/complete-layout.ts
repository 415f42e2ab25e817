import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { forceUnits } from "../../units/mod.ts";
import type { DraftLayout, Layout, LayoutHints, TimeFormat } from "../layout.ts";
import { chooseColumn } from "./choose-column.ts";

/**
 * Makes a layout of a draft where nothing is left open, with what the user said besides.
 *
 * @returns the layout; or a problem for each open question, each naming the option that answers it. A file without time
 * can be read: that is a warning. What was said about encoding, separator, decimal mark or another time column changes
 * what the columns are: propose again with it first.
 *
 * @example
 * completeLayout(proposal.layout, { forceUnit: "kN" })
 */
export function completeLayout(draft: DraftLayout, hints: LayoutHints = {}): Result<Layout> {
  const problems: Problem[] = [...staleHints(draft, hints)];
  const warnings: Warning[] = [];
  const { unsure, force: _, ...rest } = draft;

  let column = draft.force?.column;
  let moved = false;
  if (hints.forceColumn !== undefined) {
    const chosen = chooseColumn(hints.forceColumn, draft.columnNames, "--force-column");
    if (!chosen.ok) problems.push(...chosen.problems);
    else {
      moved = chosen.value !== column;
      column = chosen.value;
    }
  } else if (column === undefined || unsure?.includes("force")) problems.push(forceAsked(draft));

  // A unit that was found stood in the heading of the column that was proposed.
  const unit = hints.forceUnit ?? (moved ? undefined : draft.force?.unit);
  if (unit === undefined) problems.push(unitAsked(draft, column));

  const time = timeWith(draft, hints);
  if (time === undefined) problems.push(timeAsked(draft));
  else if (time.kind === "none" && hints.noTime !== true) warnings.push(noTime);

  const [first, ...others] = problems;
  if (first !== undefined) return refuse(first, ...others);
  if (column === undefined || unit === undefined || time === undefined) return refuse(forceAsked(draft));
  // What was seen of a sign was seen in the column that was proposed.
  const inverted = hints.inverted ?? (moved ? undefined : draft.force?.inverted);
  const force = { column, unit, ...(inverted === undefined ? {} : { inverted }) };
  return ok({ ...rest, time, force }, warnings);
}

function timeWith(draft: DraftLayout, hints: LayoutHints): Layout["time"] | undefined {
  if (hints.rateHz !== undefined) return { kind: "rate", hz: hints.rateHz };
  if (hints.noTime === true) return { kind: "none" };
  const { time } = draft;
  if (time.kind !== "column") return time;
  const kind = /^(elapsed|epoch)-/.exec(time.format)?.[1];
  if (hints.timeUnit !== undefined && kind !== undefined)
    return { ...time, format: `${kind}-${hints.timeUnit}` as TimeFormat };
  return draft.unsure?.includes("time") ? undefined : time;
}

function staleHints(draft: DraftLayout, hints: LayoutHints): Problem[] {
  const problems: Problem[] = [];
  const stale = (option: string, said: string, taken: string) =>
    problems.push({
      code: "TRACE_HINT",
      message: `${option} ${said} was not used when the file was looked at.`,
      found: taken,
      expected: said,
      wayOut: `Propose a layout again with ${option} ${said}.`,
    });
  for (const name of ["encoding", "separator", "decimal"] as const) {
    const said = hints[name];
    if (said !== undefined && said !== draft[name]) stale(`--${name}`, said, draft[name]);
  }
  if (hints.timeColumn !== undefined && hints.rateHz === undefined) {
    const chosen = chooseColumn(hints.timeColumn, draft.columnNames, "--time-column");
    if (!chosen.ok) problems.push(...chosen.problems);
    else if (draft.time.kind !== "column" || draft.time.column !== chosen.value)
      stale(
        "--time-column",
        hints.timeColumn,
        draft.time.kind === "column" ? String(draft.time.column) : "none",
      );
  }
  if (hints.rateHz !== undefined && !(hints.rateHz > 0 && Number.isFinite(hints.rateHz)))
    problems.push({
      code: "INPUT_FIELD",
      message: "The rate is not a number of samples a second above 0.",
      found: String(hints.rateHz),
      expected: "a number above 0, such as 100",
      wayOut: "Give the logger's rate with --rate-hz.",
    });
  return problems;
}

function nameOf(draft: DraftLayout, column: number | undefined): string {
  return column === undefined
    ? "of force"
    : JSON.stringify(draft.columnNames[column - 1] ?? `column ${column}`);
}

function unitAsked(draft: DraftLayout, column: number | undefined): Problem {
  return {
    code: "TRACE_UNIT_ASKED",
    message: `The file does not say in which unit the force in column ${nameOf(draft, column)} is.`,
    expected: `one of ${forceUnits.join(", ")}`,
    wayOut: "Say it with --force-unit, as in --force-unit kN.",
  };
}

function forceAsked(draft: DraftLayout): Problem {
  const proposed = draft.force === undefined ? "" : ` ${nameOf(draft, draft.force.column)} is the likeliest.`;
  return {
    code: "TRACE_FORCE_ASKED",
    message: `Which column is the force cannot be told from the file.${proposed}`,
    expected: `one of ${draft.columnNames
      .slice(0, 20)
      .map((name) => JSON.stringify(name))
      .join(", ")}`,
    wayOut: "Say it with --force-column, by name or by number from 1.",
  };
}

function timeAsked(draft: DraftLayout): Problem {
  return {
    code: "TRACE_TIME_ASKED",
    message: `The file does not say in which unit the time in column ${nameOf(draft, draft.time.kind === "column" ? draft.time.column : undefined)} is.`,
    expected: "one of s, ms, us",
    wayOut: "Say it with --time-unit, as in --time-unit ms.",
  };
}

const noTime: Warning = {
  code: "TRACE_NO_TIME",
  message: "The file has no time column: rows are counted, and there are no times and no rates.",
  wayOut: "If the logger's rate is known, import again with --rate-hz.",
};
