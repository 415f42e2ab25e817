import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import { type Dimension, type Unit, units } from "./table.ts";

/**
 * Converts a value from one unit into another of the same kind.
 * A definition in brackets after a unit, as in "long ton-force (2240 lbf)", is read and must agree with the table.
 * Refused: a value that is not finite, a unit that is not in the table, two units that measure different things.
 * Formula: (value + offset₁) × factor₁ / factor₂ − offset₂. Source: NIST SP 811 (2008), Appendix B.
 *
 * @example
 * const answer = convert(36, "ft", "m");
 * answer.ok && answer.value // 10.9728
 */
export function convert(value: number, from: string, to: string): Result<number> {
  const source = findUnit(from);
  const target = findUnit(to);
  if (source === undefined) return refuse(unknownUnit(from, "from"));
  if (target === undefined) return refuse(unknownUnit(to, "to", source.dimension));
  if (source.dimension !== target.dimension) {
    return refuse({
      code: "UNIT_MISMATCH",
      message: `${from} is a unit of ${source.dimension} and ${to} one of ${target.dimension}; they cannot be converted.`,
      where: { field: "to" },
      found: to,
      expected: `a unit of ${source.dimension}: ${symbolsOf(source.dimension).join(", ")}`,
      ...(weighs(source, target) && {
        wayOut: "A force is written lbf, kgf, gf or tf; lb, kg, g and t are masses.",
      }),
    });
  }
  if (!Number.isFinite(value)) return refuse(notFinite(value));
  const converted = between(value, source, target);
  return Number.isFinite(converted) ? ok(converted) : refuse(notFinite(converted));
}

/** What a unit measures; nothing where the unit is not known. */
export function dimensionOf(unit: string): Dimension | undefined {
  return findUnit(unit)?.dimension;
}

/** The symbols that measure one thing, in the order of the table. */
export function unitsOf(dimension: Dimension): readonly string[] {
  return symbolsOf(dimension);
}

/** A unit by its symbol or another spelling of it; a definition in brackets must hold. */
export function findUnit(text: string): Unit | undefined {
  const name = text.trim().replace(/\s+/g, " ");
  const found = byName.get(name);
  if (found !== undefined) return found;
  const explained = /^(.+?) ?\((\d+(?:\.\d+)?) (.+)\)$/.exec(name);
  if (explained === null) return undefined;
  const [, outer = "", count = "", inner = ""] = explained;
  const unit = byName.get(outer);
  const base = byName.get(inner);
  if (unit === undefined || base === undefined || unit.dimension !== base.dimension) return undefined;
  // One part in 1e12: equal by definition, but both sides are products of rounded factors.
  return Math.abs(Number(count) * base.factor - unit.factor) <= 1e-12 * unit.factor ? unit : undefined;
}

export function unknownUnit(text: string, field: string, dimension?: Dimension): Problem {
  const listed = dimension === undefined ? units.map((unit) => unit.symbol) : symbolsOf(dimension);
  return {
    code: "UNIT_UNKNOWN",
    message: `The unit ${JSON.stringify(text)} is not known. Upper and lower case count.`,
    where: { field },
    found: text,
    expected: `one of ${listed.join(", ")}`,
  };
}

export function notFinite(value: number): Problem {
  return {
    code: "INPUT_FIELD",
    message: "Only a finite number can be converted.",
    where: { field: "value" },
    found: String(value),
    expected: "a finite number",
  };
}

function between(value: number, source: Unit, target: Unit): number {
  if (source === target) return value;
  const scaled = (value + source.offset) * source.factor;
  return scaled / target.factor - target.offset;
}

function weighs(source: Unit, target: Unit): boolean {
  return [source.dimension, target.dimension].sort().join() === "force,mass";
}

function symbolsOf(dimension: Dimension): string[] {
  return units.filter((unit) => unit.dimension === dimension).map((unit) => unit.symbol);
}

const byName = new Map<string, Unit>(
  units.flatMap((unit) => [unit.symbol, ...unit.aliases].map((name) => [name, unit] as const)),
);
