import { createRandom } from "../../stats/mod.ts";
import type { RecordFields } from "../records.ts";
import { recordKinds } from "../records.ts";
import { demoWorld, drawLatentStrengths } from "./latent-strengths.ts";
import { type DemoRecord, demoTaper, recipeId, ropes } from "./loft.ts";

/** A pull of the raft's loops: its peak was read off the pump's dial and typed. */
export type TypedDemoPull = {
  readonly specimenId: string;
  readonly order: number;
  readonly typedPeakN: number;
  readonly outcome: NonNullable<RecordFields<"pull">["outcome"]>;
};

/** How many loops of each rope were pulled. */
export const raftRepeats = 6;
const buryDiameters = 48;
const seriesId = "demo-raft-series";

/**
 * The second demo series and the rig that rests on it: loops alike, pulled for the mooring of a small raft that carries a
 * sail loft's gear and nobody. All of it is simulated, by the same world as the first series.
 */
export function raftScenario(seed: number): {
  readonly series: DemoRecord<"series">;
  readonly specimens: readonly DemoRecord<"specimen">[];
  readonly pulls: readonly TypedDemoPull[];
  readonly rig: RecordFields<"rig">;
} {
  const random = createRandom(seed);
  const specimens: DemoRecord<"specimen">[] = [];
  const pulls: TypedDemoPull[] = [];
  for (const { id: ropeId, fields: rope, lineStrengthN } of ropes)
    for (let repeat = 1; repeat <= raftRepeats; repeat++) {
      const diameterMm = rope.nominalDiameterMm;
      const [buryFullMm, buryTaperMm] = [buryDiameters * diameterMm, demoTaper * diameterMm];
      const habits = { slip: 0, break: 0 };
      const { slipN, breakN } = drawLatentStrengths(
        {
          splice: "crossed-tail loop",
          lineStrengthN,
          diameterMm,
          buryFullMm,
          buryTaperMm,
          maker: habits,
          spool: habits,
        },
        random,
      );
      const label = `R${diameterMm}-${repeat}`;
      const id = `demo-raft-${label}`;
      specimens.push({
        id,
        fields: recordKinds.specimen.parse({
          seriesId,
          label,
          ropeId,
          recipeId: recipeId("crossed-tail loop", buryDiameters),
          maker: "maker B",
          levels: { diameter: diameterMm },
          // Two sides and two buries of a loop 500 mm long, to the next 10 mm.
          cutLengthMm: 1000 + Math.round((2.2 * (buryFullMm + buryTaperMm)) / 10) * 10,
          buryFullMm,
          buryTaperMm,
        }),
      });
      pulls.push({
        specimenId: id,
        order: pulls.length + 1,
        typedPeakN: Math.round(Math.min(slipN, breakN) / 100) * 100,
        outcome: slipN < breakN ? { kind: "slipped", place: "bury" } : { kind: "broke", place: "throat" },
      });
    }
  return { series, specimens, pulls, rig };
}

const series: DemoRecord<"series"> = {
  id: seriesId,
  fields: recordKinds.series.parse({
    title: "Loops for the raft’s mooring (simulated)",
    question: "What may be stated of the loops that hold the gear raft?",
    method: [
      `${raftRepeats} crossed-tail loops in each of two ropes, all with ${buryDiameters} d of bury, made by one maker and pulled to`,
      "their end with the hand pump; peaks were read off its dial and typed. All of this is simulated.",
    ].join(" "),
    tester: "The loft of a sailing school (invented)",
    factors: [{ name: "diameter", unit: "mm", levels: ropes.map(({ fields }) => fields.nominalDiameterMm) }],
    pullsPerCell: raftRepeats,
    simulated: true,
    notes: `From the world of the other demo series: legs ${demoWorld.splices["crossed-tail loop"].legs}, habits of maker and spool left out.`,
  }),
};

const loop = (name: string, diameterMm: number) => ({
  name,
  kind: "connector",
  strength: { from: "pulls", seriesId, cell: `diameter ${diameterMm} mm` },
});
const rated = (name: string, kind: string, ratedN: number, ratingMeans: string) => ({
  name,
  kind,
  strength: {
    from: "rating",
    ratedN,
    ratingMeans,
    source: "simulated: invented for the demo, no maker's figure",
  },
});

const rig: RecordFields<"rig"> = recordKinds.rig.parse({
  name: "Gear raft between quay and pile (simulated)",
  load: {
    kind: "long line",
    spanM: 18,
    riseM: 0.8,
    sagM: 0.9,
    weightNPerM: 0.25,
    loadN: 900,
    positionM: 7,
  },
  parts: [
    rated("ring in the quay", "anchor", 40_000, "least"),
    loop("loop at the quay", 6),
    rated("rope, 6 mm", "rope", 34_000, "least"),
    rated("bow shackle", "hardware", 60_000, "least"),
    loop("loop at the pile", 5),
    rated("pile", "anchor", 50_000, "mean"),
  ],
  wantedFactor: 5,
  wantedFactorSource: "the loft's own rule (invented)",
  overTime:
    "It stays out from May to September. Both loops are looked at each month and made anew each spring.",
  notes: "The raft carries sails and fenders, and nobody. All of it is simulated.",
});
