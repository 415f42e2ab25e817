import type { JudgedPull } from "../../findings/mod.ts";
import { Markup, markup } from "../markup.ts";
import { at, figure, label, textWidth, wrapped } from "./figure-parts.ts";
import { outcomeMark } from "./outcome-marks.ts";
import { leadRope } from "./rope-drawing.ts";

/** What failed at one place. */
export type FailureCount = { readonly place: string; readonly broke: number; readonly slipped: number };

/**
 * Where it failed, on a drawn connector: a loop over two pins, thick where the tail lies buried and thinning out where it
 * is tapered, and at each place how many pulls broke or slipped there. Places that no drawing has (free words, "not seen")
 * are counted underneath. Nothing where no pull failed.
 *
 * @example
 * figurePlaces(findings.pulls, { id: "places", width: 860 })
 */
export function figurePlaces(
  pulls: readonly JudgedPull[],
  about: { readonly id: string; readonly width: number; readonly simulated?: boolean },
): string | undefined {
  const counts = failureCounts(pulls);
  if (counts.length === 0) return undefined;
  const { width, simulated = false } = about;
  const on = (leg: Leg) =>
    counts.flatMap((count) => {
      const place = places.get(count.place);
      return place?.leg === leg ? [{ ...count, share: place.share }] : [];
    });
  const others = counts.filter(({ place }) => !places.has(place));
  const [left, right] = [14 + reach, width - 14 - reach];
  const x = (share: number) => left + share * (right - left);
  const upper = spread(on("upper"), { x, width });
  const lower = spread(on("lower"), { x, width });
  const middle = (simulated ? 24 : 8) + upper.height + reach + 16;
  const below = middle + reach + 16 + lower.height;
  const elsewhere = wrapped(
    others.length === 0
      ? ""
      : `Elsewhere: ${others.map(({ place, broke, slipped }) => `${place} (${broke + slipped})`).join(", ")}`,
    Math.floor(width / (12 * textWidth("x", 1))),
    6,
  ).filter((line) => line !== "");
  return figure({
    id: about.id,
    width,
    height: below + 6 + elsewhere.length * 16,
    kind: "places",
    title: "Where it failed",
    description: counts
      .map(({ place, broke, slipped }) => `${place}: ${broke} broke, ${slipped} slipped`)
      .join("; "),
    simulated,
    drawing: [
      markup`<g aria-hidden="true">${connector(left, right, middle)}</g>`,
      ...upper.labels.map((one) => placeLabel(one, { edge: middle - reach, way: -1 })),
      ...lower.labels.map((one) => placeLabel(one, { edge: middle + reach, way: 1 })),
      ...elsewhere.map((line, row) => label(0, below + 12 + row * 16, line, { opacity: 0.85 })),
    ],
  });
}

/** How many broke and slipped at each place, in the order in which the places first came. */
export function failureCounts(pulls: readonly JudgedPull[]): FailureCount[] {
  const counts = new Map<string, { broke: number; slipped: number }>();
  for (const { outcome } of pulls) {
    if (outcome?.kind !== "broke" && outcome?.kind !== "slipped") continue;
    const place = outcome.place === "" ? "not said" : outcome.place;
    const own = counts.get(place) ?? { broke: 0, slipped: 0 };
    own[outcome.kind] += 1;
    counts.set(place, own);
  }
  return [...counts].map(([place, count]) => ({ place, ...count }));
}

type Leg = "upper" | "lower";

/** Where the taper of the buried tail ends, as a share of the leg. */
const taperEnd = 0.62;

/** How far along which leg of the drawn loop each place lies, by the trade's names. */
const places: ReadonlyMap<string, { readonly leg: Leg; readonly share: number }> = new Map([
  ["at the pin", { leg: "upper", share: 0 }],
  ["throat", { leg: "upper", share: 0.1 }],
  ["crossing", { leg: "upper", share: 0.17 }],
  ["lock stitch", { leg: "upper", share: 0.26 }],
  ["bury", { leg: "upper", share: 0.4 }],
  ["taper end", { leg: "upper", share: taperEnd }],
  ["clear span", { leg: "lower", share: 0.45 }],
  ["noose", { leg: "lower", share: 0.8 }],
  ["knot", { leg: "lower", share: 0.95 }],
]);

/** From the middle of the pins to the middle of the rope about them. */
const reach = 30;
const thick = 20;
/** By how much a rope is thicker with its tail in it, as it is drawn. */
const swell = 0.6;

/** The loop, from its throat along the upper leg, round the far pin, back along the lower leg and round the near pin. */
function connector(left: number, right: number, middle: number): Markup {
  const length = right - left;
  const turn = (cx: number, from: number) =>
    Array.from({ length: 7 }, (_, step) => {
      const angle = ((from + step * 30) * Math.PI) / 180;
      return [cx + reach * Math.cos(angle), middle + reach * Math.sin(angle)] as const;
    });
  const along = (y: number, shares: readonly number[]) =>
    shares.map((share) => [left + share * length, y] as const);
  const tenths = Array.from({ length: 9 }, (_, i) => (i + 1) / 10);
  const throat = [left + 0.06 * length, middle - reach] as const;
  const through = [
    throat,
    ...along(middle - reach, tenths),
    ...turn(right, -90),
    ...along(middle + reach, tenths.toReversed()),
    ...turn(left, 90),
    throat,
  ];
  // As shares of the way round: both legs and two half circles.
  const whole = 2 * length + 2 * Math.PI * reach;
  const [full, end] = [((0.5 - 0.06) * length) / whole, ((taperEnd - 0.06) * length) / whole];
  const thickness = (share: number) =>
    share <= full ? 1 + swell : share >= end ? 1 : 1 + swell * ((end - share) / (end - full));
  const pins = [left, right].map(
    (cx) =>
      markup`<circle cx="${at(cx)}" cy="${at(middle)}" r="${reach - thick / 2 - 2}" fill="var(--paper, #fff)" stroke="currentColor" stroke-width="2.2"/>`,
  );
  return markup`${new Markup(leadRope({ through, width: thick, thickness }))}${pins}`;
}

type Placed = FailureCount & { readonly at: number; readonly x: number; readonly tier: number };

/**
 * Labels in one row, or in two where one has no room, each as near to its place as its neighbours leave it; with the height
 * that they take.
 */
function spread(
  counts: readonly (FailureCount & { readonly share: number })[],
  { x, width }: { readonly x: (share: number) => number; readonly width: number },
): { readonly labels: readonly Placed[]; readonly height: number } {
  const sorted = counts
    .toSorted((a, b) => a.share - b.share)
    .map(({ share, ...count }) => ({ ...count, at: x(share), wide: wideOf(count) }));
  const tiers = sorted.reduce((sum, { wide }) => sum + wide, 0) > width ? 2 : 1;
  const labels = Array.from({ length: tiers }, (_, tier) =>
    row(
      sorted.filter((_one, index) => index % tiers === tier),
      width,
    ).map((one) => ({ ...one, tier })),
  ).flat();
  return { labels, height: labels.length === 0 ? 0 : tiers * tierHeight };
}

const tierHeight = 48;

/** A label is as wide as its word, or its signs, and a gap. */
function wideOf({ place, broke, slipped }: FailureCount): number {
  return Math.max(textWidth(place, 12), broke > 0 && slipped > 0 ? 64 : 34) + 10;
}

function row<T extends { readonly at: number; readonly wide: number }>(labels: readonly T[], width: number) {
  const middles: number[] = [];
  let free = 0;
  for (const { at: wanted, wide } of labels) {
    const from = Math.max(wanted - wide / 2, free);
    middles.push(from + wide / 2);
    free = from + wide;
  }
  // What was pushed beyond the edge pushes those before it back.
  let end = width;
  for (let i = labels.length - 1; i >= 0; i--) {
    const half = (labels[i]?.wide ?? 0) / 2;
    middles[i] = Math.min(middles[i] as number, end - half);
    end = (middles[i] as number) - half;
  }
  return labels.map((one, i) => ({ ...one, x: middles[i] as number }));
}

/** The word, under it the signs with their counts, and a stem from there to the rope. */
function placeLabel(
  { place, broke, slipped, at: foot, x, tier }: Placed,
  { edge, way }: { readonly edge: number; readonly way: 1 | -1 },
): Markup {
  const surface = edge + way * ((thick / 2) * (1 + swell));
  const near = surface + way * (7 + tier * tierHeight);
  const signs = way < 0 ? near - 12 : near + 14;
  const word = way < 0 ? signs - 14 : signs + 20;
  const both = broke > 0 && slipped > 0;
  const sign = (kind: "broke" | "slipped", count: number, middle: number) =>
    count === 0
      ? ""
      : markup`${outcomeMark(kind, middle - 8, signs, `${count} ${kind}: ${place}`)}${label(middle, signs + 4, String(count), { weight: 700 })}`;
  return markup`<g class="place"><path d="M${at(x)} ${at(near)}L${at(foot)} ${at(surface + way)}" stroke="currentColor" stroke-opacity="0.6"/>${label(x, word, place, { anchor: "middle" })}${sign("broke", broke, both ? x - 16 : x)}${sign("slipped", slipped, both ? x + 16 : x)}</g>`;
}
