import { type LoggerDialect, type LoggerSpec, layoutOf, loggerDialects } from "../../trace/mod.ts";
import type { RecordFields, RecordKind } from "../records.ts";
import { recordKinds } from "../records.ts";
import { type DemoSplice, demoWorld } from "./latent-strengths.ts";

/** A record of the demo with the id by which its other records speak of it. */
export type DemoRecord<K extends RecordKind> = { readonly id: string; readonly fields: RecordFields<K> };

/** What the plan varies. */
export const demoSplices = Object.keys(demoWorld.splices) as DemoSplice[];
export const demoDiametersMm = [5, 6] as const;
export const demoBuries = [24, 36, 48, 72] as const;
/** Full thickness is what the plan varies; the taper beyond it is the same everywhere. */
export const demoTaper = 10;
export const demoRepeats = 2;

const simulatedSource = "simulated: invented for the demo, no maker's figure";

/** The ropes, each with the strength that it truly has in the demo's world. */
export const ropes = [
  {
    lineStrengthN: 25_500,
    ...record("rope", "demo-rope-5", {
      name: "Demo rope 5 mm",
      nominalDiameterMm: 5,
      massPerLengthGPerM: 15.2,
      ratedStrengthN: 26_000,
      ratedStrengthBasis: "mean",
      ratedStrengthEnds: "unspliced",
      ratedStrengthSource: simulatedSource,
      coating: "thin, clear",
      notes: "Rated on bollards, as a mean: a splice will come out below it.",
    }),
  },
  {
    lineStrengthN: 38_000,
    ...record("rope", "demo-rope-6", {
      name: "Demo rope 6 mm",
      nominalDiameterMm: 6,
      massPerLengthGPerM: 22.4,
      ratedStrengthN: 34_000,
      ratedStrengthBasis: "minimum",
      ratedStrengthEnds: "spliced",
      ratedStrengthSource: simulatedSource,
      coating: "thin, clear",
      notes: "Rated with spliced ends, as a least value: 100 % of it is no surprise.",
    }),
  },
] as const;

export const spools = [
  spool(5, "A", "batch 1", 60),
  spool(5, "B", "batch 2", 60),
  spool(6, "C", "batch 1", 70),
  spool(6, "D", "batch 2", 70),
];

export const recipes = demoSplices.flatMap((splice) =>
  demoBuries.map((bury) => ({
    splice,
    bury,
    ...record("recipe", recipeId(splice, bury), {
      name: `${splice}, ${bury} d`,
      kind: splice,
      buryFullDiameters: bury,
      buryTaperDiameters: demoTaper,
      lockStitch: splice === "straight-bury eye" ? "3 passes of whipping twine" : "none",
      legs: demoWorld.splices[splice].legs,
      notes: "Bury is counted at full thickness; the taper comes on top of it.",
    }),
  })),
);

/** The first pin is too weak for the strongest specimens; nobody at the loft knew. */
export const weakPinYieldsAtN = 52_000;
/** The relief valve of the pump, and the loft's own limit for the frame. */
export const benchLimitN = 70_000;

export const hardware = [
  record("hardware", "demo-pin-12", {
    name: "12 mm pin",
    form: "pin",
    diameterMm: 12,
    notes: "Mild steel, strength not known. Replaced once it was seen to be bent.",
  }),
  record("hardware", "demo-pin-16", {
    name: "16 mm pin",
    form: "pin",
    diameterMm: 16,
    ownStrengthN: 160_000,
    notes: "Hardened.",
  }),
  record("hardware", "demo-shackle", {
    name: "Bow shackle, 16 mm",
    form: "shackle",
    diameterMm: 16,
    ownStrengthN: 190_000,
  }),
];

export const loadCells = [
  record("load-cell", "demo-cell", {
    name: "Cell 1, 100 kN",
    capacityN: 100_000,
    resolutionN: 10,
    calibratedOn: "2026-03-02",
    calibrationNote: "Simulated. Five loads from 10 to 80 kN, within 0.5 % of each.",
  }),
];

export const benches = [
  bench("demo-bench-hand-12", "Loft bench, hand pump, 12 mm pin", "hand pump", "demo-pin-12"),
  bench("demo-bench-hand-16", "Loft bench, hand pump, 16 mm pin", "hand pump", "demo-pin-16"),
  bench("demo-bench-powered-12", "Loft bench, powered pump, 12 mm pin", "powered pump", "demo-pin-12"),
  bench("demo-bench-powered-16", "Loft bench, powered pump, 16 mm pin", "powered pump", "demo-pin-16"),
];

/** One afternoon at the bench: its logger, its drive, and how many pulls went into each file. */
export type DemoDay = {
  readonly date: string;
  readonly drive: "hand" | "powered";
  readonly dialect: LoggerDialect;
  readonly logger: LoggerSpec;
  readonly pullsByFile: readonly number[];
  readonly fileName: (index: number) => string;
  readonly layoutId: string;
};

const twoDigits = (index: number): string => String(index + 1).padStart(2, "0");

export const days: readonly DemoDay[] = [
  {
    date: "2026-04-11",
    drive: "hand",
    dialect: loggerDialects.plain,
    logger: {
      rateHz: 100,
      jitterS: 0.0008,
      capacityN: 100_000,
      bits: 24,
      noiseN: 9,
      offsetN: 64,
      driftNPerMinute: 4,
    },
    pullsByFile: [1, 1, 1, 1, 1, 2, 1, 1, 1, 1, 1],
    fileName: (index) => `loft-0411-${twoDigits(index)}.csv`,
    layoutId: "demo-layout-plain",
  },
  {
    date: "2026-04-18",
    drive: "hand",
    dialect: loggerDialects.continental,
    logger: {
      rateHz: 100,
      jitterS: 0,
      capacityN: 100_000,
      bits: 16,
      noiseN: 5,
      offsetN: -22,
      driftNPerMinute: -2,
      displacement: true,
    },
    pullsByFile: [1, 1, 1, 1, 3, 1, 1, 1, 1, 1, 1],
    fileName: (index) => `ZP_2026-04-18_${twoDigits(index)}.txt`,
    layoutId: "demo-layout-continental",
  },
  {
    date: "2026-04-25",
    drive: "powered",
    dialect: loggerDialects.stamped,
    logger: {
      rateHz: 100,
      jitterS: 0.0004,
      capacityN: 120_000,
      bits: 15,
      noiseN: 4,
      offsetN: 31,
      driftNPerMinute: 1,
    },
    pullsByFile: [1, 1, 1, 1, 1, 1, 1],
    fileName: (index) => `LOG000${twoDigits(index)}.TSV`,
    layoutId: "demo-layout-stamped",
  },
];

export const layouts = days.map((day) =>
  record("layout", day.layoutId, {
    name: `Demo logger, ${day.dialect.name}`,
    layout: layoutOf(day.dialect),
    notes: "Belongs to the simulated demo series.",
  }),
);

export const series = record("series", "demo-series", {
  title: "How short a bury? Eyes and loops in 5 and 6 mm rope (simulated)",
  question: "How short may the bury be before the splice slips before the rope breaks?",
  method: [
    "Straight-bury eyes (one at each end of a single line, lock-stitched) and crossed-tail loops, in two rope sizes,",
    "with four lengths of bury, two specimens of each. Bury is counted at full thickness in rope diameters; a taper of",
    `${demoTaper} d comes on top of it. The order of pulling was drawn by lot. Each specimen was set at about 15 % of`,
    "its rated strength and held for some 15 s, then pulled without a stop until it broke, slipped out, or reached the",
    `bench's limit of ${benchLimitN / 1000} kN. Hand pump on the first two days, powered pump on the third.`,
    "All of this is simulated: no rope was pulled, and no figure here says anything about a real one.",
  ].join(" "),
  tester: "The loft of a sailing school (invented)",
  factors: [
    { name: "splice", unit: "", levels: demoSplices },
    { name: "diameter", unit: "mm", levels: [...demoDiametersMm] },
    { name: "bury", unit: "d", levels: [...demoBuries] },
  ],
  pullsPerCell: demoRepeats,
  simulated: true,
  notes: "Made by the bench simulator that comes with the program, from a fixed seed.",
});

/** The id of the recipe for a splice and a bury. */
export function recipeId(splice: DemoSplice, bury: number): string {
  return `demo-recipe-${splice === "straight-bury eye" ? "eye" : "loop"}-${bury}`;
}

function spool(diameterMm: number, letter: string, batch: string, lengthM: number): DemoRecord<"spool"> {
  return record("spool", `demo-spool-${letter.toLowerCase()}`, {
    ropeId: `demo-rope-${diameterMm}`,
    name: `Spool ${letter}, ${diameterMm} mm`,
    batch,
    lengthM,
    boughtOn: "2026-03-20",
  });
}

function bench(
  id: string,
  name: string,
  drive: "hand pump" | "powered pump",
  pinId: string,
): DemoRecord<"bench"> {
  return record("bench", id, {
    name,
    loadCellId: "demo-cell",
    drive,
    nearHardwareId: pinId,
    farHardwareId: "demo-shackle",
    notes: "A steel channel with a lid, the cell in line with the specimen.",
  });
}

/** Checks the fields by the book's own schema, so that the demo can never hold what a user could not enter. */
function record<K extends RecordKind>(kind: K, id: string, fields: unknown): DemoRecord<K> {
  return { id, fields: recordKinds[kind].parse(fields) as RecordFields<K> };
}
