import { z } from "zod";
import {
  combineSlipOrBreak,
  fewestRefits,
  growths,
  judgePull,
  mostRefits,
  prepareSlipOrBreak,
  pullsForSlipOrBreak,
  type SeriesSlipOrBreak,
  type SlipOrBreak,
  type SlipOrBreakInput,
  stateSlipOrBreak,
} from "../../findings/mod.ts";
import { ok, type Result } from "../../problem/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects, LongWork } from "../contract.ts";
import { pullToJudge } from "./judge.ts";
import { holdingsOf, type SeriesHoldings } from "./overview.ts";
import type { SharedWork } from "./shared-work.ts";
import { orTrouble } from "./transact.ts";

/** What may be asked of a series; each has its default. */
export const slipOrBreakFields = z.strictObject({
  chance: z.number().min(0.001).max(0.5).exactOptional(),
  confidence: z.number().min(0.5).max(0.99).exactOptional(),
  growth: z.enum([...growths, "auto"]).exactOptional(),
  refits: z.number().int().min(fewestRefits).max(mostRefits).exactOptional(),
  seed: z.number().int().min(0).max(4_294_967_295).exactOptional(),
});

/** Answers by the fingerprint of their input, so that a page opened twice does not calculate twice. */
export type SlipOrBreakWork = SharedWork<SlipOrBreak>;

/** Whether the bury of a series is long enough. */
export async function slipOrBreak(
  effects: Effects,
  work: SlipOrBreakWork,
  seriesId: string,
  asked: unknown = {},
  about: LongWork = {},
): Promise<Result<SeriesSlipOrBreak>> {
  return orTrouble(async () => {
    const checked = checkInput(slipOrBreakFields, asked);
    if (!checked.ok) return checked;
    const held = await holdingsOf(effects.store.read, seriesId);
    return held.ok ? slipOrBreakOf(effects, work, held.value, checked.value, about) : held;
  });
}

/** The same of a series that was gathered from the book. */
export async function slipOrBreakOf(
  effects: Pick<Effects, "sha256" | "refitSlipOrBreak">,
  work: SlipOrBreakWork,
  held: SeriesHoldings,
  asked: z.output<typeof slipOrBreakFields> = {},
  about: LongWork = {},
): Promise<Result<SeriesSlipOrBreak>> {
  const judged = held.pulls.map((pull) => judgePull(pullToJudge(pull, held)));
  const taken = pullsForSlipOrBreak(held.series, judged, asked);
  if (!taken.ok) return taken;
  const { input } = taken.value;
  const key = effects.sha256([new TextEncoder().encode(JSON.stringify(input))]);
  const answer = await work.get(key, about, (whole) => calculate(effects, input, whole));
  return answer.ok
    ? ok(stateSlipOrBreak(taken.value, answer.value, answer.warnings), answer.warnings)
    : answer;
}

async function calculate(
  effects: Pick<Effects, "refitSlipOrBreak">,
  input: SlipOrBreakInput,
  about: LongWork,
): Promise<Result<SlipOrBreak>> {
  const plan = prepareSlipOrBreak(input);
  if (!plan.ok) return plan;
  const refits = await effects.refitSlipOrBreak(plan.value, about);
  return refits.ok ? combineSlipOrBreak(plan.value, refits.value) : refits;
}
