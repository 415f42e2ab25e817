import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { claim, summary } from "../../stats/mod.ts";
import type { ClaimVerdict, JudgedClaim } from "../outside-types.ts";
import type { ClaimToJudge, JudgedPull } from "../types.ts";
import { counted } from "../words.ts";
import { common, levelsText, pullsAt, type StrongPull } from "./against.ts";

/**
 * Sets a published figure against the pulls that it is about: both on the claim's own basis, and, where it can be, as
 * strength / (legs × rated strength). The verdict is that of the calculation `claim`.
 *
 * Refused, with the reason: fewer than two pulls; a share of a rated strength that is not known; a claim about one
 * line, or a force, where the pulls have different legs or ropes; a share of a measured line whose strength the claim
 * does not say.
 */
export function judgeClaim(stated: ClaimToJudge, judged: readonly JudgedPull[]): JudgedClaim {
  const pulls = pullsAt(judged, stated.levels);
  return {
    claimId: stated.id,
    statement: stated.statement,
    source: stated.source,
    kind: stated.kind,
    basis: stated.basis,
    against: levelsText(stated.levels),
    n: pulls.length,
    pulls: pulls.map(({ pullId }) => pullId),
    judged: verdictOf(stated, pulls),
    warnings: pulls.length === 0 ? [] : doubts(stated, pulls),
  };
}

function verdictOf(stated: ClaimToJudge, pulls: readonly StrongPull[]): Result<ClaimVerdict> {
  const onBasis = broughtTo(stated, pulls);
  if (!onBasis.ok) return onBasis;
  const { claimed, values, perLegs } = onBasis.value;
  const { kind, margin, content } = stated;
  const found = claim({ values, claimed, kind, margin, content });
  if (!found.ok) return found;
  const about = summary(values);
  const interval = about.ok ? about.value.meanInterval : undefined;
  if (!about.ok || interval === undefined) return about.ok ? refuse(tooFewPulls(values.length)) : about;
  const mean = { value: about.value.mean, interval };
  const { verdict, meaning, least } = found.value;
  return ok(
    {
      verdict,
      meaning,
      claimed,
      mean,
      ...(found.value.mean !== undefined && {
        p: found.value.mean.p,
        equivalenceP: found.value.mean.equivalenceP,
      }),
      ...(least !== undefined && {
        shareAbove: { value: least.shareAbove, interval: least.interval },
        countBelow: least.countBelow,
      }),
      ...(perLegs !== undefined && {
        onLegs: {
          claimed: claimed * perLegs,
          mean: {
            value: mean.value * perLegs,
            interval: [interval[0] * perLegs, interval[1] * perLegs] as const,
          },
        },
      }),
    },
    found.warnings,
  );
}

type OnBasis = {
  readonly claimed: number;
  readonly values: readonly number[];
  /** By what a value on the claim's basis is multiplied to be one of all legs' rated strength. */
  readonly perLegs?: number;
};

function broughtTo(stated: ClaimToJudge, pulls: readonly StrongPull[]): Result<OnBasis> {
  if (pulls.length < 2) return refuse(tooFewPulls(pulls.length));
  const { basis, share, valueN, measuredLineN } = stated;
  const legs = common(pulls, (pull) => pull.legs);
  const rated = common(pulls, (pull) => pull.ratedStrengthN);
  const rope = common(pulls, (pull) => pull.ropeName ?? "");
  if (stated.legs !== undefined && stated.legs !== legs)
    return refuse(
      cannot(
        `The claim is about ${counted(stated.legs, "leg")}, the pulls have ${legs ?? "different numbers or none named"}.`,
        "Name the levels that the claim is about, or enter the recipes' legs.",
      ),
    );
  const claimed = basis === "force" ? valueN : share;
  if (claimed === undefined)
    return refuse(cannot("The claimed figure itself is not entered on its basis.", "Enter it."));
  const perLegs = (factor: number | undefined) =>
    factor === undefined || !Number.isFinite(factor) ? {} : { perLegs: factor };
  const allRated = legs === undefined || rated === undefined ? undefined : legs * rated;
  if (basis === "rated, all legs") {
    const values = pulls.flatMap(({ legEfficiency }) => legEfficiency ?? []);
    return values.length === pulls.length ? ok({ claimed, values, perLegs: 1 }) : refuse(noRating);
  }
  if (basis === "rated single line") {
    const values = pulls.flatMap(({ lineEfficiency }) => lineEfficiency ?? []);
    if (values.length < pulls.length) return refuse(noRating);
    return legs === undefined ? refuse(manyLegs) : ok({ claimed, values, ...perLegs(1 / legs) });
  }
  if (rope === undefined || legs === undefined) return refuse(rope === undefined ? manyRopes : manyLegs);
  if (basis === "force")
    return ok({
      claimed,
      values: pulls.map(({ strengthN }) => strengthN),
      ...perLegs(allRated === undefined ? undefined : 1 / allRated),
    });
  if (measuredLineN === undefined) return refuse(noMeasuredLine);
  return ok({
    claimed,
    values: pulls.map(({ strengthN }) => strengthN / measuredLineN),
    ...perLegs(allRated === undefined ? undefined : measuredLineN / allRated),
  });
}

function doubts({ basis, legs }: ClaimToJudge, pulls: readonly StrongPull[]): Warning[] {
  const warnings: Warning[] = [];
  const kinds = new Set(pulls.map(({ ratedStrengthBasis = "not stated" }) => ratedStrengthBasis));
  if (basis.startsWith("rated") && (kinds.size > 1 || kinds.has("not stated")))
    warnings.push({
      code: "FINDING_RATING_BASIS",
      message:
        "The claim is a share of a rated strength, and whether that of these ropes is a mean or a minimum is not stated or differs: the same rope then gives two shares.",
      wayOut: "Enter the basis of the rated strength on the rope.",
    });
  if (legs === undefined && basis !== "rated, all legs")
    warnings.push({
      code: "FINDING_CLAIM_DOUBT",
      message: "The claim does not say how many legs its connector had; it is taken for that of these pulls.",
      wayOut: "Enter the claim's legs.",
    });
  return warnings;
}

function cannot(message: string, wayOut: string): Problem {
  return { code: "FINDING_NO_BASIS", message, wayOut };
}

function tooFewPulls(n: number): Problem {
  return {
    code: "STAT_TOO_FEW",
    message: "A claim is set against 2 pulls that count or more, which do not all agree to the digit.",
    found: String(n),
    expected: "2 or more",
  };
}

const noRating = cannot(
  "The claim is a share of a rated strength, and not every rated strength and number of legs is known.",
  "Enter the rated strength of every rope and the legs of every recipe.",
);
const manyLegs = cannot(
  "The claim counts in single lines, and the pulls have different numbers of legs, or none named.",
  "Name the levels that the claim is about, or enter the recipes' legs.",
);
const manyRopes = cannot(
  "The claim is about one rope, and the pulls are of several.",
  "Name the levels that the claim is about.",
);
const noMeasuredLine = cannot(
  "The claim is a share of what the source measured of one line, and that strength is not known.",
  "Enter what the source measured of one line, in the claim.",
);
