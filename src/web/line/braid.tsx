import { ropeTile } from "../../report/mod.ts";

const width = 40;
const tile = ropeTile(width);

/**
 * The house rope as a pattern to fill a shape 40 wide with; it repeats without a seam. The inks are the line's own
 * (line.css), the braid is that of every other drawing.
 */
export function BraidPattern({ id, across = false }: { readonly id: string; readonly across?: boolean }) {
  return (
    <pattern
      id={id}
      width={width}
      height={tile.length}
      patternUnits="userSpaceOnUse"
      {...(across ? { patternTransform: "rotate(-90)" } : {})}
    >
      <rect width={width} height={tile.length} class="braid-ground" />
      {/* Paths of our own making. */}
      <g class="braid" dangerouslySetInnerHTML={{ __html: tile.paths }} />
    </pattern>
  );
}
