import { ok, type Result, type Warning } from "../problem/mod.ts";
import { customaryChoke, customaryChokeAngles, customaryChokeAt } from "./customary-choke.ts";
import { inFigures } from "./in-figures.ts";
import type { RigLoad } from "./rig.ts";
import { basket } from "./statics/basket.ts";
import { choke } from "./statics/choke.ts";
import { fallEnergy } from "./statics/fall-energy.ts";
import { type LoadedLine, type LoadedLineInput, loadedLine } from "./statics/loaded-line.ts";
import { redirect } from "./statics/redirect.ts";
import { slingLegs } from "./statics/sling-legs.ts";
import type { PartPlace } from "./words.ts";

/** A force that is not one number where what it rests on is not: low and high are equal where it is. */
export type ForceRange = { readonly lowN: number; readonly highN: number };

export type RigForces = {
  readonly places: Readonly<Partial<Record<PartPlace, ForceRange>>>;
  /** How the force came about, in sentences with numbers. */
  readonly because: readonly string[];
  /** The shape of a long line at the stiffer end of its range, for a drawing. */
  readonly line?: LoadedLine;
};

/**
 * What force does each place of a rig see? By statics, at both ends of what is not known.
 *
 * Refused where the load cannot hang as described; see the calculations line-point-load, sling-legs, basket,
 * choke, redirect, fall-energy.
 *
 * @example
 * const answer = rigForces({ kind: "lift", loadN: 1000, legs: 2, angleFromVerticalDeg: 60 });
 * answer.ok && answer.value.places["in each leg"]?.highN // 1000
 */
export function rigForces(load: RigLoad): Result<RigForces> {
  switch (load.kind) {
    case "straight pull":
      return ok({
        places: { "in the line": even(load.loadN) },
        because: [`The load of ${kN(load.loadN)} pulls straight.`],
      });
    case "long line":
      return longLine(load);
    case "lift":
      return lift(load);
    case "basket":
      return inBasket(load);
    case "choke":
      return choked(load);
    case "redirect":
      return turned(load);
    case "fall":
      return fall(load);
  }
}

const kN = (forceN: number) => `${inFigures(forceN / 1000, 3)} kN`;
const even = (forceN: number): ForceRange => ({ lowN: forceN, highN: forceN });
const between = (one: number, other: number): ForceRange => ({
  lowN: Math.min(one, other),
  highN: Math.max(one, other),
});

function longLine(load: Extract<RigLoad, { kind: "long line" }>): Result<RigForces> {
  const { kind: _, stiffnessLowN, stiffnessHighN, ...others } = load;
  const given = Object.fromEntries(
    Object.entries(others).filter(([, value]) => value !== undefined),
  ) as unknown as LoadedLineInput;
  const lines: LoadedLine[] = [];
  const doubts = new Map<string, Warning>();
  const ends = [stiffnessLowN ?? stiffnessHighN, stiffnessHighN ?? stiffnessLowN];
  for (const stiffnessEAN of ends) {
    const answer = loadedLine(stiffnessEAN === undefined ? given : { ...given, stiffnessEAN });
    if (!answer.ok) return answer;
    lines.push(answer.value);
    for (const doubt of answer.warnings) doubts.set(doubt.message, doubt);
  }
  const [soft, stiff] = lines as [LoadedLine, LoadedLine];
  const force = between(soft.tensionN, stiff.tensionN);
  const times = load.loadN > 0 ? `, ${inFigures(force.highN / load.loadN, 2)} times the load` : "";
  return ok(
    {
      places: { "in the line": force },
      because: [
        `Over ${load.spanM} m the line pulls ${rangeWords(force)} at its tightest${times}; the load hangs ${sagWords(stiff.sagM, soft.sagM)} below the chord.`,
      ],
      line: stiff,
    },
    [...doubts.values()],
  );
}

/** A depth in words, as one figure where both ends print alike. */
function sagWords(lowM: number, highM: number): string {
  const [low, high] = [lowM, highM].map((sagM) => Number(sagM.toPrecision(3)));
  return low === high ? `${high} m` : `${low} to ${high} m`;
}

function lift(load: Extract<RigLoad, { kind: "lift" }>): Result<RigForces> {
  const { loadN, legs, angleFromVerticalDeg, legsCounted } = load;
  const answer = slingLegs({
    loadN,
    legs,
    angleFromVerticalDeg,
    ...(legsCounted === undefined ? {} : { legsCounted }),
  });
  if (!answer.ok) return answer;
  const { legTensionN, factor, legsCounted: counted } = answer.value;
  return ok({
    places: { "in each leg": even(legTensionN), "above the legs": even(loadN) },
    because: [
      `${counted} of ${legs} ${legs === 1 ? "leg" : "legs"} carry ${kN(loadN)}; spread by ${angleFromVerticalDeg}° from the vertical each pulls ${inFigures(factor, 3)} times its share: ${kN(legTensionN)}.`,
    ],
  });
}

function inBasket(load: Extract<RigLoad, { kind: "basket" }>): Result<RigForces> {
  const { loadN, slings, includedAngleDeg, frictionLow, frictionHigh } = load;
  const mu = Math.max(frictionLow, frictionHigh);
  const answer = basket({ loadN: loadN / slings, includedAngleDeg, mu });
  if (!answer.ok) return answer;
  const { evenN, highN, lowN } = answer.value;
  const friction =
    mu === 0
      ? "without friction both alike"
      : `friction of up to ${mu} round it lets one carry ${kN(highN)} and the other ${kN(lowN)}`;
  return ok({
    places: { "in each leg": { lowN: Math.min(evenN, highN), highN }, "above the legs": even(loadN) },
    because: [
      `${slingsSay(slings, "basket")} ${kN(loadN)}; with ${includedAngleDeg}° between its legs each of them pulls ${kN(evenN)}, ${friction}.`,
      "Where it bends round the load it is weaker than straight: say in the part what that bend leaves.",
    ],
  });
}

function choked(load: Extract<RigLoad, { kind: "choke" }>): Result<RigForces> {
  const { loadN, slings, angleFromVerticalDeg, chokeDeg, frictionLow, frictionHigh } = load;
  const legs = slingLegs({ loadN, legs: slings, angleFromVerticalDeg });
  if (!legs.ok) return legs;
  const tensionN = legs.value.legTensionN;
  const mu = Math.max(frictionLow, frictionHigh);
  const answer = choke({ tensionN, chokeDeg, mu });
  if (!answer.ok) return answer;
  const { highestN, ownLowDeg, ownHighDeg } = answer.value;
  const own =
    Math.round(ownLowDeg) === Math.round(ownHighDeg)
      ? `at ${Math.round(ownLowDeg)}°`
      : `between ${Math.round(ownLowDeg)} and ${Math.round(ownHighDeg)}°`;
  const [low, high] = customaryChoke.share.map((share) => `${100 * share} %`);
  const left = `${Math.round(100 * customaryChokeAt(chokeDeg))} %`;
  return ok({
    places: { "in each leg": { lowN: tensionN, highN: highestN }, "above the legs": even(loadN) },
    because: [
      `${slingsSay(slings, "choke")} ${kN(loadN)} and pulls ${kN(tensionN)} on its standing part; choked at ${chokeDeg}° the noose and its eye see up to ${kN(highestN)}. A load that hangs free keeps a choke ${own}; another angle must be held.`,
      `Customarily a choke is rated at ${low} to ${high} of a straight pull (${customaryChoke.source}), and at ${left} of that at this angle (${customaryChokeAngles.source}). That is shown, not applied: say in the part what the bend over its own body leaves.`,
    ],
  });
}

const slingsSay = (slings: number, what: string) =>
  slings === 1 ? `One ${what} holds` : `Each of ${slings} ${what}s holds its share of`;

function turned(load: Extract<RigLoad, { kind: "redirect" }>): Result<RigForces> {
  const { loadN, turnDeg, efficiencyLow, efficiencyHigh } = load;
  const pulls: number[] = [];
  const anchors: number[] = [];
  for (const efficiency of [efficiencyLow, efficiencyHigh]) {
    // The load hangs on the far side: what is pulled with must overcome the pulley.
    const answer = redirect({ tensionN: loadN / efficiency, turnDeg, efficiency });
    if (!answer.ok) return answer;
    pulls.push(loadN / efficiency);
    anchors.push(answer.value.anchorN);
  }
  const line = between(pulls[0] as number, pulls[1] as number);
  const anchor = between(anchors[0] as number, anchors[1] as number);
  return ok({
    places: { "in the line": line, "at the pulley’s anchor": anchor },
    because: [
      `To move ${kN(loadN)} round the pulley the line is pulled with ${rangeWords(line)}; turned by ${turnDeg}° it pulls ${rangeWords(anchor)} on the pulley’s anchor.`,
    ],
  });
}

function fall(load: Extract<RigLoad, { kind: "fall" }>): Result<RigForces> {
  const { weightN, freeFallM, stiffnessLowNPerM, stiffnessHighNPerM } = load;
  const peaks: number[] = [];
  for (const stiffnessNPerM of [stiffnessLowNPerM, stiffnessHighNPerM]) {
    const answer = fallEnergy({ weightN, freeFallM, stiffnessNPerM });
    if (!answer.ok) return answer;
    peaks.push(answer.value.peakForceN);
  }
  const force = between(peaks[0] as number, peaks[1] as number);
  return ok({
    places: { "in the line": force },
    because: [
      `${kN(weightN)} falling ${freeFallM} m into springs of ${stiffnessLowNPerM / 1000} to ${stiffnessHighNPerM / 1000} kN/m reaches ${rangeWords(force)}, if nothing but these springs takes up its energy.`,
    ],
  });
}

/** A force in words, as one figure where both ends print alike. */
export function rangeWords({ lowN, highN }: ForceRange): string {
  return kN(lowN) === kN(highN) ? kN(highN) : `${kN(lowN)} to ${kN(highN)}`;
}
