import { type Markup, markup } from "../markup.ts";
import { at, label } from "./figure-parts.ts";

/** A word that belongs to a place in a plot: the height wanted, and where its leader starts. */
export type ColumnLabel = { readonly text: string; readonly y: number; readonly fromX: number };

/**
 * Words beside a plot, one under the other, each as near to its own height as the others leave it, with a thin leader to
 * what it names. Words longer than the column are cut; their whole text stands in a title.
 */
export function placeLabels(
  labels: readonly ColumnLabel[],
  column: {
    readonly left: number;
    readonly top: number;
    readonly bottom: number;
    readonly characters: number;
  },
): Markup[] {
  const sorted = labels.toSorted((a, b) => a.y - b.y);
  const heights: number[] = [];
  for (const { y } of sorted)
    heights.push(Math.max(y, (heights.at(-1) ?? column.top - lineHeight) + lineHeight));
  // What was pushed beyond the foot pushes those above it up again.
  let ceiling = column.bottom;
  for (let i = heights.length - 1; i >= 0; i--) {
    heights[i] = Math.min(heights[i] as number, ceiling);
    ceiling = (heights[i] as number) - lineHeight;
  }
  return sorted.map(({ text, y, fromX }, i) => {
    const height = heights[i] as number;
    const short = text.length > column.characters ? `${text.slice(0, column.characters - 1)}…` : text;
    return markup`<g class="name"><title>${text}</title><path d="M${at(fromX)} ${at(y)}L${at(column.left - 6)} ${at(height)}" fill="none" stroke="currentColor" stroke-opacity="0.3" stroke-width="0.8"/>${label(column.left - 3, height + 4, short, { size: 11 })}</g>`;
  });
}

const lineHeight = 14;
