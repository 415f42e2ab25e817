import type { JsonValue } from "./canonical.ts";

/** A figure that a bundle states, and what comes out when it is calculated again; absent where one has none. */
export type Difference = { readonly where: string; readonly stated?: string; readonly recomputed?: string };

/**
 * Numbers count as the same when they agree to nine digits: another machine's sine or logarithm may differ in the last of
 * sixteen, and no figure of a report shows more than six.
 */
export const sameTo = 1e-9;

/** In what two values differ, each place once. */
export function differences(
  stated: JsonValue | undefined,
  recomputed: JsonValue | undefined,
  where: string,
): readonly Difference[] {
  if (isList(stated) && isList(recomputed)) {
    const length = Math.max(stated.length, recomputed.length);
    return Array.from({ length }, (_, index) =>
      differences(stated[index], recomputed[index], `${where}[${nameOf(stated[index]) ?? index + 1}]`),
    ).flat();
  }
  if (isObject(stated) && isObject(recomputed)) {
    const keys = [...new Set([...Object.keys(stated), ...Object.keys(recomputed)])].sort();
    return keys.flatMap((key) => differences(stated[key], recomputed[key], `${where}.${key}`));
  }
  if (same(stated, recomputed)) return [];
  return [
    {
      where,
      ...(stated === undefined ? {} : { stated: shown(stated) }),
      ...(recomputed === undefined ? {} : { recomputed: shown(recomputed) }),
    },
  ];
}

function same(one: JsonValue | undefined, other: JsonValue | undefined): boolean {
  if (typeof one === "number" && typeof other === "number")
    return one === other || Math.abs(one - other) <= sameTo * Math.max(Math.abs(one), Math.abs(other));
  if (typeof one === "string" && typeof other === "string") return one === other;
  return one === other;
}

/** By which a person knows a row of a list, where it has such a field. */
function nameOf(value: JsonValue | undefined): string | undefined {
  if (!isObject(value)) return undefined;
  const name = value["label"] ?? value["specimenLabel"] ?? value["pullId"] ?? value["id"];
  return typeof name === "string" && name !== "" ? name : undefined;
}

function isList(value: JsonValue | undefined): value is readonly JsonValue[] {
  return Array.isArray(value);
}

function isObject(value: JsonValue | undefined): value is { readonly [key: string]: JsonValue } {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function shown(value: JsonValue): string {
  const text = typeof value === "string" ? value : JSON.stringify(value);
  return text.length > 200 ? `${text.slice(0, 200)}…` : text;
}
