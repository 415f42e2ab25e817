import { type CellFindings, type JudgedPull, pullName, type SeriesFindings } from "../../findings/mod.ts";
import { type OutcomeKind, outcomeKinds } from "../../series/mod.ts";
import { escapeText, Markup, markup } from "../markup.ts";
import { type MarkPlace, outcomeMarks, ringAbout } from "./outcome-marks.ts";
import { fixedText } from "./short-numbers.ts";
import { standApart } from "./stand-apart.ts";
import { heightOf, type StripMeasure } from "./strip-panels.ts";

/** Which pulls are shown, and which of them have a ring. */
export type StripMarks = {
  readonly shown: ReadonlyMap<string, ShownPull>;
  readonly ringed: ReadonlySet<string> | undefined;
};

/** A pull that has a mark: how it ended, and what the height of its mark says. */
export type ShownPull = { readonly pull: JudgedPull; readonly kind: OutcomeKind; readonly value: number };

/** The pulls that have a mark, by their ids, in the order of the findings. */
export function shownPulls({ pulls }: SeriesFindings, measure: StripMeasure): ReadonlyMap<string, ShownPull> {
  const shown = new Map<string, ShownPull>();
  for (const pull of pulls) {
    const value = heightOf(pull, measure);
    if (value !== undefined && pull.outcome !== undefined)
      shown.set(pull.pullId, { pull, kind: pull.outcome.kind, value });
  }
  return shown;
}

/** The marks of a cell beside one another, rings beneath them and each outcome in a group. */
export function cellMarks(
  { pulls }: CellFindings,
  { shown, ringed }: StripMarks,
  where: { readonly centre: number; readonly half: number; readonly y: (value: number) => number },
): Markup {
  const here: ShownPull[] = [];
  for (const id of pulls) {
    const one = shown.get(id);
    if (one !== undefined) here.push(one);
  }
  const heights = new Float64Array(here.length);
  const middles = new Float64Array(here.length);
  const reaches = new Float64Array(here.length);
  for (let index = 0; index < here.length; index++) {
    const { kind, value } = here[index] as ShownPull;
    const y = where.y(value);
    heights[index] = y;
    // An arrow stands above the force that it marks.
    middles[index] = kind === "stopped" ? y - 6 : y;
    reaches[index] = kind === "stopped" ? 8 : 4.7;
  }
  const shifts = standApart(middles, reaches, where.half);
  const rings: Markup[] = [];
  const marks: Record<OutcomeKind, MarkPlace[]> = { broke: [], slipped: [], stopped: [], void: [] };
  for (let index = 0; index < here.length; index++) {
    const { pull, kind } = here[index] as ShownPull;
    const x = where.centre + (shifts[index] as number);
    const y = heights[index] as number;
    marks[kind].push({ x, y, title: markTitle(pull) });
    if (ringed?.has(pull.pullId)) rings.push(ringAbout(kind, x, y));
  }
  return markup`${rings}${outcomeKinds.map((kind) => marks[kind].length > 0 && outcomeMarks(kind, marks[kind]))}`;
}

function markTitle(pull: JudgedPull): Markup {
  const { outcome, strengthN, legEfficiency } = pull;
  const place = outcome?.kind === "broke" || outcome?.kind === "slipped" ? outcome.place : "";
  const force = strengthN === undefined ? "" : `: ${fixedText(strengthN / 1000, 1)} kN`;
  const leg = legEfficiency === undefined ? "" : `, leg efficiency ${fixedText(legEfficiency * 100, 0)} %`;
  // Only what a person wrote is escaped: a title has some 50 characters of ours and five of theirs.
  return new Markup(
    `${escapeText(pullName(pull))}${force}${leg}, ${outcome?.kind ?? "not judged"}${place === "" ? "" : ` (${escapeText(place)})`}`,
  );
}
