import type { Problem } from "../problem/mod.ts";

/** What a calculation answers that was stopped. */
export const stopped: Problem = {
  code: "FINDING_STOPPED",
  message: "The calculation was stopped before its end.",
};
