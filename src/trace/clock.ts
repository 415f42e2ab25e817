/**
 * The rows, from 0, at which a clock starts again: it falls by more than half of what it had counted since it last
 * began. A smaller step back is a stamp out of order and no new beginning.
 */
export function clockResets(timeS: Float64Array): number[] {
  const resets: number[] = [];
  let began = 0;
  for (let row = 1; row < timeS.length; row++) {
    const fall = (timeS[row - 1] as number) - (timeS[row] as number);
    if (fall <= 0 || fall <= 0.5 * ((timeS[row - 1] as number) - (timeS[began] as number))) continue;
    resets.push(row);
    began = row;
  }
  return resets;
}
