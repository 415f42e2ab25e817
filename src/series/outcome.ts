import { z } from "zod";

/**
 * How a pull ended. Broke and slipped give a strength; stopped gives a lower bound (it would have held more); void gives
 * nothing and says why. "slipped" means that slipping was the specimen's end, not that it slipped once on the way.
 */
export const outcomeFields = z.discriminatedUnion("kind", [
  z.object({ kind: z.literal("broke"), place: z.string().trim().max(200).default("") }),
  z.object({ kind: z.literal("slipped"), place: z.string().trim().max(200).default("") }),
  z.object({ kind: z.literal("stopped"), reason: z.string().trim().max(1000).default("") }),
  z.object({ kind: z.literal("void"), reason: z.string().trim().min(1).max(1000) }),
]);
export type Outcome = z.infer<typeof outcomeFields>;
export type OutcomeKind = Outcome["kind"];
