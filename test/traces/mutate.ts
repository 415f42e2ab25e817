import type { Random } from "../../src/stats/mod.ts";

/** A recording with bytes flipped, its end torn off, rows cut out or doubled, or columns swapped from some row on. */
export function mutate(bytes: Uint8Array, random: Random): Uint8Array {
  const kind = random.below(5);
  if (kind === 0) {
    const spoilt = bytes.slice();
    for (let flips = 1 + random.below(20); flips > 0; flips--)
      spoilt[random.below(spoilt.length)] = random.below(256);
    return spoilt;
  }
  if (kind === 1) return bytes.slice(0, random.below(bytes.length));
  const lines = new TextDecoder("latin1").decode(bytes).split("\n");
  const at = random.below(lines.length);
  const many = 1 + random.below(Math.max(1, Math.floor(lines.length / 3)));
  if (kind === 2) lines.splice(at, many);
  else if (kind === 3) lines.splice(at, 0, ...lines.slice(at, at + many));
  else
    lines.forEach((line, row) => {
      const cells = line.split(/([,;\t])/);
      if (row >= at && cells.length >= 3)
        lines[row] = [cells[2], cells[1], cells[0], ...cells.slice(3)].join("");
    });
  return Uint8Array.from(lines.join("\n"), (character) => character.charCodeAt(0));
}
