import type { SeriesOverview } from "../../app/mod.ts";
import { force } from "../shown-units.ts";
import { Care } from "./page.tsx";

/** What stands where the hand is, before a pull. */
export function BeforeAPull() {
  return (
    <Care title="Before you pull" whence="Usual cautions of the trade; common practice, no published source">
      <ul>
        <li>Nobody in line with the rope or in the bight, at either end.</li>
        <li>Bed enclosed, or blanket and barrier on.</li>
        <li>Pump and camera worked from a distance.</li>
        <li>Pins captive, moused or bolted; they screw themselves out.</li>
        <li>Hardware and frame at least twice as strong as the expected peak.</li>
        <li>Hoses with whip-checks; no hand near a pinhole leak.</li>
        <li>Pressure bled before anybody comes near.</li>
      </ul>
    </Care>
  );
}

/** Hardware of the benches whose own strength is known to be less than twice what the specimens may reach. */
export function WeakHardware({ overview }: { readonly overview: SeriesOverview }) {
  const expectedN = expectedPeakN(overview);
  if (expectedN === undefined) return null;
  const held = new Set(overview.benches.flatMap((bench) => [bench.nearHardwareId, bench.farHardwareId]));
  const weak = overview.hardware.filter(
    ({ id, ownStrengthN }) => held.has(id) && ownStrengthN !== undefined && ownStrengthN < 2 * expectedN,
  );
  if (weak.length === 0) return null;
  return (
    <Care
      title="Hardware too weak"
      whence="Common practice: at least twice the expected peak; no published source"
    >
      The specimens may reach {force(expectedN)}, by their rated strength and legs.
      <ul>
        {weak.map((piece) => (
          <li key={piece.id}>
            {piece.name}: {force(piece.ownStrengthN ?? 0)}, less than {force(2 * expectedN)}.
          </li>
        ))}
      </ul>
    </Care>
  );
}

/** The most that a specimen of the series may bear: its rope's rated strength on each of its legs. */
function expectedPeakN({ specimens, ropes, recipes }: SeriesOverview): number | undefined {
  const peaks = specimens.flatMap((specimen) => {
    const rated = ropes.find((rope) => rope.id === specimen.ropeId)?.ratedStrengthN;
    const legs = recipes.find((recipe) => recipe.id === specimen.recipeId)?.legs;
    return rated === undefined ? [] : [rated * (legs ?? 1)];
  });
  return peaks.length === 0 ? undefined : Math.max(...peaks);
}

/** What stands by every number that somebody could hang from. */
export function NotACertificate() {
  return (
    <Care title="Not a certificate" whence="Usual cautions of the trade">
      <p>
        A rating from a bench speaks of the specimens that were pulled, new, dry and once. It does not certify
        the next piece, and it knows nothing of sun, wear, heat, knots or shock.
      </p>
      <p>
        For people, this program defers to certified gear, local codes and licensed practice, whatever the
        numbers say.
      </p>
    </Care>
  );
}
