import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import { type ForceUnit, formatNumber, type Newtons, toForceUnit } from "../units/mod.ts";

/** Where a pull lies in a film, and what is written over it. */
export type FilmCaptions = {
  /** Times of the samples as the recording counts them, rising, in seconds; and the forces, NaN where one is missing. */
  readonly timesS: ArrayLike<number>;
  readonly forcesN: ArrayLike<number>;
  /** One moment that can be seen in both, such as the break: its time in the recording, and in the film. */
  readonly momentS: number;
  readonly filmMomentS: number;
  /** How many captions a second; 5 unless said, from 0.1 to 30. */
  readonly ratePerS?: number;
  readonly unit?: ForceUnit;
  readonly decimals?: number;
  /** Phases with the words to show, by their times in the recording. */
  readonly phases?: readonly { readonly fromS: number; readonly toS: number; readonly words: string }[];
};

/**
 * The force as captions for a film of the pull (WebVTT), one for each stretch of time, with the phase beside it.
 *
 * Each caption tells the highest force of its stretch, so that the peak is seen, and from the peak on the highest so far as
 * well. A stretch without samples has no caption. What lies before the film's start is left out. Refused: no samples, times
 * that do not rise, a rate out of range. Format: W3C WebVTT: The Web Video Text Tracks Format, section 4.
 *
 * @example
 * const answer = filmCaptions({ timesS: [0, 0.1], forcesN: [0, 900], momentS: 0, filmMomentS: 2 });
 * answer.ok && answer.value.split("\n")[2] // "00:00:02.000 --> 00:00:02.200"
 */
export function filmCaptions(input: FilmCaptions): Result<string> {
  const {
    timesS,
    forcesN,
    momentS,
    filmMomentS,
    ratePerS = 5,
    unit = "kN",
    decimals = 2,
    phases = [],
  } = input;
  const [problem, ...others] = problemsOf(input);
  if (problem !== undefined) return refuse(problem, ...others);
  const offsetS = filmMomentS - momentS;
  const shown = (forceN: number) =>
    `${formatNumber(toForceUnit(forceN as Newtons, unit), { decimals })} ${unit}`;
  const blocks = ["WEBVTT"];
  let highestN = Number.NEGATIVE_INFINITY;
  let at = 0;
  const firstCue = Math.max(Math.floor(((timesS[0] as number) + offsetS) * ratePerS), 0);
  const lastCue = Math.floor(((timesS[timesS.length - 1] as number) + offsetS) * ratePerS);
  for (let cue = firstCue; cue <= lastCue; cue++) {
    const endS = (cue + 1) / ratePerS;
    let hereN = Number.NEGATIVE_INFINITY;
    for (; at < timesS.length && (timesS[at] as number) + offsetS < endS; at++) {
      const forceN = forcesN[at] as number;
      if (forceN > highestN) highestN = forceN;
      // Samples before the film's first caption count for the highest so far and for no caption.
      if ((timesS[at] as number) + offsetS >= cue / ratePerS && forceN > hereN) hereN = forceN;
    }
    if (hereN === Number.NEGATIVE_INFINITY) continue;
    const middleS = (cue + 0.5) / ratePerS - offsetS;
    const phase = phases.find(({ fromS, toS }) => fromS <= middleS && middleS < toS)?.words;
    const parts = [
      shown(hereN),
      ...(hereN < highestN ? [`highest ${shown(highestN)}`] : []),
      ...(phase ? [phase] : []),
    ];
    blocks.push(`${stamp(cue / ratePerS)} --> ${stamp(endS)}\n${escapeCue(parts.join(" · "))}`);
  }
  return ok(`${blocks.join("\n\n")}\n`);
}

/** Hours of two digits or more, minutes, seconds, thousandths: a WebVTT timestamp. */
function stamp(seconds: number): string {
  const ms = Math.round(seconds * 1000);
  const two = (value: number) => String(value).padStart(2, "0");
  const rest = String(ms % 1000).padStart(3, "0");
  return `${two(Math.floor(ms / 3_600_000))}:${two(Math.floor(ms / 60_000) % 60)}:${two(Math.floor(ms / 1000) % 60)}.${rest}`;
}

/** Cue text may hold neither markup nor a line that ends the cue. */
function escapeCue(text: string): string {
  return text.replace(/\s+/g, " ").replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;");
}

function problemsOf({ timesS, forcesN, momentS, filmMomentS, ratePerS = 5 }: FilmCaptions): Problem[] {
  const problems: Problem[] = [];
  const wrong = (field: string, message: string, found: string, expected: string) =>
    problems.push({ code: "INPUT_FIELD", message, where: { field }, found, expected });
  if (timesS.length === 0 || timesS.length !== forcesN.length)
    wrong(
      "timesS",
      "Captions need samples.",
      `${timesS.length} times, ${forcesN.length} forces`,
      "as many of both, at least one",
    );
  for (let i = 0; i < timesS.length; i++) {
    const time = timesS[i] as number;
    if (Number.isFinite(time) && (i === 0 || time >= (timesS[i - 1] as number))) continue;
    wrong(
      "timesS",
      "The samples' times must not run backward.",
      `${time} s at sample ${i + 1}`,
      "rising times",
    );
    break;
  }
  if (!(ratePerS >= 0.1 && ratePerS <= 30))
    wrong("ratePerS", "So many captions a second cannot be shown.", String(ratePerS), "from 0.1 to 30");
  for (const [field, value] of [
    ["momentS", momentS],
    ["filmMomentS", filmMomentS],
  ] as const)
    if (!Number.isFinite(value)) wrong(field, "A moment is a time.", String(value), "seconds");
  return problems;
}
