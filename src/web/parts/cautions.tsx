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
