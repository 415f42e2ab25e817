import type { App } from "../../src/app/mod.ts";
import { inventedPulls } from "../../src/findings/slip-or-break/test-pulls.ts";
import { add } from "./open-app.ts";

/** What the loops of `addBurySeries` are made of: two legs of a 6 mm rope rated at 30 kN. */
export const buryLoop = { diameterMm: 6, ratedN: 30_000, legs: 2 };

/**
 * The invented pulls that R's survival package was given as well (slip-or-break.test.ts in the findings part), put into a
 * book as a tester would: buries as made in millimetres, peaks typed in newtons. With them one void pull and one whose
 * bury nobody measured.
 */
export async function addBurySeries(app: App) {
  const { diameterMm, ratedN, legs } = buryLoop;
  const series = await add(app, "series", {
    title: "Is the bury long enough?",
    factors: [{ name: "bury", unit: "d", levels: [20, 28, 36, 44, 52] }],
  });
  const rope = await add(app, "rope", {
    name: "Blue",
    nominalDiameterMm: diameterMm,
    ratedStrengthN: ratedN,
  });
  const recipe = await add(app, "recipe", { name: "Loop", kind: "crossed-tail loop", legs });
  const one = async (label: string, made: object, pull: object) => {
    const specimen = await add(app, "specimen", {
      seriesId: series.id,
      label,
      ropeId: rope.id,
      recipeId: recipe.id,
      ...made,
    });
    return add(app, "pull", { seriesId: series.id, specimenId: specimen.id, ...pull });
  };
  const pulls = [];
  for (const [i, { buryDiameters, strength, outcome }] of inventedPulls().entries())
    pulls.push(
      await one(
        `A${i + 1}`,
        // The level says what was planned; what was made is what counts.
        { levels: { bury: 20 }, buryFullMm: buryDiameters * diameterMm },
        { typedPeakN: strength * legs * ratedN, outcome: { kind: outcome } },
      ),
    );
  await one(
    "V1",
    { buryFullMm: 200 },
    { typedPeakN: 9000, outcome: { kind: "void", reason: "the pin bent" } },
  );
  await one("N1", {}, { typedPeakN: 40_000, outcome: { kind: "broke" } });
  return { seriesId: series.id, pulls: pulls.map(({ id }) => id) };
}
