import type { Factor, LevelValue } from "../series/mod.ts";

/** The factor of a plan that is the bury: the one whose name says so, else the only one in diameters that is no taper or pin. */
export function factorOfBury(factors: readonly Factor[]): Factor | undefined {
  const named = factors.find(({ name }) => /\bbury\b/i.test(name));
  if (named !== undefined) return named;
  const inDiameters = factors.filter(({ name, unit }) => unit === "d" && !/taper|pin/i.test(name));
  return inDiameters.length === 1 ? inDiameters[0] : undefined;
}

/**
 * A level of that factor in diameters of the rope: as it stands, or a length over the rope's diameter. Absent where it is no
 * number, below 0, or of a unit that cannot be brought to diameters.
 */
export function buryInDiameters(
  level: LevelValue | undefined,
  unit: string,
  nominalDiameterMm: number | undefined,
): number | undefined {
  const value = numberOf(level);
  if (value === undefined || value < 0) return undefined;
  const plain = unit.trim().toLowerCase();
  if (/^(d|ø|diameters?)?$/.test(plain)) return value;
  const mm = Object.hasOwn(millimetres, plain) ? millimetres[plain] : undefined;
  return mm === undefined || nominalDiameterMm === undefined || !(nominalDiameterMm > 0)
    ? undefined
    : (value * mm) / nominalDiameterMm;
}

const millimetres: Readonly<Record<string, number>> = { mm: 1, cm: 10, m: 1000, in: 25.4, ft: 304.8 };

/** A level that is a number, or a text that is one. */
export function numberOf(level: LevelValue | undefined): number | undefined {
  if (level === undefined) return undefined;
  const value = typeof level === "number" ? level : level.trim() === "" ? Number.NaN : Number(level);
  return Number.isFinite(value) ? value : undefined;
}
