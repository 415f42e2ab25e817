import type { JudgedPull } from "../findings/mod.ts";
import { at, figure, label, outcomeMark, textWidth } from "./figure-parts.ts";
import { Markup, markup } from "./markup.ts";
import { drawRope } from "./rope-drawing.ts";

/**
 * Where it failed, on a drawn connector: a leg between two pins, its spliced end thick, and at each place how many pulls
 * broke or slipped there. Places that no drawing has (free words, "not seen") are counted underneath. Nothing where no pull
 * failed.
 *
 * @example
 * figurePlaces(findings.pulls, { id: "places", width: 860 })
 */
export function figurePlaces(
  pulls: readonly JudgedPull[],
  about: { readonly id: string; readonly width: number; readonly simulated?: boolean },
): string | undefined {
  const counts = countsOf(pulls);
  if (counts.length === 0) return undefined;
  const { width } = about;
  const rope = { left: 34, right: width - 34, y: 96, thick: 17 };
  const length = rope.right - rope.left;
  const bury = { from: rope.left + 0.16 * length, to: rope.left + 0.52 * length };
  const x = (share: number) => rope.left + share * length;
  const drawn = counts.filter(({ place }) => places.has(place));
  const others = counts.filter(({ place }) => !places.has(place));
  const marks = drawn
    .map((one) => ({ ...one, share: places.get(one.place) as number }))
    .sort((a, b) => a.share - b.share)
    .map(({ place, broke, slipped, share }, i) => {
      // Neighbours stand at different heights, so that their words do not meet.
      const up = i % 2 === 0;
      const y = up ? 40 : 152;
      const anchor = x(share) < textWidth(place, 12) ? "start" : x(share) > width - 70 ? "end" : "middle";
      const stem = markup`<path d="M${at(x(share))} ${up ? 62 : 132}L${at(x(share))} ${up ? rope.y - 12 : rope.y + 12}" stroke="currentColor" stroke-opacity="0.6"/>`;
      const signs = [
        broke > 0
          ? markup`${outcomeMark("broke", x(share) - (slipped > 0 ? 24 : 8), y + 12, `${broke} broke: ${place}`)}${label(x(share) - (slipped > 0 ? 17 : 0), y + 16, String(broke), { weight: 700 })}`
          : "",
        slipped > 0
          ? markup`${outcomeMark("slipped", x(share) + (broke > 0 ? 8 : -8), y + 12, `${slipped} slipped: ${place}`)}${label(x(share) + (broke > 0 ? 16 : 1), y + 16, String(slipped), { weight: 700 })}`
          : "",
      ];
      return markup`<g class="place">${stem}${label(x(share), up ? y - 4 : y + 32, place, { anchor })}${signs}</g>`;
    });
  const pins = [rope.left, rope.right].map(
    (cx) =>
      markup`<circle cx="${at(cx)}" cy="${rope.y}" r="13" fill="var(--paper, #fff)" stroke="currentColor" stroke-width="2.4"/>`,
  );
  const drawing = [
    markup`<g transform="translate(${at(rope.left)} ${at(rope.y - rope.thick / 2)})" aria-hidden="true">${new Markup(drawRope({ length, width: rope.thick, orientation: "lying" }))}</g>`,
    // The buried tail makes the rope thicker, and tapers to its end.
    markup`<g transform="translate(${at(bury.from)} ${at(rope.y - rope.thick * 0.72)})" aria-hidden="true">${new Markup(drawRope({ length: 0.7 * (bury.to - bury.from), width: rope.thick * 1.44, orientation: "lying" }))}</g>`,
    ...pins,
    ...marks,
    ...(others.length === 0
      ? []
      : [
          label(
            0,
            214,
            `Elsewhere: ${others.map(({ place, broke, slipped }) => `${place} (${broke + slipped})`).join(", ")}`,
            { opacity: 0.85 },
          ),
        ]),
  ];
  return figure({
    id: about.id,
    width,
    height: others.length === 0 ? 196 : 224,
    kind: "places",
    title: "Where it failed",
    description: counts
      .map(({ place, broke, slipped }) => `${place}: ${broke} broke, ${slipped} slipped`)
      .join("; "),
    simulated: about.simulated,
    drawing,
  });
}

/** How far along the drawn leg each place lies, by the trade's names. */
const places: ReadonlyMap<string, number> = new Map([
  ["at the pin", 0],
  ["throat", 0.13],
  ["crossing", 0.2],
  ["lock stitch", 0.27],
  ["bury", 0.36],
  ["taper end", 0.53],
  ["clear span", 0.72],
  ["noose", 0.84],
  ["knot", 0.95],
]);

function countsOf(pulls: readonly JudgedPull[]) {
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
