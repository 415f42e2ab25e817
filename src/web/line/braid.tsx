/**
 * The side of a 12-strand rope as a pattern to fill a shape with: strands of both hands in four columns, each passing
 * over one of the other hand. The tile is 40 wide and 20 high and repeats without a seam.
 */
export function BraidPattern({ id, across = false }: { readonly id: string; readonly across?: boolean }) {
  const columns = [5, 15, 25, 35];
  return (
    <pattern
      id={id}
      width="40"
      height="20"
      patternUnits="userSpaceOnUse"
      {...(across ? { patternTransform: "rotate(-90)" } : {})}
    >
      <rect width="40" height="20" class="braid-ground" />
      {columns.flatMap((x, column) =>
        [-20, 0, 20].map((y) => {
          const at = y + (column % 2 === 0 ? 5 : 15);
          const turn = column % 2 === 0 ? -32 : 32;
          return (
            <g key={`${x} ${y}`} transform={`translate(${x} ${at}) rotate(${turn})`}>
              <rect x="-4.6" y="-10.6" width="9.2" height="21.2" rx="4.6" class="braid-strand" />
              <path d="M-1.6 -6.5V6.5M1.6 -6.5V6.5" class="braid-yarn" />
            </g>
          );
        }),
      )}
    </pattern>
  );
}
