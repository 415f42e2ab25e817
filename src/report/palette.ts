/** Paper and ink by daylight and in the dark, with the one accent of whipping-twine orange for what needs care. */
export const palettes = {
  light: {
    paper: "#f6f5f0",
    leaf: "#fffefb",
    ink: "#18242f",
    soft: "#4b5863",
    line: "#c6d1d6",
    accent: "#9c4206",
    rope: "#18242f",
  },
  dark: {
    paper: "#14191c",
    leaf: "#1c2226",
    ink: "#ece8dc",
    soft: "#b2b9ba",
    line: "#37434a",
    accent: "#f5a35a",
    rope: "#ece8dc",
  },
} as const;

export type Scheme = keyof typeof palettes;
export const schemes = ["light", "dark"] as const satisfies readonly Scheme[];

/** Faces for running words and for figures; each computer has one of each, and nothing is fetched. */
export const faces = {
  words:
    'Charter, "Bitstream Charter", "Sitka Text", "Iowan Old Style", Cambria, "Noto Serif", "Liberation Serif", serif',
  figures: 'Seravek, "Gill Sans Nova", Ubuntu, Calibri, "Noto Sans", "Liberation Sans", sans-serif',
} as const;

/** A palette as declarations of a style sheet. */
export function declared(scheme: Scheme): string {
  return Object.entries(palettes[scheme])
    .map(([name, colour]) => `--${name}: ${colour};`)
    .join(" ");
}
