import { z } from "zod";
import { partKinds, partPlaces, ratingMeanings } from "./words.ts";

const metres = z.number().positive().max(100_000);
const newtons = z.number().nonnegative().max(1e9);
const share = z.number().positive().max(1);
/** Of rope on what it runs round; none where nobody says. */
const friction = z.number().min(0).max(2).default(0);

/** How the rig is loaded; forces come of it by statics. */
export const rigLoad = z.discriminatedUnion("kind", [
  z.object({ kind: z.literal("straight pull"), loadN: newtons }),
  z.object({
    kind: z.literal("long line"),
    spanM: metres,
    riseM: z.number().min(-100_000).max(100_000).default(0),
    weightNPerM: z.number().nonnegative().max(10_000).default(0),
    /** Two ends of what the line's stiffness EA may be; equal where it is known. */
    stiffnessLowN: z.number().positive().max(1e9).optional(),
    stiffnessHighN: z.number().positive().max(1e9).optional(),
    loadN: newtons.default(0),
    positionM: metres.optional(),
    lengthM: metres.optional(),
    /** A sag of zero is refused where the line is worked out, with the reason. */
    sagM: z.number().nonnegative().max(100_000).optional(),
    pretensionN: newtons.optional(),
  }),
  z.object({
    kind: z.literal("lift"),
    loadN: newtons,
    legs: z.number().int().min(1).max(64),
    angleFromVerticalDeg: z.number().min(0).max(89),
    legsCounted: z.number().int().min(1).max(64).optional(),
  }),
  z.object({
    kind: z.literal("basket"),
    loadN: newtons,
    slings: z.number().int().min(1).max(64).default(1),
    includedAngleDeg: z.number().min(0).max(178),
    frictionLow: friction,
    frictionHigh: friction,
  }),
  z.object({
    kind: z.literal("choke"),
    loadN: z.number().positive().max(1e9),
    slings: z.number().int().min(1).max(64).default(1),
    angleFromVerticalDeg: z.number().min(0).max(89).default(0),
    /** Between the standing part and the rope that goes on round the load. */
    chokeDeg: z.number().min(1).max(179),
    frictionLow: friction,
    frictionHigh: friction,
  }),
  z.object({
    kind: z.literal("redirect"),
    loadN: newtons,
    turnDeg: z.number().min(0).max(180),
    efficiencyLow: share.default(1),
    efficiencyHigh: share.default(1),
  }),
  z.object({
    kind: z.literal("fall"),
    weightN: z.number().positive().max(1e9),
    freeFallM: z.number().nonnegative().max(10_000),
    /** Two ends of the stiffness of everything between anchor and load together. */
    stiffnessLowNPerM: z.number().positive().max(1e12),
    stiffnessHighNPerM: z.number().positive().max(1e12),
  }),
]);
export type RigLoad = z.infer<typeof rigLoad>;

/** One part of a rig, in order from the one end to the other. */
export const rigPart = z.object({
  name: z.string().trim().min(1).max(200),
  kind: z.enum(partKinds),
  place: z.enum(partPlaces).default("in the line"),
  /** Where its strength comes from: pulls of the book, by series and cell, or a rating with what it means. */
  strength: z.discriminatedUnion("from", [
    z.object({ from: z.literal("pulls"), seriesId: z.string(), cell: z.string().max(500) }),
    z.object({
      from: z.literal("rating"),
      ratedN: z.number().positive().max(1e9),
      ratingMeans: z.enum(ratingMeanings).default("least"),
      cv: z.number().positive().max(0.29).optional(),
      source: z.string().trim().max(2000).default(""),
    }),
    z.object({ from: z.literal("nobody knows") }),
  ]),
  /** How many alike, one after the other. */
  count: z.number().int().min(1).max(1000).default(1),
  /** How many side by side share its force, and the largest share that one of them takes; even where absent. */
  sideBySide: z.number().int().min(1).max(64).default(1),
  largestShare: share.optional(),
  /** Turns of it between its two ends, of a connector that was pulled as one turn. */
  wraps: z.number().int().min(1).max(64).default(1),
  /** Share of strength that a bend leaves which the pulls did not have, such as a thinner pin. */
  bendRetention: share.optional(),
  notes: z.string().max(10_000).default(""),
});
export type RigPart = z.infer<typeof rigPart>;

/** Where connectors are used: parts in a chain under a load. */
export const rigFields = z.object({
  name: z.string().trim().min(1).max(200),
  load: rigLoad,
  parts: z.array(rigPart).max(50).default([]),
  /** The design factor that the user's own field asks for, and where that is written. */
  wantedFactor: z.number().min(1).max(100).optional(),
  wantedFactorSource: z.string().trim().max(2000).default(""),
  /** What else weighs on it over time, in the user's words: creep, sun, heat, wear. */
  overTime: z.string().max(10_000).default(""),
  notes: z.string().max(100_000).default(""),
});
export type RigFields = z.infer<typeof rigFields>;
