import { Markup, markup } from "../markup.ts";

/** A figure drawn once for wide pages and once for narrow ones; nothing where there is nothing to draw. */
export function wideAndNarrow(
  draw: (id: string, width: number) => string | undefined,
  id: string,
): Markup | undefined {
  const [wide, narrow] = [draw(`${id}-wide`, 860), draw(`${id}-narrow`, 350)];
  if (wide === undefined || narrow === undefined) return undefined;
  return markup`<div class="wide">${new Markup(wide)}</div><div class="narrow">${new Markup(narrow)}</div>`;
}
