import type { SeriesFigureKind } from "../../report/mod.ts";

/** Which figure of a series is meant. */
export type SavedFigure = {
  readonly seriesId: string;
  readonly kind: SeriesFigureKind;
  /** Which one, from 1, where a series has several of a kind. */
  readonly number?: number;
};

const files = [
  ["SVG, light", "svg", "light"],
  ["SVG, dark", "svg", "dark"],
  ["PNG, light", "png", "light"],
  ["PNG, dark", "png", "dark"],
  ["data, CSV", "csv", "light"],
] as const;

/** Links that save a figure as the report has it: with its title, source and data, light or dark. */
export function SaveFigure({ of, name }: { readonly of: SavedFigure; readonly name: string }) {
  const { seriesId, kind, number } = of;
  const choices: readonly (readonly [string, Readonly<Record<string, string>>])[] =
    kind === "overlay"
      ? [
          ["at the peak", { align: "peak" }],
          ["at the start", { align: "start" }],
        ]
      : [["", {}]];
  return (
    <>
      {choices.map(([beside, more]) => (
        <p key={beside} class="aside save-figure">
          Save{beside === "" ? "" : `, aligned ${beside}`}:{" "}
          {files.map(([words, format, scheme], index) => {
            const asked = new URLSearchParams({
              format,
              ...(format === "csv" ? {} : { scheme }),
              ...(number === undefined ? {} : { number: String(number) }),
              ...more,
              download: "1",
            });
            return (
              <span key={words}>
                {index > 0 && " · "}
                <a href={`/api/series/${seriesId}/figures/${kind}?${asked}`} target="_self" download>
                  {words}
                  <span class="unseen"> for {name}</span>
                </a>
              </span>
            );
          })}
        </p>
      ))}
    </>
  );
}
