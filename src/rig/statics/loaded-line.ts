import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { findRoot, findRootFrom } from "../../stats/mod.ts";
import { problemsOfAbove, problemsOfFrom } from "./fields.ts";
import { type HungLine, hangLine, type LineToHang } from "./hang-line.ts";
import { stretchOfLine } from "./stretch-of-line.ts";

/** A line between two anchors; just one of length, sag and pretension says how tight it is. */
export type LoadedLineInput = {
  /** Level distance between the anchors, in metres. */
  readonly spanM: number;
  /** How far the right anchor lies above the left one; 0 unless said, below it where negative. */
  readonly riseM?: number;
  /** Weight of a metre of the unstretched line; 0 unless said. */
  readonly weightNPerM?: number;
  /** Stiffness EA, force over strain; absent for a line that is taken not to stretch. */
  readonly stiffnessEAN?: number;
  /** A load that hangs from one place; 0 unless said. */
  readonly loadN?: number;
  /** Where it hangs, level from the left anchor; the middle unless said. */
  readonly positionM?: number;
  /** Unstretched length between the anchors. */
  readonly lengthM?: number;
  /** With a load: how far it hangs below the chord; without: the greatest depth below the chord. */
  readonly sagM?: number;
  /** Tension at the left anchor before the load is hung. */
  readonly pretensionN?: number;
};

export type LoadedLine = {
  readonly horizontalN: number;
  /** Greatest tension anywhere in the line. */
  readonly tensionN: number;
  readonly tensionLeftN: number;
  readonly tensionRightN: number;
  /** What each anchor pulls up with; negative where the line pulls it up. */
  readonly upwardLeftN: number;
  readonly upwardRightN: number;
  /** Slope of the line at each anchor, below the level. */
  readonly angleLeftDeg: number;
  readonly angleRightDeg: number;
  readonly sagM: number;
  readonly sagAtM: number;
  /** Length as it hangs, stretched. */
  readonly lengthM: number;
  readonly unstretchedLengthM: number;
  /** Points of the line from left to right, for a drawing: level from the left anchor, and above it. */
  readonly shape: readonly { readonly xM: number; readonly yM: number }[];
};

/** HMPE filaments break at 3 to 4 % of strain (from memory), so a line beyond this is no line any more. */
const absurdStrain = 0.03;

/**
 * How hard does a long line between two anchors pull, with its own weight, its stretch, and a load anywhere on it?
 *
 * Forces in newtons, lengths in metres. Refused where the ends cannot be joined, where nothing tightens the line (no weight,
 * no load, slack), and where what was asked cannot be reached, such as a pretension below what the line's own weight pulls.
 * Formula: across = ∫ H/T + H/EA ds, down = ∫ V/T + V/EA ds over the unstretched line, V falling by the weight and by the
 * load. Source: H. M. Irvine, Cable Structures (1981), section 2.3 (from memory); solved to about 1e-13 of the span.
 *
 * @example
 * // 800 N in the middle of 20 m of line with EA = 50 kN, laid out without slack: 1.613 kN.
 * const answer = loadedLine({ spanM: 20, lengthM: 20, loadN: 800, stiffnessEAN: 50_000 });
 * answer.ok && answer.value.tensionN // 1612.73
 */
export function loadedLine(input: LoadedLineInput): Result<LoadedLine> {
  const [problem, ...others] = problemsOf(input);
  if (problem !== undefined) return refuse(problem, ...others);
  const { spanM, riseM = 0, weightNPerM = 0, loadN = 0, positionM = spanM / 2 } = input;
  const stiffnessEAN = input.stiffnessEAN ?? Number.POSITIVE_INFINITY;
  const fixed = { spanM, riseM, weightNPerM, loadN, positionM, stiffnessEAN };
  const length = lengthOf(input, fixed);
  if (!length.ok) return length;
  const line = { ...fixed, lengthM: length.value };
  const described = describe(line, hangLine(line));
  return ok(described, doubtsOf(described, line));
}

type Fixed = Omit<LineToHang, "lengthM">;

/** The unstretched length that gives the sag or the pretension asked for. */
function lengthOf(input: LoadedLineInput, fixed: Fixed): Result<number> {
  if (input.lengthM !== undefined) return ok(input.lengthM);
  const chordM = Math.hypot(fixed.spanM, fixed.riseM);
  // A line that cannot stretch is longer than its chord, by a share whose logarithm is looked for; another has any length.
  const stretches = Number.isFinite(fixed.stiffnessEAN);
  const lengthAt = (x: number) => chordM * (stretches ? Math.exp(x) : 1 + Math.exp(x));
  if (input.sagM !== undefined) {
    const { sagM } = input;
    // A flat line is a parabola; a deep one hangs almost straight down and up again.
    const slack = Math.min((8 / 3) * (sagM / chordM) ** 2, (2 * sagM) / chordM);
    const guess = stretches ? Math.log1p(slack) : Math.log(slack);
    const over = (x: number) => sagOf({ ...fixed, lengthM: lengthAt(x) }) - sagM;
    return ok(lengthAt(findRootFrom(over, guess, stretches ? Math.min(Math.max(slack, 1e-3), 1) : 1)));
  }
  const wantedN = input.pretensionN ?? 0;
  if (fixed.weightNPerM === 0) return ok(chordM / (1 + wantedN / fixed.stiffnessEAN));
  const bare = { ...fixed, loadN: 0 };
  const pullAt = (x: number) => {
    const { horizontalN, upwardLeftN } = hangLine({ ...bare, lengthM: lengthAt(x) });
    return Math.hypot(horizontalN, upwardLeftN);
  };
  // The longer the line the less it pulls, until its own weight makes it pull more again.
  const [tight, loose] = stretches ? [Math.log(0.5), Math.log(3)] : [Math.log(1e-14), Math.log(2)];
  const leastAt = lowest(pullAt, tight, loose);
  const leastN = pullAt(leastAt);
  if (wantedN <= leastN)
    return impossible(
      "pretensionN",
      `${wantedN}`,
      `more than ${leastN.toPrecision(4)} N`,
      "The line's own weight alone pulls harder at the left anchor than the pretension that was given.",
      "Give a higher pretension, or the sag or the length instead.",
    );
  if (wantedN >= pullAt(tight))
    return impossible(
      "pretensionN",
      `${wantedN}`,
      `less than ${pullAt(tight).toPrecision(4)} N`,
      "No line of this stiffness can be drawn so tight.",
      "Give a lower pretension, or a higher stiffness.",
    );
  return ok(lengthAt(findRoot((x) => pullAt(x) - wantedN, tight, leastAt)));
}

/** Where a function with one lowest place has it, by golden sections. */
function lowest(f: (x: number) => number, from: number, to: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [from, to];
  for (let round = 0; round < 80; round++) {
    const [c, d] = [b - golden * (b - a), a + golden * (b - a)];
    if (f(c) < f(d)) b = d;
    else a = c;
  }
  return (a + b) / 2;
}

function sagOf(line: LineToHang): number {
  return deepest(line, hangLine(line)).sagM;
}

/** The load's depth below the chord, or without a load the greatest depth: where the line runs along the chord. */
function deepest(line: LineToHang, hung: HungLine): { sagM: number; sagAtM: number } {
  const { horizontalN, upwardLeftN, lengthLeftM } = hung;
  const along = (upwardLeftN + (horizontalN * line.riseM) / line.spanM) / line.weightNPerM;
  const toM =
    line.loadN > 0 || line.weightNPerM === 0 ? lengthLeftM : Math.min(Math.max(along, 0), line.lengthM);
  if (toM === 0) return { sagM: 0, sagAtM: 0 };
  const { acrossM, downM } = stretchOfLine(toM, horizontalN, upwardLeftN, line);
  return { sagM: Math.max(downM + (line.riseM * acrossM) / line.spanM, 0), sagAtM: acrossM };
}

function describe(line: LineToHang, hung: HungLine): LoadedLine {
  const { weightNPerM: w, stiffnessEAN, loadN, lengthM } = line;
  const { horizontalN: H, upwardLeftN, lengthLeftM } = hung;
  const beforeLoad = upwardLeftN - w * lengthLeftM;
  const afterLoad = beforeLoad - loadN;
  const atRight = upwardLeftN - w * lengthM - loadN;
  const [tensionLeftN, tensionRightN] = [Math.hypot(H, upwardLeftN), Math.hypot(H, atRight)];
  const lengthRightM = lengthM - lengthLeftM;
  // Stretch is ∫ T / EA ds; the integral of T is the energy of a line that does not stretch.
  const stiff = { weightNPerM: w, stiffnessEAN: Number.POSITIVE_INFINITY };
  const pulled =
    stretchOfLine(lengthLeftM, H, upwardLeftN, stiff).energy +
    stretchOfLine(lengthRightM, H, afterLoad, stiff).energy;
  const degrees = (upward: number) => (Math.atan2(upward, H) * 180) / Math.PI;
  return {
    horizontalN: H,
    tensionN: Math.max(tensionLeftN, tensionRightN, Math.hypot(H, beforeLoad), Math.hypot(H, afterLoad)),
    tensionLeftN,
    tensionRightN,
    upwardLeftN,
    upwardRightN: -atRight,
    angleLeftDeg: degrees(upwardLeftN),
    angleRightDeg: degrees(-atRight),
    ...deepest(line, hung),
    lengthM: lengthM + pulled / stiffnessEAN,
    unstretchedLengthM: lengthM,
    shape: shapeOf(line, hung),
  };
}

const pointsOnEachSide = 24;

function shapeOf(line: LineToHang, { horizontalN, upwardLeftN, lengthLeftM }: HungLine): LoadedLine["shape"] {
  const atLoad = stretchOfLine(lengthLeftM, horizontalN, upwardLeftN, line);
  const afterLoad = upwardLeftN - line.weightNPerM * lengthLeftM - line.loadN;
  const points = [{ xM: 0, yM: 0 }];
  for (let i = 1; i <= pointsOnEachSide; i++) {
    const part = stretchOfLine((lengthLeftM * i) / pointsOnEachSide, horizontalN, upwardLeftN, line);
    points.push({ xM: part.acrossM, yM: -part.downM });
  }
  const lengthRightM = line.lengthM - lengthLeftM;
  for (let i = 1; i <= pointsOnEachSide; i++) {
    const part = stretchOfLine((lengthRightM * i) / pointsOnEachSide, horizontalN, afterLoad, line);
    points.push({ xM: atLoad.acrossM + part.acrossM, yM: -atLoad.downM - part.downM });
  }
  return points;
}

function doubtsOf(described: LoadedLine, line: LineToHang): Warning[] {
  const doubts: Warning[] = [];
  const strain = described.tensionN / line.stiffnessEAN;
  if (strain > absurdStrain)
    doubts.push({
      code: "RIG_STRAIN",
      message: "The line would stretch further than its fibre can.",
      where: { field: "stiffnessEAN" },
      found: `${(strain * 100).toFixed(1)} % of stretch`,
      expected: `at most about ${absurdStrain * 100} % for HMPE, whose filaments break at 3 to 4 %`,
      wayOut: "It breaks first. Give it more sag or length, or check the stiffness.",
    });
  if (line.stiffnessEAN === Number.POSITIVE_INFINITY && described.sagM < described.lengthM / 50)
    doubts.push({
      code: "RIG_FLAT",
      message: "The line hangs so flat that its tension rests on the last part of its sag.",
      where: { field: "stiffnessEAN" },
      found: `a sag of ${((described.sagM / line.spanM) * 100).toPrecision(2)} % of the span`,
      expected: "a stiffness, so that its stretch counts",
      wayOut: "Give the line's stiffness EA: a flat line stretches, hangs lower and pulls less.",
    });
  return doubts;
}

function problemsOf(input: LoadedLineInput): Problem[] {
  const { spanM, riseM = 0, weightNPerM = 0, loadN = 0, positionM, stiffnessEAN, lengthM } = input;
  const problems = [
    ...problemsOfAbove(spanM, "spanM", "m"),
    ...(Number.isFinite(riseM) ? [] : problemsOfFrom(riseM, "riseM", "m")),
    ...problemsOfFrom(weightNPerM, "weightNPerM", "N/m"),
    ...problemsOfFrom(loadN, "loadN", "N"),
    ...(stiffnessEAN === undefined ? [] : problemsOfAbove(stiffnessEAN, "stiffnessEAN", "N")),
    ...(lengthM === undefined ? [] : problemsOfAbove(lengthM, "lengthM", "m")),
    ...(input.sagM === undefined
      ? []
      : problemsOfAbove(input.sagM, "sagM", "m").map((problem) => ({
          ...problem,
          message: "A line cannot hang without sag: it would have to pull without end.",
        }))),
    ...(input.pretensionN === undefined ? [] : problemsOfFrom(input.pretensionN, "pretensionN", "N")),
  ];
  if (positionM !== undefined && !(positionM > 0 && positionM < spanM))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "A load hangs between the anchors.",
      where: { field: "positionM" },
      found: `${positionM} m`,
      expected: `more than 0 and less than the span of ${spanM} m`,
    });
  const given = ["lengthM", "sagM", "pretensionN"].filter(
    (name) => input[name as "lengthM" | "sagM" | "pretensionN"] !== undefined,
  );
  if (given.length !== 1)
    problems.push({
      code: "INPUT_FIELD",
      message: "How tight a line is must be said in one way.",
      where: { field: given[0] ?? "lengthM" },
      found: given.length === 0 ? "none of them" : given.join(" and "),
      expected: "one of lengthM, sagM and pretensionN",
    });
  if (problems.length > 0) return problems;
  return impossibleLine(input);
}

/** Lines that cannot hang between their anchors, or that nothing pulls on. */
function impossibleLine(input: LoadedLineInput): Problem[] {
  const { spanM, riseM = 0, weightNPerM = 0, loadN = 0, stiffnessEAN, lengthM, sagM, pretensionN } = input;
  const chordM = Math.hypot(spanM, riseM);
  const pulled = weightNPerM > 0 || loadN > 0;
  if (lengthM !== undefined && stiffnessEAN === undefined && lengthM <= chordM)
    return tooShort(lengthM, chordM);
  if (!pulled && (sagM !== undefined || (lengthM !== undefined && lengthM >= chordM)))
    return [
      {
        code: "RIG_IMPOSSIBLE",
        message: "Nothing pulls on this line: it has no weight, no load, and is not drawn tight.",
        where: { field: "loadN" },
        found: "0 N, and 0 N/m",
        expected: "a load, a weight, or a length shorter than the chord",
      },
    ];
  if (pretensionN !== undefined && stiffnessEAN === undefined && weightNPerM === 0)
    return [
      {
        code: "RIG_IMPOSSIBLE",
        message:
          "A line that neither stretches nor weighs anything can carry no load when it was drawn tight.",
        where: { field: "stiffnessEAN" },
        found: "no stiffness",
        expected: "the stiffness EA in newtons, or a weight",
      },
    ];
  return [];
}

function tooShort(lengthM: number, chordM: number): Problem[] {
  return [
    {
      code: "RIG_IMPOSSIBLE",
      message: "The line is too short to reach from anchor to anchor.",
      where: { field: "lengthM" },
      found: `${lengthM} m`,
      expected: `more than the ${chordM.toPrecision(6)} m between the anchors`,
      wayOut: "Give a longer line, or a stiffness if it is drawn tight.",
    },
  ];
}

function impossible(
  field: string,
  found: string,
  expected: string,
  message: string,
  wayOut: string,
): Result<never> {
  return refuse({ code: "RIG_IMPOSSIBLE", message, where: { field }, found, expected, wayOut });
}
