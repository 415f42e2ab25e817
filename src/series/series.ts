import { z } from "zod";
import { lowerBoundMethods } from "../stats/mod.ts";

/** A level of a factor: a number in the factor's unit, or a word. */
export const levelValue = z.union([z.number(), z.string().trim().min(1).max(200)]);
export type LevelValue = z.infer<typeof levelValue>;

/** Something that is varied on purpose: bury, diameter, pin, rate, maker. */
export const factorFields = z.object({
  name: z.string().trim().min(1).max(100),
  unit: z.string().trim().max(20).default(""),
  levels: z.array(levelValue).min(1).max(50),
});
export type Factor = z.infer<typeof factorFields>;

/** From as likely as not to what the tolerance factors are exact for. */
const boundShare = z.number().min(0.5).max(0.9999);

/** A plan that was changed after pulls had been made by it. */
export const pastPlanFields = z.object({
  /** When it was changed. */
  until: z.iso.datetime(),
  factors: z.array(factorFields).max(10),
  pullsPerCell: z.number().int().min(0).max(1000),
  /** How many pulls the series had then. */
  pullsThen: z.number().int().min(1).max(1e6),
});
export type PastPlan = z.infer<typeof pastPlanFields>;

/** A question that pulls can answer, with the factors and levels that it varies. */
export const seriesFields = z.object({
  title: z.string().trim().min(1).max(300),
  question: z.string().max(10_000).default(""),
  method: z.string().max(100_000).default(""),
  conclusions: z.string().max(100_000).default(""),
  tester: z.string().trim().max(300).default(""),
  factors: z.array(factorFields).max(10).default([]),
  /** How many pulls each cell of the plan should get; 0 where the plan does not say. */
  pullsPerCell: z.number().int().min(0).max(1000).default(0),
  /** By what method a strength is stated of each cell, for what share of specimens, and how surely. */
  boundMethod: z.enum(lowerBoundMethods).default("normal"),
  boundContent: boundShare.default(0.95),
  boundConfidence: boundShare.default(0.95),
  simulated: z.boolean().default(false),
  /** The plans that were, the oldest first; the book adds to them, nobody enters them. */
  planHistory: z.array(pastPlanFields).max(1000).optional(),
  /** What the tester rests on, in Markdown: papers, standards, films, with links or DOIs. */
  sources: z.string().max(100_000).default(""),
  /** What was done otherwise than the method says, and what went wrong, in Markdown. */
  deviations: z.string().max(100_000).default(""),
  /** Temperature, humidity, wet or dry, how long the rope lay in it. */
  conditions: z.string().max(10_000).default(""),
  /** How the tester can be reached. */
  contact: z.string().trim().max(1000).default(""),
  /** Where it was pulled. */
  testedAt: z.string().trim().max(1000).default(""),
  /** For whom it was pulled; empty where for nobody but the tester. */
  customer: z.string().trim().max(1000).default(""),
  /** Who answers for the report. */
  authorisedBy: z.string().trim().max(300).default(""),
  notes: z.string().max(100_000).default(""),
});
export type SeriesFields = z.infer<typeof seriesFields>;
