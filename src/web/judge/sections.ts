/** The sections of the page that follow the first sentences. */
export type JudgeSection = "mattered" | "places" | "rate and hold" | "claims" | "pooling";

const beginnings: readonly (readonly [RegExp, JudgeSection])[] = [
  [/^(effect|interaction)-|^(scatter-parts|order-trend)$/, "mattered"],
  [/^places-/, "places"],
  [/^(rate|settling)$/, "rate and hold"],
  [/^claim-/, "claims"],
  [/^pool-/, "pooling"],
];

/** What a practitioner asks first: how many, how strong, what may be stated, what slipped. */
export function isAsked(findingId: string): boolean {
  return ["overview", "strength", "strongest", "weakest", "lower-bound", "slipped"].includes(findingId);
}

/** Where the sentence of a finding stands; among the first ones where it belongs to none of the sections. */
export function sectionOf(findingId: string): JudgeSection | undefined {
  return beginnings.find(([pattern]) => pattern.test(findingId))?.[1];
}
