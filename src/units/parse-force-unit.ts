import { type ForceUnit, forceUnits } from "./names.ts";

/** A unit of force read out of a header or a row of units. */
export type ParsedForceUnit = {
  readonly unit: ForceUnit;
  /** True where the text is the unit's own symbol; false where it is a habit of spelling that had to be interpreted. */
  readonly exact: boolean;
  /** What was taken for what, where the spelling is not exact. */
  readonly note?: string;
};

/**
 * Which unit of force a piece of text names: a cell such as "kN", or a header such as "Force [kN]" or "Load (lbf)".
 * Text in brackets, or after the last "/" or "_" or space of a header, is tried as well. Spelling habits are accepted
 * with a note and `exact: false`: the caller shows the note, and asks where a wrong unit would matter.
 * Nothing where no unit of force is named; a pressure or a speed ("kN/m", "kg/m3") is not a force.
 *
 * @example
 * parseForceUnit("Load (lbs)")
 * // { unit: "lbf", exact: false, note: "\"lbs\" was taken for pounds-force (lbf)" }
 */
export function parseForceUnit(text: string): ParsedForceUnit | undefined {
  const whole = text
    .trim()
    .replace(/^["']|["']$/g, "")
    .trim();
  const inBrackets = [...whole.matchAll(/[[({<]\s*([^\])}>]+?)\s*[\])}>]/g)].map((match) => match[1] ?? "");
  // The last bracket is the likelier one: "Force (channel 1) [kN]".
  for (const candidate of inBrackets.reverse()) {
    const found = readUnit(candidate);
    if (found !== undefined) return found;
  }
  const direct = readUnit(whole);
  if (direct !== undefined || inBrackets.length > 0) return direct;
  // "Force_kN", "Force kN", "Load in lbf", "Force, kN", "force/kN".
  const [, before = "", last] = /^([\p{L}\d .#-]*)[\s_,;:/]\s*(?:in\s+)?([\p{L}-]+)$/u.exec(whole) ?? [];
  if (last === undefined) return undefined;
  // A single letter is a unit after a word for force, and otherwise more likely a channel's name.
  return last.length > 1 || /force|load|pull|tension|strength/i.test(before) ? readUnit(last) : undefined;
}

function readUnit(text: string): ParsedForceUnit | undefined {
  const word = text.trim().replace(/\.$/, "");
  const own = forceUnits.find((unit) => unit === word);
  if (own !== undefined) return { unit: own, exact: true };
  const exactName = exactNames.get(word.toLowerCase());
  if (exactName !== undefined) return { unit: exactName, exact: true };
  const [unit, meaning] = habits.get(word.toLowerCase()) ?? [];
  if (unit === undefined || meaning === undefined) return undefined;
  return { unit, exact: false, note: `${JSON.stringify(word)} was taken for ${meaning} (${unit})` };
}

/** Names that are as good as the symbol, in any case of letters. */
const exactNames: ReadonlyMap<string, ForceUnit> = new Map(
  Object.entries({
    newton: "N",
    newtons: "N",
    kilonewton: "kN",
    kilonewtons: "kN",
    decanewton: "daN",
    decanewtons: "daN",
    "kilogram-force": "kgf",
    "gram-force": "gf",
    "tonne-force": "tf",
    "pound-force": "lbf",
    "pounds-force": "lbf",
    kips: "kip",
  } as const),
);

/** Spellings found in loggers' files and on crane scales: common practice, no published source. */
const habits: ReadonlyMap<string, readonly [ForceUnit, string]> = new Map(
  Object.entries({
    n: ["N", "newtons"],
    kn: ["kN", "kilonewtons"],
    dan: ["daN", "decanewtons"],
    kgf: ["kgf", "kilograms-force"],
    kg: ["kgf", "kilograms-force"],
    kgs: ["kgf", "kilograms-force"],
    kp: ["kgf", "kiloponds"],
    kilograms: ["kgf", "kilograms-force"],
    g: ["gf", "grams-force"],
    gf: ["gf", "grams-force"],
    grams: ["gf", "grams-force"],
    t: ["tf", "metric tonnes-force"],
    tf: ["tf", "metric tonnes-force"],
    tonne: ["tf", "metric tonnes-force"],
    tonnes: ["tf", "metric tonnes-force"],
    lb: ["lbf", "pounds-force"],
    lbs: ["lbf", "pounds-force"],
    lbf: ["lbf", "pounds-force"],
    "lb-f": ["lbf", "pounds-force"],
    pounds: ["lbf", "pounds-force"],
    klb: ["kip", "thousands of pounds-force"],
    klbs: ["kip", "thousands of pounds-force"],
    klbf: ["kip", "thousands of pounds-force"],
    kip: ["kip", "thousands of pounds-force"],
  } as const),
);
