import type { AssessedRig, RigFields, RigLoad } from "../../rig/mod.ts";
import { formatForce, formatNumber, newtons } from "../../units/mod.ts";
import { figure, label, textWidth, wrapped } from "../figures/figure-parts.ts";
import { type Markup, markup } from "../markup.ts";
import { drawBasket, drawChoke } from "./rig-hitches.ts";
import type { PathPoint } from "./rig-path.ts";
import { arrow, block, type DrawnPart, lineOfParts, measure, plate } from "./rig-signs.ts";

/**
 * A rig drawn as it hangs: the long line in its true shape, the lift with its legs, the turn over a pulley, the straight
 * pull, the fall; every part with a number, and under the drawing a key with each part's margin. The part that is the
 * likeliest to give way first is ringed and says so in words.
 *
 * rig and what came of assessing it; width in the units of the page. Lengths are to scale along and up alike where the load
 * is a long line; elsewhere only angles are.
 *
 * @example
 * drawRig(rig, assessed, { id: "raft", width: 860 }) // "<svg …>…</svg>"
 */
export function drawRig(
  rig: RigFields,
  assessed: AssessedRig,
  about: { readonly id: string; readonly width: number; readonly simulated?: boolean },
): string {
  const { width } = about;
  const likeliest = firstToFail(assessed);
  const parts = rig.parts.map((part, index) => ({
    ...part,
    number: index + 1,
    first: likeliest.has(index),
  }));
  const scene = sceneOf(rig.load, assessed, parts, width);
  const key = keyOf(rig, assessed, likeliest, width, scene.height + 18);
  return figure({
    id: about.id,
    width,
    height: scene.height + 18 + key.height,
    kind: "rig",
    title: `The rig “${rig.name}” as it hangs`,
    description: [...assessed.forces.because, ...key.lines].join(" "),
    simulated: about.simulated,
    drawing: [scene.drawing, key.drawing],
  });
}

type Part = DrawnPart & RigFields["parts"][number];
type Scene = { readonly drawing: Markup; readonly height: number };

/** The parts that are the likeliest to give way first: one, or several that are alike. */
function firstToFail({ parts }: AssessedRig): ReadonlySet<number> {
  const most = Math.max(...parts.map(({ chanceFirst }) => chanceFirst ?? 0));
  return new Set(
    parts.flatMap(({ chanceFirst }, index) => ((chanceFirst ?? 0) > most - 1e-6 ? [index] : [])),
  );
}

function sceneOf(load: RigLoad, assessed: AssessedRig, parts: readonly Part[], width: number): Scene {
  switch (load.kind) {
    case "straight pull":
      return straight(load.loadN, parts, width);
    case "long line":
      return longLine(load, assessed, parts, width);
    case "lift":
      return lift(load, parts, width);
    case "basket":
      return drawBasket({ load, ...hitched(parts), width });
    case "choke":
      return drawChoke({ load, ...hitched(parts), width });
    case "redirect":
      return turned(load, parts, width);
    case "fall":
      return fall(load, parts, width);
  }
}

const kN = (forceN: number) => formatForce(newtons(forceN), forceN < 1000 ? "N" : "kN").text;
const metres = (lengthM: number) => `${Number(lengthM.toPrecision(3))} m`;
const at = (parts: readonly Part[], place: Part["place"]) => parts.filter((part) => part.place === place);

const hitched = (parts: readonly Part[]) => ({
  above: at(parts, "above the legs"),
  inLegs: at(parts, "in each leg"),
});

function straight(loadN: number, parts: readonly Part[], width: number): Scene {
  const y = 74;
  const [left, right] = [30, width - 96];
  const path = [
    { x: left, y },
    { x: right, y },
  ];
  return {
    height: 120,
    drawing: markup`${bareEnd(parts, { x: left, y }, 180)}${lineOfParts(path, parts)}${arrow({ x: right + 6, y }, { x: width - 14, y }, kN(loadN), -14)}`,
  };
}

function longLine(
  load: Extract<RigLoad, { kind: "long line" }>,
  { forces }: AssessedRig,
  parts: readonly Part[],
  width: number,
): Scene {
  const shape = forces.line?.shape ?? [];
  const ys = shape.map(({ yM }) => yM);
  const [top, bottom] = [Math.max(...ys, 0), Math.min(...ys, 0)];
  const margin = 34;
  // One scale along and up: what is drawn is the line's true shape.
  const scale = Math.min((width - 2 * margin) / load.spanM, 420 / Math.max(top - bottom, 1e-9));
  const left = (width - scale * load.spanM) / 2;
  const place = ({ xM, yM }: { xM: number; yM: number }): PathPoint => ({
    x: left + scale * xM,
    y: 64 + scale * (top - yM),
  });
  const path = shape.map(place);
  const [start, end] = [path[0] as PathPoint, path.at(-1) as PathPoint];
  const lowest = 64 + scale * (top - bottom);
  const positionM = load.positionM ?? load.spanM / 2;
  const hangs = path.reduce((near, point) =>
    Math.abs(point.x - left - scale * positionM) < Math.abs(near.x - left - scale * positionM) ? point : near,
  );
  const weight =
    load.loadN > 0
      ? markup`<path d="M${hangs.x} ${hangs.y}L${hangs.x} ${hangs.y + 34}" stroke="currentColor" stroke-width="2.2"/>${block(hangs.x, hangs.y + 34, kN(load.loadN))}`
      : "";
  const spanAt = Math.max(lowest + (load.loadN > 0 ? 98 : 34), end.y + 34, start.y + 34);
  const sagM = forces.line?.sagM ?? 0;
  const sagAtX = left + scale * (forces.line?.sagAtM ?? positionM);
  const chordY = start.y + ((sagAtX - start.x) / (end.x - start.x)) * (end.y - start.y);
  const sag = markup`<path d="M${start.x} ${start.y}L${end.x} ${end.y}" stroke="currentColor" stroke-opacity="0.4" stroke-dasharray="3 5"/>${label(sagAtX + 30, chordY + scale * sagM + 30, `${metres(sagM)} below the chord`, { rim: true })}`;
  return {
    height: spanAt + 14,
    drawing: markup`${sag}${bareEnd(parts, start, 180)}${parts.at(-1)?.kind === "anchor" ? "" : plate({ ...end, turnDeg: 0 }, 1)}${lineOfParts(path, parts)}${weight}${measure({ x: start.x, y: spanAt }, { x: end.x, y: spanAt }, metres(load.spanM))}`,
  };
}

function lift(load: Extract<RigLoad, { kind: "lift" }>, parts: readonly Part[], width: number): Scene {
  const above = at(parts, "above the legs");
  const inLegs = at(parts, "in each leg");
  const middle = width / 2;
  const turn = (load.angleFromVerticalDeg * Math.PI) / 180;
  const joint = { x: middle, y: 30 + Math.max(70, 74 * above.length) };
  const reach = Math.min(
    Math.max(170, 84 * inLegs.length) / Math.max(Math.cos(turn), 0.2),
    (width / 2 - 40) / Math.max(Math.sin(turn), 1e-6),
  );
  const foot = (side: number): PathPoint => ({
    x: middle + side * reach * Math.sin(turn),
    y: joint.y + reach * Math.cos(turn),
  });
  const sides =
    load.legs === 1 || turn === 0 ? [1] : load.legs === 2 ? [-1, 1] : [-1, -0.3, 0.3, 1].slice(0, 4);
  const shown = load.legs === 3 ? [-1, 0.25, 1] : sides;
  const y = foot(1).y;
  const legs = shown.map((side) =>
    lineOfParts([joint, { x: foot(side).x, y }], inLegs, { numbered: side === 1, up: 1 }),
  );
  const wide = Math.max(44, foot(1).x - foot(-1).x + 30);
  const said = `${load.legs} ${load.legs === 1 ? "leg" : "legs"}, ${load.angleFromVerticalDeg}° from the vertical`;
  return {
    height: y + 72,
    drawing: markup`${plate({ x: middle, y: 22, turnDeg: 90 }, -1)}${lineOfParts([{ x: middle, y: 24 }, joint], above)}${legs}<circle cx="${middle}" cy="${joint.y}" r="8" fill="var(--paper, #fff)" stroke="currentColor" stroke-width="2.2"/><rect x="${middle - wide / 2}" y="${y}" width="${wide}" height="24" fill="var(--paper, #fff)" stroke="currentColor" stroke-width="2.2"/>${label(middle, y + 42, kN(load.loadN), { anchor: "middle", weight: 700 })}${label(middle, y + 60, said, { anchor: "middle" })}`,
  };
}

function turned(load: Extract<RigLoad, { kind: "redirect" }>, parts: readonly Part[], width: number): Scene {
  const inLine = at(parts, "in the line");
  const anchored = at(parts, "at the pulley’s anchor").sort(
    (one, other) => Number(one.kind === "anchor") - Number(other.kind === "anchor"),
  );
  const turn = (load.turnDeg * Math.PI) / 180;
  const wheel = 20;
  const arm = Math.min(280, width / 2 - 50);
  const hold = Math.max(96, 66 * anchored.length);
  // The pulley pulls toward the middle of both sides; what holds it lies the other way.
  const held = { x: -Math.cos(turn / 2), y: -Math.sin(turn / 2) };
  const highest = Math.min(-wheel, held.y * hold, -wheel * Math.sin(turn) - arm * Math.cos(turn));
  const hub = { x: width / 2 - (load.turnDeg > 30 && load.turnDeg < 150 ? arm / 3 : 0), y: 34 - highest };
  const anchor = { x: hub.x + held.x * hold, y: hub.y + held.y * hold };
  const turnDeg = (Math.atan2(held.y, held.x) * 180) / Math.PI;
  const fastened = anchored.at(-1)?.kind === "anchor" ? "" : plate({ ...anchor, turnDeg }, 1);
  // The load's side comes up on the left, goes over the wheel by the turn, and leaves along its rim.
  const onRim = (angle: number): PathPoint => ({
    x: hub.x - wheel * Math.cos(angle),
    y: hub.y - wheel * Math.sin(angle),
  });
  const below = { x: hub.x - wheel, y: hub.y + Math.max(130, 70 * inLine.length) };
  const leaves = onRim(turn);
  const hand = { x: leaves.x + arm * Math.sin(turn), y: leaves.y - arm * Math.cos(turn) };
  const path = [hand, ...[1, 0.75, 0.5, 0.25, 0].map((part) => onRim(part * turn)), below];
  return {
    height: Math.max(below.y + 60, hand.y + 20),
    drawing: markup`${lineOfParts([hub, anchor], anchored)}${fastened}${lineOfParts(path, inLine, { up: -1 })}<circle cx="${hub.x}" cy="${hub.y}" r="${wheel + 3}" fill="var(--paper, #fff)" stroke="currentColor" stroke-width="2.4"/><circle cx="${hub.x}" cy="${hub.y}" r="4" fill="currentColor"/>${block(below.x, below.y, kN(load.loadN))}${label(below.x - 30, below.y + 20, `turned by ${load.turnDeg}°`, { anchor: "end", rim: true })}`,
  };
}

function fall(load: Extract<RigLoad, { kind: "fall" }>, parts: readonly Part[], width: number): Scene {
  const x = width / 2 - 40;
  const length = Math.max(190, 76 * parts.length);
  const top = { x, y: 26 };
  const end = { x, y: 26 + length };
  const side = x + 90;
  return {
    height: end.y + 62,
    drawing: markup`${parts[0]?.kind === "anchor" ? "" : plate({ ...top, turnDeg: 90 }, -1)}${lineOfParts([top, end], parts, { up: -1 })}${block(x, end.y, kN(load.weightN))}${block(side, 60, "", true)}${arrow({ x: side, y: 96 }, { x: side, y: end.y + 10 })}${label(side + 14, (96 + end.y) / 2, `falls ${metres(load.freeFallM)} free`, { rim: true })}`,
  };
}

/** What the rig is made fast to, where no part says it. */
function bareEnd(parts: readonly Part[], { x, y }: PathPoint, turnDeg: number): Markup | "" {
  return parts[0]?.kind === "anchor" ? "" : plate({ x, y, turnDeg }, 1);
}

/** The key: each number with its part, its margin and what is to be said of it. */
function keyOf(
  rig: RigFields,
  assessed: AssessedRig,
  likeliest: ReadonlySet<number>,
  width: number,
  top: number,
) {
  const words =
    likeliest.size > 1 ? ", as likely as any to give way first" : ", the likeliest to give way first";
  const lines = rig.parts.map((part, index) => {
    const margin = assessed.parts[index]?.margin;
    const many = part.count * part.sideBySide > 1 ? ` (${part.count * part.sideBySide})` : "";
    const said =
      margin === undefined ? "no strength stated" : `margin ${formatNumber(margin, { significant: 2 })}`;
    return `${index + 1} ${part.name}${many}: ${said}${likeliest.has(index) ? words : ""}.`;
  });
  let y = top + 14;
  const drawing = lines.map((line, index) => {
    const first = likeliest.has(index);
    const rows = wrapped(line.replace(/\.$/, ""), Math.floor(width / textWidth("n", 13)), 3);
    const shown = rows.map((row, place) =>
      label(place === 0 ? 0 : 16, y + 18 * place, row, {
        size: 13,
        ...(first ? { weight: 700, colour: "var(--accent, #a8480c)" } : {}),
      }),
    );
    y += 18 * rows.length + 3;
    return markup`${shown}`;
  });
  return { drawing: markup`<g class="key">${drawing}</g>`, lines, height: y - top };
}
