import type { RigLoad } from "../../rig/mod.ts";
import { formatForce, newtons } from "../../units/mod.ts";
import { label } from "../figures/figure-parts.ts";
import { type Markup, markup } from "../markup.ts";
import type { PathPoint } from "./rig-path.ts";
import { type DrawnPart, lineOfParts, plate } from "./rig-signs.ts";

type Hitch<K extends RigLoad["kind"]> = {
  readonly load: Extract<RigLoad, { kind: K }>;
  readonly above: readonly DrawnPart[];
  readonly inLegs: readonly DrawnPart[];
  readonly width: number;
};

const degrees = Math.PI / 180;

/** A round load in a basket: the rope runs from the ring round it and back, at its own angle. */
export function drawBasket({ load, above, inLegs, width }: Hitch<"basket">) {
  const joint = { x: width / 2, y: 30 + Math.max(70, 74 * above.length) };
  const half = (load.includedAngleDeg / 2) * degrees;
  // Legs that hang nearly side by side would meet far above: they hang from a bar instead.
  const bar = half < 12 * degrees;
  const radius = Math.max(52, 110 * Math.sin(half));
  const reach = bar ? Math.max(150, 84 * inLegs.length) : radius / Math.sin(half);
  const centre = { x: joint.x, y: joint.y + reach };
  const start = bar ? Math.PI : Math.PI + half;
  const path = [
    bar ? { x: centre.x - radius, y: joint.y } : joint,
    ...arc(centre, radius, start, Math.PI - start),
    bar ? { x: centre.x + radius, y: joint.y } : joint,
  ];
  const hung = bar
    ? markup`<path d="M${centre.x - radius - 12} ${joint.y}H${centre.x + radius + 12}" stroke="currentColor" stroke-width="6"/>`
    : ring(joint);
  const said = `${many(load.slings, "basket")}, ${load.includedAngleDeg}° between the legs`;
  return {
    height: centre.y + radius + 52,
    drawing: markup`${roundLoad(centre, radius, load.loadN)}${hangs(joint, above, width)}${lineOfParts(path, inLegs)}${hung}${label(centre.x, centre.y + radius + 34, said, { anchor: "middle" })}`,
  };
}

/** A round load in a choke: the standing part, the eye, and the noose at the angle that was said. */
export function drawChoke({ load, above, inLegs, width }: Hitch<"choke">) {
  const joint = { x: width / 2, y: 30 + Math.max(70, 74 * above.length) };
  const eye = { x: joint.x, y: joint.y + Math.max(120, 84 * inLegs.length) };
  const radius = 58;
  // Both sides of the noose leave the eye at this angle from straight down.
  const half = Math.min(180 - load.chokeDeg, 84) * degrees;
  const centre = { x: eye.x, y: eye.y + radius / Math.sin(half) };
  const noose = [eye, ...arc(centre, radius, Math.PI + half, -half), eye];
  const said = `${many(load.slings, "choke")}, choked at ${load.chokeDeg}°`;
  return {
    height: centre.y + radius + 52,
    drawing: markup`${roundLoad(centre, radius, load.loadN)}${hangs(joint, above, width)}${lineOfParts(noose, [])}${lineOfParts([joint, eye], inLegs)}${ring(joint)}<circle cx="${eye.x}" cy="${eye.y}" r="10" fill="none" stroke="currentColor" stroke-width="4"/>${label(centre.x, centre.y + radius + 34, said, { anchor: "middle" })}`,
  };
}

/** Points along a circle, from one angle to another, counted from the right and downward. */
function arc({ x, y }: PathPoint, radius: number, from: number, to: number): PathPoint[] {
  return Array.from({ length: 25 }, (_, index) => {
    const angle = from + ((to - from) * index) / 24;
    return { x: x + radius * Math.cos(angle), y: y + radius * Math.sin(angle) };
  });
}

function hangs(joint: PathPoint, above: readonly DrawnPart[], width: number): Markup {
  return markup`${plate({ x: width / 2, y: 22, turnDeg: 90 }, -1)}${lineOfParts([{ x: width / 2, y: 24 }, joint], above)}`;
}

const ring = ({ x, y }: PathPoint) =>
  markup`<circle cx="${x}" cy="${y}" r="8" fill="var(--paper, #fff)" stroke="currentColor" stroke-width="2.2"/>`;

function roundLoad({ x, y }: PathPoint, radius: number, loadN: number): Markup {
  const force = formatForce(newtons(loadN), loadN < 1000 ? "N" : "kN").text;
  return markup`<circle cx="${x}" cy="${y}" r="${radius - 6}" fill="var(--paper, #fff)" stroke="currentColor" stroke-width="2.2"/>${label(x, y + 5, force, { anchor: "middle", weight: 700 })}`;
}

const many = (count: number, what: string) => (count === 1 ? `one ${what}` : `${count} ${what}s`);
