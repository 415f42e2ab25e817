import { expect, test } from "vitest";
import { sectionOf } from "./sections.ts";

// The ids are those of src/findings; a factor may have any name, also one that looks like another finding's id.
test.each([
  ["effect-bury", "mattered"],
  ["effect-rate", "mattered"],
  ["interaction-splice-bury", "mattered"],
  ["scatter-parts", "mattered"],
  ["scatter", undefined],
  ["places-by-splice", "places"],
  ["places-broke", "places"],
  ["rate", "rate and hold"],
  ["claim-cla-1", "claims"],
  ["pool-2", "pooling"],
  ["overview", undefined],
  ["lower-bound", undefined],
  ["an id that nobody thought of", undefined],
])("the finding %s stands in %s", (id, section) => {
  expect(sectionOf(id)).toBe(section);
});
