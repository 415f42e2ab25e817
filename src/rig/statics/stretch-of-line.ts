/**
 * One stretch of a hanging line without a load on it, by what acts at its ends: the building stone of every line.
 * Forces in newtons, lengths in metres, weight per metre of the unstretched line; vertical forces count upward.
 */
export type StretchOfLine = {
  /** How far its far end lies to the right of its near end, and below it. */
  readonly acrossM: number;
  readonly downM: number;
  /** Integral of the tension along it, with the elastic energy: what equilibrium makes least. */
  readonly energy: number;
  /** How the two distances grow with the horizontal force and with the upward force at the near end. */
  readonly acrossByH: number;
  readonly acrossByV: number;
  readonly downByV: number;
};

export type LineMaterial = {
  /** Weight of a metre of the unstretched line. */
  readonly weightNPerM: number;
  /** Stiffness EA: force over strain. Infinite for a line that does not stretch. */
  readonly stiffnessEAN: number;
};

/**
 * Where the far end of a stretch of line lies, given the force at its near end.
 *
 * lengthM unstretched, above 0; horizontalN above 0; upwardN the line's vertical force at the near end, of either sign.
 * With T = √(H² + V²), V falling by w along the line: across = ∫ H/T + H/EA ds, down = ∫ V/T + V/EA ds. The closed forms
 * are written so that nothing cancels as the weight goes to 0, where they become those of a straight line.
 * Source: H. M. Irvine, Cable Structures, MIT Press 1981, section 2.3 (from memory); the derivatives are algebra.
 *
 * @example
 * // A metre of weightless line pulled sideways and up by equal forces runs at 45 degrees.
 * stretchOfLine(1, 100, 100, { weightNPerM: 0, stiffnessEAN: Infinity }).downM // 0.7071…
 */
export function stretchOfLine(
  lengthM: number,
  horizontalN: number,
  upwardN: number,
  { weightNPerM, stiffnessEAN }: LineMaterial,
): StretchOfLine {
  const H = horizontalN;
  const V = upwardN;
  const far = V - weightNPerM * lengthM;
  const T = Math.hypot(H, V);
  const farT = Math.hypot(H, far);
  // (T − T') / w without the difference: T² − T'² = w s (V + V').
  const down = (lengthM * (V + far)) / (T + farT);
  // s² − v² from (T + T')² − (V + V')², again without the difference where both ends pull the same way.
  const product = V * far;
  const difference =
    product > 0 ? (H * H * (H * H + V * V + far * far)) / (T * farT + product) : T * farT - product;
  const width = (lengthM * Math.sqrt(2 * (H * H + difference))) / (T + farT);
  // The span h of a catenary arc of parameter a = H/w obeys s² − v² = (2a sinh(h / 2a))².
  const turn = (weightNPerM * width) / (2 * H);
  const across = turn > 1e-9 ? (width * Math.asinh(turn)) / turn : width;
  const compliance = lengthM / stiffnessEAN;
  const inverseCube = (lengthM * farT - far * down) / (T * farT);
  return {
    acrossM: across + compliance * H,
    downM: down + compliance * (V - (weightNPerM * lengthM) / 2),
    energy:
      (lengthM * T + far * down + H * across) / 2 +
      (compliance * (H * H + (V * V + V * far + far * far) / 3)) / 2,
    acrossByH: across / H - inverseCube + compliance,
    acrossByV: (-H * down) / (T * farT),
    downByV: inverseCube + compliance,
  };
}
