import { createRandom } from "../../stats/mod.ts";
import type { Growth, SlipOrBreakPull } from "./types.ts";

const buries = [20, 28, 36, 44, 52];
const strengths = [
  0.562, 0.498, 0.611, 0.537, 0.588, 0.471, 0.702, 0.655, 0.748, 0.689, 0.812, 0.731, 0.842, 0.905, 0.771,
  0.868, 0.823, 0.93, 0.884, 0.915, 0.851, 0.951, 0.93, 0.902, 0.872, 0.941, 0.899, 0.93, 0.917, 0.856,
];
const ends = "ssssssssssbssbsbscbbsbcbbbbcbb";
const words = { s: "slipped", b: "broke", c: "stopped" } as const;
const diameters = [5, 8, 5, 8, 10, 6];

/** Thirty invented pulls at five buries, with every outcome, and a diameter as covariate where asked for. */
export function inventedPulls(withDiameter = false): SlipOrBreakPull[] {
  return strengths.map((strength, i) => ({
    buryDiameters: buries[Math.floor(i / 6)] as number,
    strength,
    outcome: words[ends[i] as keyof typeof words],
    ...(withDiameter ? { covariates: { diameter: diameters[i % 6] as number } } : {}),
  }));
}

/** Pulls drawn from a world whose truth is known: plateau 0.88, slip strength 0.6 of it at the shortest bury. */
export function drawnPulls(
  seed: number,
  growth: Growth,
  each: number,
): { pulls: SlipOrBreakPull[]; trueLength: number } {
  const random = createRandom(seed);
  const [slipScatter, breakScatter, plateau] = [0.11, 0.06, 0.88];
  const [shortest, half] = [20, 36];
  const slipMedian = (bury: number) => {
    const part = (bury - shortest) / (half - shortest);
    return growth === "linear"
      ? plateau * (0.6 + 0.4 * part)
      : plateau * Math.exp(Math.log(0.6) * (1 - part));
  };
  const pulls = [20, 30, 40, 50, 60].flatMap((buryDiameters) =>
    Array.from({ length: each }, (): SlipOrBreakPull => {
      const slip = slipMedian(buryDiameters) * Math.exp(slipScatter * random.normal());
      const rope = plateau * Math.exp(breakScatter * random.normal());
      return { buryDiameters, strength: Math.min(slip, rope), outcome: slip < rope ? "slipped" : "broke" };
    }),
  );
  // Slipping first is as unlikely as 5 % where ln S − ln B lies 1.6449 standard deviations above 0.
  const above = 1.6448536269514722 * Math.hypot(slipScatter, breakScatter);
  const part = growth === "linear" ? (Math.exp(above) - 0.6) / 0.4 : 1 - above / Math.log(0.6);
  return { pulls, trueLength: shortest + (half - shortest) * part };
}
