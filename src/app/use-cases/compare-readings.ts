import type { PullReading } from "../../trace/mod.ts";

export type FieldChange = {
  readonly field: string;
  readonly from?: string | number | boolean;
  readonly to?: string | number | boolean;
};

/**
 * What differs between two readings of one pull, field by field: each number, word and truth value under its path, each
 * list in one line. Nothing where they are the same.
 *
 * @example
 * compareReadings(before, after) // [{ field: "deep.peak.valueN", from: 31_210, to: 31_180 }]
 */
export function compareReadings(before: PullReading, after: PullReading): readonly FieldChange[] {
  const old = leavesOf(before);
  const now = leavesOf(after);
  const fields = [...new Set([...old.keys(), ...now.keys()])];
  return fields
    .filter((field) => old.get(field) !== now.get(field))
    .map((field) => {
      const [from, to] = [old.get(field), now.get(field)];
      return { field, ...(from === undefined ? {} : { from }), ...(to === undefined ? {} : { to }) };
    });
}

function leavesOf(reading: PullReading): Map<string, string | number | boolean> {
  const leaves = new Map<string, string | number | boolean>();
  const walk = (value: unknown, path: string): void => {
    if (Array.isArray(value)) leaves.set(path, lineOf(path, value));
    else if (typeof value === "object" && value !== null)
      for (const [name, inner] of Object.entries(value)) walk(inner, path === "" ? name : `${path}.${name}`);
    else if (typeof value === "string" || typeof value === "number" || typeof value === "boolean")
      leaves.set(path, value);
  };
  const { index: _, ...figures } = reading;
  walk(figures, "");
  return leaves;
}

type Entry = Readonly<Record<string, unknown>>;

/** A list as a line that a person can compare: of warnings their codes, of stretches and slips their rows. */
function lineOf(path: string, list: readonly unknown[]): string {
  if (path === "warnings") return list.map((one) => String((one as Entry)["code"])).join(", ");
  return list
    .map((one) => {
      if (typeof one !== "object" || one === null) return String(one);
      const { name, fromRow, toRow, row, fromN, toN, standardN } = one as Entry;
      if (standardN !== undefined) return `${name} ${standardN}`;
      if (fromRow !== undefined) return `${name} ${fromRow}-${toRow}`;
      return row === undefined ? JSON.stringify(one) : `row ${row}: ${fromN} to ${toN}`;
    })
    .join(", ");
}
