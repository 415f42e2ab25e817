import { type TraceWindow, windowFromBytes } from "../../trace/mod.ts";

/**
 * The extremes of a recording between two rows, fetched as bytes: no number is written out and read again. Nothing where
 * the server refused or did not answer.
 */
export async function fetchWindow(
  sha256: string,
  fromRow: number,
  toRow: number,
  columns: number,
): Promise<TraceWindow | undefined> {
  const query = new URLSearchParams({
    fromRow: String(Math.round(fromRow)),
    toRow: String(Math.round(toRow)),
    columns: String(columns),
  });
  try {
    const response = await fetch(`/api/recordings/${sha256}/trace?${query}`, {
      headers: { accept: "application/octet-stream" },
    });
    if (!response.ok) return undefined;
    const window = windowFromBytes(new Uint8Array(await response.arrayBuffer()));
    return window.ok ? window.value : undefined;
  } catch {
    // Nobody answered; the picture says so.
    return undefined;
  }
}
