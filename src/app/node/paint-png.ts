import { ok, type Result, refuse } from "../../problem/mod.ts";

/**
 * Paints an SVG as PNG, so many pixels to each of its own; the painter is loaded only when it is wanted.
 *
 * Refused where this computer has no fonts: the words of a figure would be missing without a sign.
 */
export async function paintPng(svg: string, scale: number): Promise<Result<Uint8Array>> {
  const { createCanvas, GlobalFonts, loadImage } = await import("@napi-rs/canvas");
  if (GlobalFonts.families.length === 0)
    return refuse({
      code: "REPORT_FONTS",
      message:
        "The figure cannot be painted as PNG: this computer has no fonts, and its words would be missing.",
      wayOut: "Install any font, or take the figure as SVG.",
    });
  const image = await loadImage(Buffer.from(svg));
  const canvas = createCanvas(Math.round(image.width * scale), Math.round(image.height * scale));
  canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
  return ok(await canvas.encode("png"));
}
