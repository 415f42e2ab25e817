import { ok, type Result, refuse } from "../../problem/mod.ts";
import { findRoot } from "../../stats/mod.ts";
import { problemsOfAbove, problemsOfFrom } from "./fields.ts";

export type Choke = {
  /** Tension of the rope where it goes on round the load: friction in the eye lets it lie between these. */
  readonly bodyLowN: number;
  readonly bodyHighN: number;
  /** Highest tension of the leg that ends in the eye. */
  readonly eyeLegN: number;
  /** The highest tension anywhere in the sling. */
  readonly highestN: number;
  /** The angles that a round load keeps by itself when it hangs free, in degrees; alike without friction, 120. */
  readonly ownLowDeg: number;
  readonly ownHighDeg: number;
};

/**
 * What does a choke carry: a rope round a round load, drawn through its own eye?
 *
 * tensionN of the standing part, above 0; chokeDeg the angle at the eye between the standing part and the rope that goes on round
 * the load, above 0 to below 180; mu friction of the rope in its eye, 0 or more. The eye turns the rope by φ = 180° − choke.
 * Formula: body from T e^(−μφ) to T e^(μφ); the eye's leg balances both, |T u + body v| along their directions u and v, and is highest
 * at one of these ends. A load that hangs free pulls both sides of its noose alike: 2 cos φ lies between e^(−μφ) and e^(μφ) there.
 * Source: statics, with the capstan equation; own derivation. Not in it: what the bend over its own body takes from the rope.
 *
 * @example
 * const answer = choke({ tensionN: 1000, chokeDeg: 60 });
 * answer.ok && answer.value.eyeLegN // 1732
 */
export function choke(input: {
  readonly tensionN: number;
  readonly chokeDeg: number;
  readonly mu?: number;
}): Result<Choke> {
  const { tensionN, chokeDeg, mu = 0 } = input;
  const problems = [...problemsOfAbove(tensionN, "tensionN", "N"), ...problemsOfFrom(mu, "mu", "no unit")];
  if (!(chokeDeg > 0 && chokeDeg < 180))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "A choke turns the rope aside at its eye, and not back into itself.",
      where: { field: "chokeDeg" },
      found: String(chokeDeg),
      expected: "above 0 to below 180 degrees; 120 where the choke finds its own angle",
    });
  if (mu > mostFriction)
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "No rope grips itself so hard.",
      where: { field: "mu" },
      found: String(mu),
      expected: `from 0 to ${mostFriction}`,
    });
  const [problem, ...others] = problems;
  if (problem !== undefined) return refuse(problem, ...others);
  const angle = (chokeDeg * Math.PI) / 180;
  const held = Math.exp(mu * (Math.PI - angle));
  const [bodyLowN, bodyHighN] = [tensionN / held, tensionN * held];
  const balance = (bodyN: number) => Math.hypot(tensionN + bodyN * Math.cos(angle), bodyN * Math.sin(angle));
  const eyeLegN = Math.max(balance(bodyLowN), balance(bodyHighN));
  return ok({
    bodyLowN,
    bodyHighN,
    eyeLegN,
    highestN: Math.max(bodyHighN, eyeLegN),
    ownLowDeg: ownAngle(-mu),
    ownHighDeg: ownAngle(mu),
  });
}

/** Far above any rope on rope; beyond it forces are no numbers any more. */
const mostFriction = 10;

/** Where 2 cos φ = e^(μφ), as the choke's angle in degrees. */
function ownAngle(mu: number): number {
  const turn = findRoot((phi) => Math.log(2 * Math.cos(phi)) - mu * phi, 0, Math.PI / 2 - 1e-12);
  return 180 - (turn * 180) / Math.PI;
}
