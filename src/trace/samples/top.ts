/** A top as best known from the samples about it: still as recorded, with the rest in it. */
export type TopEstimate = {
  readonly valueN: number;
  /** Standard uncertainty from the noise of the samples that it rests on. */
  readonly noiseN: number;
  /** Standard uncertainty because the top fell between two samples. */
  readonly betweenN: number;
  readonly basis: "rise to a sudden fall" | "corner" | "last sample";
};

/** What is looked at before and after a top is no longer than this. */
export const longestWindowS = 0.5;

/** How many of the last rises from sample to sample tell by how much one may have been missed. */
export const risesLookedAt = 16;

/** With samples further apart than this, what comes between the drive's stop and the let-off is hardly seen. */
export const coarseS = 0.09;
