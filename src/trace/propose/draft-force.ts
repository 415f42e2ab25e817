import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { type ForceUnit, parseForceUnit } from "../../units/mod.ts";
import type { LayoutHints, LayoutReason } from "../layout.ts";
import { rippleOf } from "../samples/noise.ts";
import { fewestOfARecord, finestStep, upsideDown } from "../samples/sign.ts";
import { thousands, withUnit } from "../text/numbers.ts";
import { chooseColumn } from "./choose-column.ts";
import { findForce } from "./find-force.ts";
import { reason, wrongColumn } from "./layout-words.ts";
import { type Column, isNumeric } from "./sketch.ts";

/** What is proposed for the force; without a unit where nothing says it. */
export type DraftForce = {
  readonly column?: Column;
  readonly unit?: ForceUnit;
  readonly rivals: readonly Column[];
  /** Absent where the head does not show which way a pull goes, and more of the file is to come. */
  readonly inverted?: boolean;
  readonly reasons: readonly LayoutReason[];
};

/** The column of force and its unit: as the user said, else as the headings and the numbers say. */
export function draftForce(
  columns: readonly Column[],
  timeColumn: number | undefined,
  preamble: readonly string[],
  { hints, isWhole }: { readonly hints: LayoutHints; readonly isWhole: boolean },
): Result<DraftForce> {
  let column: Column;
  let rivals: readonly Column[] = [];
  const reasons: LayoutReason[] = [];
  if (hints.forceColumn === undefined) {
    const found = findForce(columns, timeColumn);
    if (found === undefined) return refuse(noForce(columns));
    ({ column, rivals } = found);
    reasons.push(...found.reasons.map((text) => reason("force", text)));
  } else {
    const chosen = chooseColumn(
      hints.forceColumn,
      columns.map(({ sketch }) => sketch.name),
      "--force-column",
    );
    if (!chosen.ok) return chosen;
    column = columns[chosen.value - 1] as Column;
    if (!isNumeric(column) && column.sketch.kind !== "empty")
      return refuse(wrongColumn("force", column.sketch, "--force-column"));
    if (chosen.value === timeColumn)
      return refuse({
        code: "TRACE_HINT",
        message: `Column ${JSON.stringify(column.sketch.name)} runs as time does and cannot be the force as well.`,
        found: column.sketch.name,
        expected: "two different columns for time and force",
        wayOut: "Name the column of force with --force-column, or another one for time with --time-column.",
      });
    reasons.push(reason("force", `${JSON.stringify(column.sketch.name)} is the force, as you said.`));
  }
  const beside = unitBeside(columns, column);
  const stated = column.heading.forceUnit ?? beside ?? unitIn(preamble);
  const unit = hints.forceUnit ?? stated;
  if (hints.forceUnit !== undefined)
    reasons.push(
      reason(
        "force-unit",
        stated === undefined || stated === hints.forceUnit
          ? `The force is in ${hints.forceUnit}, as you said.`
          : `The force is read as ${hints.forceUnit}, as you said, although the file says ${stated}.`,
      ),
    );
  else if (column.heading.forceUnit !== undefined)
    reasons.push(
      reason(
        "force-unit",
        `The heading says ${column.heading.unitText ?? unit}${column.heading.unitNote === undefined ? "" : `; ${column.heading.unitNote}`}.`,
      ),
    );
  else if (beside !== undefined)
    reasons.push(reason("force-unit", `Every row says ${beside} behind the force.`));
  else if (stated !== undefined)
    reasons.push(reason("force-unit", `A line above the header says ${stated}.`));
  const inverted = hints.inverted ?? pullsDown(column, isWhole);
  if (inverted === true && hints.inverted === undefined)
    reasons.push(reason("force", "Its load is negative; the sign is turned round."));
  return ok({
    column,
    ...(unit === undefined ? {} : { unit }),
    rivals,
    ...(inverted === undefined ? {} : { inverted }),
    reasons,
  });
}

/** A load moves away from where the record started by this many ripples, steps, and times what it started at. */
const ripplesOfALoad = 40;
const stepsOfALoad = 20;
const startsOfALoad = 8;

/** Whether the load is negative, as far as the head shows a load; nothing where it may be to come. */
function pullsDown(column: Column, isWhole: boolean): boolean | undefined {
  const values = column.present;
  if (isWhole && values.length >= fewestOfARecord) return upsideDown(values) !== undefined;
  const { lowest = 0, highest = 0 } = column.sketch;
  const first = values[0] ?? 0;
  const [up, down] = [highest - first, first - lowest];
  // A rest that drifts or scatters, and the slack that is taken up, are no load yet.
  const least = Math.max(
    ripplesOfALoad * rippleOf(values),
    stepsOfALoad * finestStep(values),
    startsOfALoad * Math.abs(first),
  );
  if (!isWhole && Math.max(up, down) <= least) return undefined;
  if (down > 3 * up) return -lowest > 3 * Math.max(highest, 0) && down > ripplesOfALoad * rippleOf(values);
  return isWhole || up > 3 * down ? false : undefined;
}

/** "12.4 kN" with a blank between number and unit makes a column of units. */
function unitBeside(columns: readonly Column[], { sketch }: Column): ForceUnit | undefined {
  const next = columns[sketch.column]?.sketch;
  return next?.kind === "constant" ? parseForceUnit(next.examples[0] ?? "")?.unit : undefined;
}

/** "Unit: kN" above the rows. */
function unitIn(preamble: readonly string[]): ForceUnit | undefined {
  for (const line of preamble) {
    const found = /\b(?:force|load|kraft)?\s*(?:units?|einheit)\b[\s:;=,"\t]+([\p{L}-]+)/iu.exec(line);
    const unit = found?.[1] === undefined ? undefined : parseForceUnit(found[1]);
    if (unit !== undefined) return unit.unit;
  }
  return undefined;
}

function noForce(columns: readonly Column[]): Problem {
  const holds = (mark: RegExp) =>
    columns.some(({ cells, sketch }) => sketch.kind === "text" && cells.some((cell) => mark.test(cell)));
  return {
    code: "TRACE_FORCE_ASKED",
    message: "No column looks like a force: besides time there are no numbers that could be one.",
    found: columns
      .map(({ sketch }) => `${sketch.name} (${sketch.kind})`)
      .slice(0, 10)
      .join(", "),
    expected: "a column of numbers that rise and fall",
    wayOut: holds(thousands)
      ? "Thousands marks are not guessed: export the numbers without them."
      : holds(withUnit)
        ? "Export the numbers without units."
        : "Name the column of force with --force-column.",
  };
}
