import { findRoot, findRootFrom } from "../../stats/mod.ts";
import { type LineMaterial, stretchOfLine } from "./stretch-of-line.ts";

/** Two fixed ends, the line between them, and what hangs on it. All of it physically possible: see `loadedLine`. */
export type LineToHang = LineMaterial & {
  readonly spanM: number;
  /** How far the right end lies above the left one; below it where negative. */
  readonly riseM: number;
  /** Unstretched length between the ends. */
  readonly lengthM: number;
  readonly loadN: number;
  /** Where the load hangs, level from the left end; between 0 and the span. */
  readonly positionM: number;
};

/** What holds a hanging line: the forces at its left end, and how much unstretched line lies left of the load. */
export type HungLine = {
  readonly horizontalN: number;
  readonly upwardLeftN: number;
  readonly lengthLeftM: number;
};

/**
 * The equilibrium of an elastic line between two points with a load at a place.
 *
 * For a load fixed to the line, equilibrium makes the complementary energy ∫ T + T²/2EA ds − H·span + V·drop least over
 * (H, V); it is convex, so Newton's steps with halving always arrive. A load at a given place is one more equation, and
 * grows with the length that lies left of it. Source: algebra; the energy principle as in Irvine, Cable Structures (from
 * memory).
 */
export function hangLine(line: LineToHang): HungLine {
  const { lengthM, loadN, positionM } = line;
  if (line.weightNPerM === 0) return hangWithoutWeight(line);
  let start = firstGuess(line);
  const at = (lengthLeftM: number): HungLine => {
    const solved = balance(line, lengthLeftM, start);
    start = solved;
    return { ...solved, lengthLeftM };
  };
  if (loadN === 0) return at(lengthM / 2);
  const tooFar = (lengthLeftM: number) => {
    // With all the line on one side the load's place is that end itself.
    if (lengthLeftM === 0) return -positionM;
    if (lengthLeftM === lengthM) return line.spanM - positionM;
    const { horizontalN, upwardLeftN } = at(lengthLeftM);
    return stretchOfLine(lengthLeftM, horizontalN, upwardLeftN, line).acrossM - positionM;
  };
  return at(findRoot(tooFar, 0, lengthM));
}

/** Two straight pieces: for a depth of the load below the chord, its statics give how long each of them must be. */
function hangWithoutWeight({ spanM, riseM, lengthM, loadN, positionM, stiffnessEAN }: LineToHang): HungLine {
  if (loadN === 0) {
    const chordM = Math.hypot(spanM, riseM);
    const tensionN = stiffnessEAN * (chordM / lengthM - 1);
    const horizontalN = (tensionN * spanM) / chordM;
    return { horizontalN, upwardLeftN: (-tensionN * riseM) / chordM, lengthLeftM: lengthM / 2 };
  }
  const otherM = spanM - positionM;
  const at = (logDepth: number) => {
    const depthM = Math.exp(logDepth);
    const horizontalN = (loadN * positionM * otherM) / (depthM * spanM);
    const slopeLeft = depthM / positionM - riseM / spanM;
    const slopeRight = depthM / otherM + riseM / spanM;
    const unstretched = (widthM: number, slope: number) => {
      const stretch = 1 + (horizontalN * Math.hypot(1, slope)) / stiffnessEAN;
      return (widthM * Math.hypot(1, slope)) / stretch;
    };
    const lengthLeftM = unstretched(positionM, slopeLeft);
    return {
      over: lengthLeftM + unstretched(otherM, slopeRight) - lengthM,
      hung: { horizontalN, upwardLeftN: horizontalN * slopeLeft, lengthLeftM },
    };
  };
  const start = Math.log(Math.hypot(spanM, riseM) / 10);
  return at(findRootFrom((logDepth) => at(logDepth).over, start, 1)).hung;
}

type Forces = { readonly horizontalN: number; readonly upwardLeftN: number };

/** Newton's method on the complementary energy of both stretches, the load fixed to the line. */
function balance(line: LineToHang, lengthLeftM: number, start: Forces): Forces {
  const { spanM, riseM, lengthM, loadN, weightNPerM } = line;
  const look = (H: number, V: number) => {
    const left = stretchOfLine(lengthLeftM, H, V, line);
    const right = stretchOfLine(lengthM - lengthLeftM, H, V - weightNPerM * lengthLeftM - loadN, line);
    return {
      H,
      V,
      energy: left.energy + right.energy - H * spanM + V * riseM,
      // What the energy is the small difference of: it cannot be known better than this, rounded.
      rounding: 1e-15 * (left.energy + right.energy + H * spanM + Math.abs(V * riseM)),
      across: left.acrossM + right.acrossM - spanM,
      down: left.downM + right.downM + riseM,
      hh: left.acrossByH + right.acrossByH,
      hv: left.acrossByV + right.acrossByV,
      vv: left.downByV + right.downByV,
    };
  };
  let now = look(start.horizontalN, start.upwardLeftN);
  for (let round = 0; round < 200; round++) {
    const determinant = now.hh * now.vv - now.hv * now.hv;
    const stepH = -(now.vv * now.across - now.hv * now.down) / determinant;
    const stepV = -(now.hh * now.down - now.hv * now.across) / determinant;
    const slope = now.across * stepH + now.down * stepV;
    let share = 1;
    // The horizontal force stays above 0: the ends lie apart.
    while (now.H + share * stepH <= now.H / 20) share /= 2;
    let next = look(now.H + share * stepH, now.V + share * stepV);
    // Halved until the energy falls enough; where it can fall no more but by rounding, the gap itself decides.
    for (let halving = 0; halving < 60; halving++) {
      if (next.energy <= now.energy + 1e-4 * share * slope + now.rounding) break;
      share /= 2;
      next = look(now.H + share * stepH, now.V + share * stepV);
    }
    const moved = Math.abs(next.H - now.H) / next.H + Math.abs(next.V - now.V) / Math.hypot(next.H, next.V);
    const better = Math.abs(next.across) + Math.abs(next.down) < Math.abs(now.across) + Math.abs(now.down);
    if (moved < 1e-12) {
      if (better) now = next;
      break;
    }
    now = next;
  }
  return { horizontalN: now.H, upwardLeftN: now.V };
}

/** The horizontal force of a taut or slack line by the parabola of its whole load: near enough to start from. */
function firstGuess({
  spanM,
  riseM,
  lengthM,
  loadN,
  positionM,
  weightNPerM,
  stiffnessEAN,
}: LineToHang): Forces {
  const chord = Math.hypot(spanM, riseM);
  const total = weightNPerM * lengthM + loadN;
  const slack = Math.max(lengthM - chord, 0);
  const sag = Math.sqrt((3 / 8) * chord * slack);
  const bySag = sag > 0 ? (total * spanM) / (8 * sag) : Number.POSITIVE_INFINITY;
  // EA (chord / length − 1) holds a line that was shorter; a tight one under load obeys H³ ≈ EA total² / 24.
  const byStretch = Number.isFinite(stiffnessEAN)
    ? stiffnessEAN * Math.max(chord / lengthM - 1, 0) + Math.cbrt((stiffnessEAN * total * total) / 24)
    : Number.POSITIVE_INFINITY;
  const horizontalN = Math.min(bySag, byStretch);
  const shareLeft = 1 - positionM / spanM;
  return {
    horizontalN,
    upwardLeftN: (weightNPerM * lengthM) / 2 + loadN * shareLeft - (horizontalN * riseM) / spanM,
  };
}
