import { encode } from "uqr";
import { type Markup, markup } from "../markup.ts";

/** A link as a QR mark, `sizeMm` wide with its quiet border, to be scanned off a label. */
export function qrMark(link: string, sizeMm: number): Markup {
  // Level M still reads with 15 % of it smudged; four modules of quiet border as ISO/IEC 18004 asks.
  const { data, size } = encode(link, { ecc: "M", border: 4 });
  const path = data.flatMap((row, y) => row.map((dark, x) => (dark ? `M${x} ${y}h1v1h-1z` : ""))).join("");
  return markup`<svg class="qr" width="${sizeMm}mm" height="${sizeMm}mm" viewBox="0 0 ${size} ${size}" role="img" aria-label="QR mark: ${link}" shape-rendering="crispEdges"><rect width="${size}" height="${size}" fill="#fff"/><path d="${path}" fill="#000"/></svg>`;
}
