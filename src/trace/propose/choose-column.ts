import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";

/**
 * The column that a user named: by its heading (exactly, else without regard to case), or by its number from 1.
 *
 * @example
 * chooseColumn("force", ["time", "force"], "--force-column") // 2
 */
export function chooseColumn(said: string, names: readonly string[], option: string): Result<number> {
  const wanted = said.trim();
  const exact = names.indexOf(wanted);
  if (exact >= 0) return ok(exact + 1);
  const loose = names.flatMap((name, at) => (name.toLowerCase() === wanted.toLowerCase() ? [at] : []));
  if (loose.length === 1) return ok((loose[0] as number) + 1);
  const number = /^\d+$/.test(wanted) ? Number(wanted) : 0;
  if (number >= 1 && number <= names.length) return ok(number);
  return refuse(unknownColumn(said, names, option));
}

function unknownColumn(said: string, names: readonly string[], option: string): Problem {
  return {
    code: "TRACE_COLUMN_UNKNOWN",
    message: `The file has no column ${JSON.stringify(said)}.`,
    found: said,
    expected: `one of ${names
      .slice(0, 20)
      .map((name) => JSON.stringify(name))
      .join(", ")}, or a number from 1 to ${names.length}`,
    wayOut: `Name one of them with ${option}.`,
  };
}
