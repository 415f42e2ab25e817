/**
 * Force over extension of a specimen between the bench's pins: nothing while slack, a soft toe while strands and hardware
 * seat themselves, then a straight line. F = k(√(e² + a²) − a), with k the final stiffness and a the length of the toe.
 *
 * That curve is chosen for its form (slope 0 at first, k at last, with an exact inverse and an exact integral); that a new
 * braid beds in and stiffens is common practice, no published source for its shape.
 */
export type ToeCurve = {
  /** Stiffness far up the curve, in newtons per metre. */
  readonly stiffnessNPerM: number;
  /** Length of the toe in metres; 0 makes a straight line. */
  readonly toeM: number;
};

/**
 * Force at an extension, in newtons; 0 where the specimen hangs slack (extension of 0 or less).
 *
 * @example
 * forceAt({ stiffnessNPerM: 1000, toeM: 3 }, 4) // 2000, since √(4² + 3²) − 3 = 2
 */
export function forceAt({ stiffnessNPerM, toeM }: ToeCurve, extensionM: number): number {
  return extensionM <= 0 ? 0 : stiffnessNPerM * (Math.hypot(extensionM, toeM) - toeM);
}

/**
 * The extension in metres at which a force in newtons is reached: the inverse of `forceAt`, 0 for a force of 0 or less.
 *
 * @example
 * extensionAt({ stiffnessNPerM: 1000, toeM: 3 }, 2000) // 4
 */
export function extensionAt({ stiffnessNPerM, toeM }: ToeCurve, forceN: number): number {
  if (forceN <= 0) return 0;
  const stretchM = forceN / stiffnessNPerM;
  // (s + a)² − a² written so that nothing cancels when the force is small.
  return Math.sqrt(stretchM * (stretchM + 2 * toeM));
}

/**
 * Work in joules to extend the specimen from 0: the integral of `forceAt`,
 * k[(e√(e² + a²) + a² asinh(e/a)) / 2 − a e].
 *
 * @example
 * workAt({ stiffnessNPerM: 1000, toeM: 0 }, 2) // 2000, the ½ke² of a straight line
 */
export function workAt({ stiffnessNPerM, toeM }: ToeCurve, extensionM: number): number {
  if (extensionM <= 0) return 0;
  if (toeM === 0) return (stiffnessNPerM * extensionM ** 2) / 2;
  const area = (extensionM * Math.hypot(extensionM, toeM) + toeM ** 2 * Math.asinh(extensionM / toeM)) / 2;
  return stiffnessNPerM * (area - toeM * extensionM);
}
