/**
 * Where a result departs from the expected one, by path, with both figures. Numbers agree within the relative tolerance
 * (or the absolute one, where that is larger); everything else must be equal. Fields that are not expected are ignored.
 */
export function disagreements(
  got: unknown,
  expected: unknown,
  relative: number,
  absolute = 0,
  path = "result",
): string[] {
  if (typeof expected === "number") {
    const close =
      typeof got === "number" &&
      Math.abs(got - expected) <= Math.max(absolute, relative * Math.abs(expected));
    return close ? [] : [`${path}: got ${String(got)}, expected ${expected}`];
  }
  if (Array.isArray(expected)) {
    if (!Array.isArray(got) || got.length !== expected.length) return [`${path}: got ${JSON.stringify(got)}`];
    return expected.flatMap((item, i) => disagreements(got[i], item, relative, absolute, `${path}[${i}]`));
  }
  if (typeof expected === "object" && expected !== null) {
    const object = typeof got === "object" && got !== null ? (got as Record<string, unknown>) : {};
    return Object.entries(expected).flatMap(([key, value]) =>
      disagreements(object[key], value, relative, absolute, `${path}.${key}`),
    );
  }
  return got === expected ? [] : [`${path}: got ${String(got)}, expected ${String(expected)}`];
}

/** The value of a result that must have one. */
export function givenBy<T>(
  result: { ok: true; value: T } | { ok: false; problems: readonly { message: string }[] },
): T {
  if (!result.ok) throw new Error(result.problems.map(({ message }) => message).join(" "));
  return result.value;
}

/** The code of a refusal, or "given". */
export function codeOf(result: { ok: true } | { ok: false; problems: readonly { code: string }[] }): string {
  return result.ok ? "given" : (result.problems[0]?.code ?? "no code");
}
