import type { StepFigure } from "../../splice/mod.ts";
import { Markup, markup } from "../markup.ts";
import { type LedRope, leadRope } from "./rope-drawing.ts";

type Way = LedRope["through"];

/**
 * The drawing of one step of a splice, in the one rope style: 240 wide and 84 high, in the page's own ink. What it shows is
 * said by its name for screen readers; the step's words stand beside it.
 *
 * @example
 * drawStep("bury").startsWith("<svg") // true
 */
export function drawStep(figure: StepFigure): string {
  const { says, draw } = figures[figure];
  return markup`<svg class="step-figure" viewBox="0 0 240 84" role="img" aria-label="${says}">${draw()}</svg>`
    .text;
}

const thick = 11;
const host = 15;

const rope = (through: Way, width = thick, thickness?: LedRope["thickness"]) =>
  new Markup(leadRope({ through, width, ...(thickness === undefined ? {} : { thickness }) }));

/** Full thickness to the tip, in steps: two strands of twelve less at each. */
const tapered = (from: number) => (share: number) =>
  share <= from ? 1 : 1 - (Math.ceil(((share - from) / (1 - from)) * 5) * 2) / 14;

const accent = "var(--accent, #a8480c)";
const line = (d: string, more = "") =>
  new Markup(
    `<path d="${d}" fill="none" stroke="${accent}" stroke-width="2" stroke-linecap="round" stroke-linejoin="round"${more}/>`,
  );
/** A mark across the rope. */
const tick = (x: number, y: number) => line(`M${x} ${y - 12}V${y + 12}`);
/** An arrow whose head points right, or left where it runs so. */
const arrow = (x: number, y: number, by: number) => {
  const head = by > 0 ? -6 : 6;
  return line(`M${x} ${y}h${by}m${head} -4l${-head} 4l${head} 4`);
};
/** A tail that lies hidden in its host. */
const hidden = (d: string) => line(d, ' stroke-dasharray="4 4"');

const straight: Way = [
  [0, 42],
  [120, 42],
  [240, 42],
];
const crossedLeft: Way = [
  [0, 56],
  [50, 54],
  [104, 46],
  [136, 38],
  [182, 22],
];
const crossedRight: Way = [
  [240, 56],
  [190, 54],
  [136, 46],
  [104, 38],
  [58, 22],
];
const locked = (far: (y: number) => number): Way =>
  (
    [
      [0, 22],
      [62, 26],
      [95, 43],
      [120, 56],
      [145, 43],
      [178, 26],
      [240, 22],
    ] as const
  ).map(([x, y]) => [x, far(y)]);
const lockedHigh = locked((y) => y);
const lockedLow = locked((y) => 86 - y);

/** One turn round both pins, `r` from their middles. */
const turn = (r: number): Way => {
  const half = [0, 45, 90, 135, 180].map((degrees): [number, number] => {
    const angle = (degrees * Math.PI) / 180;
    return [200 + r * Math.sin(angle), 42 - r * Math.cos(angle)];
  });
  const back = half.map(([x, y]): [number, number] => [240 - x, 84 - y]);
  const [top, foot] = [42 - r, 42 + r];
  return [
    [120, top],
    [160, top],
    ...half,
    [160, foot],
    [120, foot],
    [80, foot],
    ...back,
    [80, top],
    [121, top],
  ];
};

const knot = (diamond: boolean) => {
  const [low, high] = diamond ? [64, 20] : [60, 24];
  const left: Way = [
    [0, 34],
    [70, 34],
    [104, high],
    [140, low],
    [164, 42],
    [140, high],
    [104, low],
    [84, 42],
    [104, high + 6],
  ];
  const right: Way = [
    [0, 50],
    [70, 50],
    [104, low],
    [140, high],
    [152, 42],
    [128, 30],
    [188, 36],
    [224, 30],
  ];
  const other: Way = [
    [116, 56],
    [150, 54],
    [188, 48],
    [224, 54],
  ];
  return markup`${rope(right, 10)}${rope(left, 10)}${rope(other, 10)}${
    diamond
      ? rope(
          [
            [96, 42],
            [122, 22],
            [150, 42],
          ],
          10,
        )
      : rope(
          [
            [110, 24],
            [128, 42],
            [112, 60],
          ],
          10,
        )
  }`;
};

const figures: Readonly<Record<StepFigure, { readonly says: string; readonly draw: () => Markup }>> = {
  measure: {
    says: "A rope lies straight beside a rule",
    draw: () =>
      markup`${rope([
        [6, 28],
        [120, 28],
        [240, 28],
      ])}${line(`M6 50H236M6 50V${64}${Array.from({ length: 22 }, (_, i) => `M${16 + i * 10} 50v${(i + 1) % 5 === 0 ? 12 : 7}`).join("")}`)}`,
  },
  mark: {
    says: "Marks across the rope at several distances from its end",
    draw: () =>
      markup`${rope([
        [14, 42],
        [120, 42],
        [240, 42],
      ])}${[46, 62, 78, 134, 196].map((x) => tick(x, 42))}${arrow(14, 70, 182)}`,
  },
  taper: {
    says: "A tail that gets thinner in steps, with cut strands at each step",
    draw: () =>
      markup`${rope(
        [
          [0, 42],
          [120, 42],
          [226, 42],
        ],
        16,
        tapered(0.42),
      )}${[95, 121, 147, 173, 199].map((x) => line(`M${x + 6} 32l7 -9M${x + 6} 52l7 9`))}`,
  },
  "pierce-once": {
    says: "A tail passes once through the middle of its own standing part, six strands on either side",
    draw: () =>
      markup`${rope(
        [
          [120, 80],
          [122, 60],
          [122, 42],
        ],
        10,
      )}${rope(straight, host, (share) => (Math.abs(share - 0.5) < 0.08 ? 1.25 : 0.8))}${rope(
        [
          [122, 42],
          [122, 22],
          [126, 2],
        ],
        10,
      )}${line("M108 42q14 -12 28 0q-14 12 -28 0Z")}${line("M146 60V24m-4 6l4 -6l4 6")}`,
  },
  "pierce-twice": {
    says: "The tail and the standing part pass through each other, and lock",
    draw: () =>
      markup`${rope(lockedLow, 12)}${rope(lockedHigh, 12)}${rope(lockedLow.slice(1, 4), 12)}${line("M80 43q15 -12 30 0q-15 12 -30 0ZM130 43q15 -12 30 0q-15 12 -30 0Z")}`,
  },
  "turn-through": {
    says: "The tail's end is led through the tail itself, so that the eye turns over",
    draw: () =>
      markup`${rope(
        [
          [0, 42],
          [70, 42],
          [120, 42],
          [164, 42],
        ],
        host,
        (share) => (Math.abs(share - 0.62) < 0.1 ? 1.25 : 0.8),
      )}${rope(
        [
          [160, 42],
          [206, 40],
          [216, 18],
          [170, 10],
          [118, 20],
          [104, 34],
        ],
        10,
      )}${rope(
        [
          [100, 50],
          [92, 66],
          [70, 78],
        ],
        10,
      )}${line("M88 42q16 -12 30 0q-16 12 -30 0Z")}`,
  },
  "pierce-each-other": {
    says: "Two ends meet, and each passes through the other",
    draw: () =>
      markup`${rope(crossedLeft, 12)}${rope(crossedRight, 12)}${rope(
        [
          [104, 46],
          [120, 42],
          [136, 38],
        ],
        12,
      )}${rope(
        [
          [118, 42],
          [108, 39.5],
          [98, 36],
        ],
        12,
      )}${line("M120 66V54m-4 6l4 -6l4 6")}`,
  },
  "lay-turns": {
    says: "Several turns of rope lie side by side round two pins",
    draw: () =>
      markup`<circle cx="40" cy="42" r="15" fill="none" stroke="currentColor" stroke-width="2"/><circle cx="200" cy="42" r="15" fill="none" stroke="currentColor" stroke-width="2"/>${[32, 21].map((r) => rope(turn(r), 9))}`,
  },
  bury: {
    says: "A tail is led into the hollow of its host and comes out at the exit mark",
    draw: () =>
      markup`${rope(
        [
          [0, 46],
          [90, 46],
          [240, 46],
        ],
        host,
        (share) => (share > 0.3 && share < 0.78 ? 1 : 0.74),
      )}${rope(
        [
          [28, 8],
          [54, 20],
          [76, 40],
        ],
        10,
      )}${hidden("M78 44Q84 46 96 46H184")}${rope(
        [
          [186, 40],
          [206, 22],
          [226, 12],
        ],
        9,
        tapered(0),
      )}${tick(186, 46)}${arrow(104, 72, 56)}`,
  },
  milk: {
    says: "The host is stroked towards the tail, which slips in",
    draw: () =>
      markup`${rope(straight, host, (share) => (share > 0.2 && share < 0.76 ? 1 : 0.74))}${hidden("M56 42H178")}${arrow(60, 18, 60)}${arrow(60, 68, 60)}${line("M132 14q10 28 0 56")}`,
  },
  stitch: {
    says: "Twine is stitched through host and tail and back",
    draw: () =>
      markup`${rope(straight, host, (share) => (share > 0.16 ? 1 : 0.74))}${hidden("M46 42H240")}${line(`M60 30${Array.from({ length: 8 }, (_, i) => `L${72 + i * 12} ${i % 2 === 0 ? 54 : 30}`).join("")}`)}${line("M60 30q-10 -12 -22 -10")}`,
  },
  noose: {
    says: "The rope is folded at its middle, and one leg is led through the other, so that a small eye is left",
    draw: () =>
      markup`${rope(
        [
          [0, 62],
          [70, 58],
          [120, 44],
          [170, 24],
          [212, 26],
          [226, 42],
          [212, 58],
          [170, 58],
          [128, 46],
        ],
        11,
      )}${rope(
        [
          [140, 50],
          [112, 38],
          [70, 24],
          [0, 20],
        ],
        11,
      )}${tick(226, 42)}`,
  },
  "button-knot": {
    says: "A round stopper knot of two tails, each led round once more",
    draw: () => knot(false),
  },
  "diamond-knot": { says: "An interlaced stopper knot of two tails", draw: () => knot(true) },
  "re-bury": {
    says: "The tails go back through the knot into their own legs",
    draw: () =>
      markup`${rope(
        [
          [0, 24],
          [90, 30],
          [168, 40],
        ],
        host,
        (share) => (share > 0.2 ? 1 : 0.74),
      )}${rope(
        [
          [0, 60],
          [90, 54],
          [168, 44],
        ],
        host,
        (share) => (share > 0.2 ? 1 : 0.74),
      )}${rope(
        [
          [168, 28],
          [190, 24],
          [206, 42],
          [190, 60],
          [168, 56],
          [162, 42],
          [168, 28],
        ],
        12,
      )}${rope(
        [
          [174, 42],
          [186, 34],
          [196, 42],
          [186, 50],
          [174, 42],
        ],
        9,
      )}${hidden("M166 38L44 27")}${hidden("M166 46L44 57")}`,
  },
  cut: {
    says: "The tails are cut off a little beyond the knot",
    draw: () =>
      markup`${rope(
        [
          [0, 32],
          [60, 34],
          [100, 40],
        ],
        11,
      )}${rope(
        [
          [0, 54],
          [60, 50],
          [100, 44],
        ],
        11,
      )}${rope(
        [
          [132, 38],
          [150, 34],
          [172, 30],
        ],
        10,
      )}${rope(
        [
          [132, 46],
          [150, 50],
          [172, 54],
        ],
        10,
      )}${rope(
        [
          [100, 26],
          [124, 20],
          [138, 42],
          [124, 64],
          [100, 58],
          [94, 42],
          [100, 26],
        ],
        12,
      )}${rope(
        [
          [106, 42],
          [118, 34],
          [128, 42],
          [118, 50],
          [106, 42],
        ],
        9,
      )}${line("M178 14V72", ' stroke-dasharray="5 4"')}${line("M190 30l22 -10M190 54l22 10")}`,
  },
  set: {
    says: "The splice is pulled between two pins",
    draw: () =>
      markup`${rope(
        [
          [120, 30],
          [176, 30],
          [196, 42],
          [176, 54],
          [120, 54],
          [64, 54],
          [44, 42],
          [64, 30],
          [121, 30],
        ],
        10,
      )}<circle cx="58" cy="42" r="7" fill="currentColor"/><circle cx="182" cy="42" r="7" fill="currentColor"/>${arrow(34, 42, -28)}${arrow(206, 42, 28)}`,
  },
};
