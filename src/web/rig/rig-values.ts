import type { StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { RigLoad, RigPart } from "../../rig/mod.ts";
import { measures, shownQuantity, trimmed, typedQuantity } from "../book/quantity.ts";

/** How one number of a rig is asked for; what is typed without a unit is in the unit of its kind. */
export type NumberSpec = {
  readonly name: string;
  readonly label: string;
  readonly hint?: string;
  readonly as: "force" | "m" | "number" | "whole" | "kNPerM" | "percent";
  readonly required?: boolean;
  readonly beginsWith?: string;
};

/** Friction of the rope on what it runs round, asked for as both ends of a range. */
const frictionSpecs = (low: string, high: string, hint: string): readonly NumberSpec[] => [
  { name: "frictionLow", label: "Friction, at least", hint, as: "number", beginsWith: low },
  { name: "frictionHigh", label: "Friction, at most", as: "number", beginsWith: high },
];
const slingsSpec: NumberSpec = {
  name: "slings",
  label: "Slings side by side",
  as: "whole",
  required: true,
  beginsWith: "1",
};

/** What is asked of each kind of load. */
export const loadSpecs: Readonly<Record<RigLoad["kind"], readonly NumberSpec[]>> = {
  "straight pull": [
    { name: "loadN", label: "Load", hint: "In kN unless you say otherwise.", as: "force", required: true },
  ],
  "long line": [
    { name: "spanM", label: "Span", hint: "Level, from anchor to anchor, in m.", as: "m", required: true },
    { name: "loadN", label: "Load on the line", hint: "In kN unless you say otherwise.", as: "force" },
    {
      name: "positionM",
      label: "Where it hangs",
      hint: "From the left, in m; the middle if empty.",
      as: "m",
    },
    {
      name: "sagM",
      label: "Sag",
      hint: "Of the load below the chord, in m. Say one: sag, length or pretension.",
      as: "m",
    },
    { name: "lengthM", label: "Length", hint: "Unstretched, in m.", as: "m" },
    { name: "pretensionN", label: "Pretension", hint: "Before the load is hung, in kN.", as: "force" },
    {
      name: "riseM",
      label: "Rise",
      hint: "Of the right anchor over the left one, in m.",
      as: "m",
      beginsWith: "0",
    },
    {
      name: "weightNPerM",
      label: "Weight of the line",
      hint: "In N for each metre.",
      as: "number",
      beginsWith: "0",
    },
    {
      name: "stiffnessLowN",
      label: "Stiffness EA, at least",
      hint: "Force over strain, in kN. Empty: it does not stretch.",
      as: "force",
    },
    { name: "stiffnessHighN", label: "Stiffness EA, at most", as: "force" },
  ],
  lift: [
    { name: "loadN", label: "Load", hint: "In kN unless you say otherwise.", as: "force", required: true },
    { name: "legs", label: "Legs", as: "whole", required: true, beginsWith: "2" },
    {
      name: "angleFromVerticalDeg",
      label: "Angle from the vertical",
      hint: "In degrees.",
      as: "number",
      required: true,
      beginsWith: "30",
    },
    {
      name: "legsCounted",
      label: "Legs counted on",
      hint: "Of four on a stiff load often two. All, if empty.",
      as: "whole",
    },
  ],
  basket: [
    { name: "loadN", label: "Load", hint: "In kN unless you say otherwise.", as: "force", required: true },
    {
      name: "includedAngleDeg",
      label: "Angle between the legs",
      hint: "In degrees: 0 side by side.",
      as: "number",
      required: true,
      beginsWith: "60",
    },
    slingsSpec,
    ...frictionSpecs(
      "0.05",
      "0.1",
      "Of rope on the load; HMPE on smooth steel about 0.05 to 0.1 (from memory).",
    ),
  ],
  choke: [
    { name: "loadN", label: "Load", hint: "In kN unless you say otherwise.", as: "force", required: true },
    {
      name: "chokeDeg",
      label: "Angle of the choke",
      hint: "In degrees, between the standing part and the rope that goes on round the load: 120 by itself, less where it was drawn or beaten down.",
      as: "number",
      required: true,
      beginsWith: "120",
    },
    slingsSpec,
    {
      name: "angleFromVerticalDeg",
      label: "Angle from the vertical",
      hint: "In degrees, where several slings meet above.",
      as: "number",
      beginsWith: "0",
    },
    ...frictionSpecs(
      "0.05",
      "0.2",
      "Of the rope in its own eye; HMPE on itself about 0.05 to 0.2 (own estimate).",
    ),
  ],
  redirect: [
    {
      name: "loadN",
      label: "Load to be moved",
      hint: "In kN unless you say otherwise.",
      as: "force",
      required: true,
    },
    {
      name: "turnDeg",
      label: "Turned by",
      hint: "Degrees: 0 straight on, 180 back again.",
      as: "number",
      required: true,
      beginsWith: "90",
    },
    {
      name: "efficiencyLow",
      label: "The pulley gives back, at least",
      hint: "In per cent of the pull.",
      as: "percent",
      beginsWith: "85",
    },
    {
      name: "efficiencyHigh",
      label: "The pulley gives back, at most",
      hint: "In per cent of the pull.",
      as: "percent",
      beginsWith: "95",
    },
  ],
  fall: [
    {
      name: "weightN",
      label: "Weight of what falls",
      hint: "No person: only things.",
      as: "force",
      required: true,
    },
    { name: "freeFallM", label: "Free fall", hint: "In m.", as: "m", required: true },
    {
      name: "stiffnessLowNPerM",
      label: "Stiffness of all springs together, at least",
      hint: "In kN for each metre.",
      as: "kNPerM",
      required: true,
    },
    {
      name: "stiffnessHighNPerM",
      label: "Stiffness of all springs together, at most",
      hint: "In kN for each metre.",
      as: "kNPerM",
      required: true,
    },
  ],
};

/** A part's numbers beside its strength. */
export const partSpecs: readonly NumberSpec[] = [
  { name: "count", label: "How many, one after the other", as: "whole", required: true, beginsWith: "1" },
  { name: "sideBySide", label: "How many side by side", as: "whole", required: true, beginsWith: "1" },
  {
    name: "largestShare",
    label: "Largest share of one of them",
    hint: "In per cent; an even share if empty.",
    as: "percent",
  },
  {
    name: "wraps",
    label: "Turns of a connector pulled as one",
    as: "whole",
    required: true,
    beginsWith: "1",
  },
  {
    name: "bendRetention",
    label: "What a bend leaves",
    hint: "In per cent, where the pulls did not have that bend.",
    as: "percent",
  },
];
export const ratingSpecs: readonly NumberSpec[] = [
  {
    name: "ratedN",
    label: "Rated strength",
    hint: "In kN unless you say otherwise.",
    as: "force",
    required: true,
  },
  { name: "cv", label: "Scatter", hint: "SD over mean, in per cent; 8 if empty.", as: "percent" },
];

type Texts = Readonly<Record<string, string>>;

/** A part as it stands in the form; `key` stays with it when it moves. */
export type TypedPart = {
  readonly key: number;
  readonly name: string;
  readonly kind: RigPart["kind"];
  readonly place: RigPart["place"];
  readonly from: RigPart["strength"]["from"];
  /** Series and cell as one key of the list of cells; empty where none was chosen. */
  readonly cell: string;
  readonly ratingMeans: "mean" | "mean minus 3 SD" | "least";
  readonly source: string;
  readonly notes: string;
  readonly numbers: Texts;
};

export type TypedRig = {
  readonly name: string;
  readonly kind: RigLoad["kind"];
  readonly load: Texts;
  readonly parts: readonly TypedPart[];
  readonly wantedFactor: string;
  readonly wantedFactorSource: string;
  readonly overTime: string;
  readonly notes: string;
};

export const cellKey = (seriesId: string, cell: string): string => JSON.stringify([seriesId, cell]);

let keys = 0;

export function newPart(place: RigPart["place"]): TypedPart {
  return {
    key: ++keys,
    name: "",
    kind: "connector",
    place,
    from: "nobody knows",
    cell: "",
    ratingMeans: "least",
    source: "",
    notes: "",
    numbers: begun([...partSpecs, ...ratingSpecs]),
  };
}

export const begun = (specs: readonly NumberSpec[]): Texts =>
  Object.fromEntries(specs.map(({ name, beginsWith = "" }) => [name, beginsWith]));

/** A rig of the book as it would be typed. */
export function typedOfRig(rig: StoredRecord<"rig">): TypedRig {
  const { load, parts, wantedFactor } = rig;
  return {
    name: rig.name,
    kind: load.kind,
    load: { ...begun(loadSpecs[load.kind]), ...textsOf(loadSpecs[load.kind], load) },
    parts: parts.map((part) => {
      const { strength } = part;
      const begin = newPart(part.place);
      return {
        ...begin,
        name: part.name,
        kind: part.kind,
        from: strength.from,
        notes: part.notes,
        numbers: { ...begin.numbers, ...textsOf(partSpecs, part), ...textsOf(ratingSpecs, strength) },
        ...(strength.from === "pulls" ? { cell: cellKey(strength.seriesId, strength.cell) } : {}),
        ...(strength.from === "rating" ? { ratingMeans: strength.ratingMeans, source: strength.source } : {}),
      };
    }),
    wantedFactor: wantedFactor === undefined ? "" : trimmed(wantedFactor),
    wantedFactorSource: rig.wantedFactorSource,
    overTime: rig.overTime,
    notes: rig.notes,
  };
}

/** What was typed as the fields of a rig; null takes the wanted factor away. */
export function fieldsOfRig(typed: TypedRig): {
  readonly fields: Readonly<Record<string, unknown>>;
  readonly problems: readonly Problem[];
} {
  const problems: Problem[] = [];
  const take = (specs: readonly NumberSpec[], texts: Texts, at: string) =>
    numbersOf(specs, texts, at, problems);
  const factor = numbersOf(
    [{ name: "wantedFactor", label: "The factor", as: "number" }],
    typed,
    "",
    problems,
  );
  const fields = {
    name: typed.name,
    load: { kind: typed.kind, ...take(loadSpecs[typed.kind], typed.load, "load.") },
    parts: typed.parts.map((part, index) => ({
      name: part.name,
      kind: part.kind,
      place: part.place,
      strength: strengthOf(
        part,
        take(part.from === "rating" ? ratingSpecs : [], part.numbers, `parts[${index}].strength.`),
      ),
      ...take(partSpecs, part.numbers, `parts[${index}].`),
      notes: part.notes,
    })),
    wantedFactor: factor["wantedFactor"] ?? null,
    wantedFactorSource: typed.wantedFactorSource,
    overTime: typed.overTime,
    notes: typed.notes,
  };
  return { fields, problems };
}

function strengthOf(part: TypedPart, numbers: Readonly<Record<string, number>>): object {
  if (part.from === "rating")
    return { from: "rating", ratingMeans: part.ratingMeans, source: part.source, ...numbers };
  if (part.from === "pulls" && part.cell !== "") {
    const [seriesId, cell] = JSON.parse(part.cell) as [string, string];
    return { from: "pulls", seriesId, cell };
  }
  return { from: "nobody knows" };
}

/** How many of the stored unit make one of what is typed without a unit. */
const stored: Readonly<Partial<Record<NumberSpec["as"], number>>> = { kNPerM: 1000, percent: 0.01 };

function numbersOf(
  specs: readonly NumberSpec[],
  texts: Readonly<Record<string, unknown>>,
  at: string,
  problems: Problem[],
): Record<string, number> {
  const numbers: Record<string, number> = {};
  for (const spec of specs) {
    const text = String(texts[spec.name] ?? "").trim();
    const where = { field: `${at}${spec.name}` };
    if (text === "") {
      if (spec.required === true)
        problems.push({
          code: "INPUT_FIELD",
          message: `${spec.label} is empty.`,
          where,
          expected: "a number",
        });
    } else if (spec.as === "force" || spec.as === "m") {
      const answer = typedQuantity(text, measures[spec.as], where.field);
      if (answer.ok) numbers[spec.name] = answer.value;
      else problems.push(...answer.problems);
    } else {
      const value = Number(text.replace(",", ".").replace(/%$/, ""));
      if (Number.isFinite(value))
        numbers[spec.name] = Number((value * (stored[spec.as] ?? 1)).toPrecision(12));
      else
        problems.push({
          code: "INPUT_FIELD",
          message: `${spec.label} is not a number.`,
          where,
          found: text,
          expected: spec.as === "whole" ? "a whole number such as 2" : "a number such as 30 or 7.5",
        });
    }
  }
  return numbers;
}

function textsOf(specs: readonly NumberSpec[], record: object): Texts {
  const texts: Record<string, string> = {};
  for (const { name, as } of specs) {
    const value = (record as Record<string, unknown>)[name];
    if (typeof value !== "number") continue;
    texts[name] =
      as === "force" || as === "m"
        ? shownQuantity(value, measures[as])
        : trimmed(Number((value / (stored[as] ?? 1)).toPrecision(12)));
  }
  return texts;
}
