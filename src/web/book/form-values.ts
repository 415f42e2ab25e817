import type { Problem } from "../../problem/mod.ts";
import { type Point, pointsOf, pointsText } from "./calibration-rows.ts";
import type { FieldSpec } from "./kinds.ts";
import { measures, shownQuantity, trimmed, typedQuantity } from "./quantity.ts";

/** What stands in the fields of a form, as typed. */
export type Typed = Readonly<Record<string, string>>;

/** The fields of a record as they would be typed; of a new one, as they begin. */
export function typedOf(specs: readonly FieldSpec[], record?: Readonly<Record<string, unknown>>): Typed {
  return Object.fromEntries(
    specs.map((spec) => [
      spec.name,
      record === undefined ? (spec.beginsWith ?? "") : shown(spec, record[spec.name]),
    ]),
  );
}

/** What was typed as the fields of a record: an empty optional field is null, which takes it away. */
export function fieldsOf(
  specs: readonly FieldSpec[],
  typed: Typed,
): { readonly fields: Readonly<Record<string, unknown>>; readonly problems: readonly Problem[] } {
  const fields: Record<string, unknown> = {};
  const problems: Problem[] = [];
  for (const spec of specs) {
    const text = (typed[spec.name] ?? "").trim();
    if (spec.as === "calibration") {
      const answer = pointsOf(typed[spec.name] ?? "", spec.name);
      if (answer.ok) fields[spec.name] = answer.value;
      else problems.push(...answer.problems);
    } else if (text === "" && spec.required === true) {
      problems.push({
        code: "INPUT_FIELD",
        message: `${spec.label} is empty.`,
        where: { field: spec.name },
        expected: spec.as === "quantity" ? "a number with its unit" : "a few words or a number",
      });
    } else if (text === "") {
      // Texts may be empty; everything else that is empty is absent.
      fields[spec.name] = spec.as === "text" || spec.as === "long" ? "" : null;
    } else if (spec.as === "quantity") {
      const answer = typedQuantity(text, measures[spec.measure], spec.name);
      if (answer.ok) fields[spec.name] = answer.value;
      else problems.push(...answer.problems);
    } else if (spec.as === "number" || spec.as === "whole") {
      const value = Number(text.replace(",", "."));
      if (Number.isFinite(value)) fields[spec.name] = value;
      else problems.push({ ...notANumber(spec), found: text });
    } else {
      fields[spec.name] = text;
    }
  }
  return { fields, problems };
}

/** Only what differs between two sets of fields. */
export function changedFields(
  fields: Readonly<Record<string, unknown>>,
  before: Readonly<Record<string, unknown>>,
): Readonly<Record<string, unknown>> {
  return Object.fromEntries(
    Object.entries(fields).filter(
      ([name, value]) => JSON.stringify(value ?? null) !== JSON.stringify(before[name] ?? null),
    ),
  );
}

function shown(spec: FieldSpec, value: unknown): string {
  if (value === undefined || value === null) return "";
  if (spec.as === "calibration") return pointsText(value as readonly Point[]);
  if (typeof value !== "number") return String(value);
  return spec.as === "quantity" ? shownQuantity(value, measures[spec.measure]) : trimmed(value);
}

function notANumber(spec: FieldSpec): Problem {
  return {
    code: "INPUT_FIELD",
    message: `${spec.label} is not a number.`,
    where: { field: spec.name },
    expected: spec.as === "whole" ? "a whole number such as 2" : "a number such as 30 or 7.5",
  };
}
