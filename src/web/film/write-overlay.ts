import { strToU8, Zip, ZipPassThrough } from "fflate";
import { drawOverlay, type Overlay } from "./draw-overlay.ts";
import { stretchOnFilm } from "./on-film.ts";

/** More pictures than this would not fit into a browser's memory at once. */
export const mostFrames = 9000;

type About = {
  readonly overlay: Overlay;
  /** How far the film's clock is ahead of the recording's. */
  readonly offsetS: number;
  readonly framesPerS: number;
  readonly width: number;
  readonly height: number;
  readonly onProgress: (share: number) => void;
  readonly signal: AbortSignal;
};

/** How many pictures the overlay of a pull has. */
export function framesOf({
  overlay,
  offsetS,
  framesPerS,
}: Pick<About, "overlay" | "offsetS" | "framesPerS">): number {
  const { fromS, toS } = stretchOnFilm(overlay.pull, offsetS);
  return Math.ceil((toS - fromS) * framesPerS);
}

/** The overlay as a zip of transparent PNG pictures, with a note on how to lay them over the film. */
export async function overlayPictures(about: About): Promise<Blob> {
  const { overlay, offsetS, framesPerS, width, height, signal } = about;
  const { fromS } = stretchOnFilm(overlay.pull, offsetS);
  const frames = framesOf(about);
  const parts: Uint8Array<ArrayBuffer>[] = [];
  let failed: Error | undefined;
  const zip = new Zip((error, part) => {
    if (error) failed = error;
    else parts.push(new Uint8Array(part));
  });
  const add = (name: string, bytes: Uint8Array): void => {
    const file = new ZipPassThrough(name); // PNG is packed already
    file.mtime = "2000-01-01T00:00:00";
    zip.add(file);
    file.push(bytes, true);
  };
  add("how-to-lay-it-over.txt", strToU8(noteOf(about, fromS, frames)));
  const canvas = new OffscreenCanvas(width, height);
  const ground = canvas.getContext("2d");
  if (ground === null) throw new Error("This browser gives no canvas to draw on.");
  for (let frame = 0; frame < frames; frame++) {
    signal.throwIfAborted();
    drawOverlay(ground, overlay, fromS + frame / framesPerS - offsetS);
    const picture = await canvas.convertToBlob({ type: "image/png" });
    add(`frame-${String(frame + 1).padStart(5, "0")}.png`, new Uint8Array(await picture.arrayBuffer()));
    if (failed !== undefined) throw failed;
    about.onProgress((frame + 1) / frames);
  }
  zip.end();
  return new Blob(parts, { type: "application/zip" });
}

function noteOf({ framesPerS, width, height }: About, fromS: number, frames: number): string {
  return [
    `${frames} pictures of ${width} x ${height}, transparent around the plate.`,
    `${framesPerS} pictures a second.`,
    `frame-00001.png belongs to second ${fromS.toFixed(3)} of the film.`,
    "Lay them over the foot of the film.",
    "",
  ].join("\n");
}

/** What this browser can write a transparent film as; undefined where it cannot record at all. */
export function filmType(): string | undefined {
  if (typeof MediaRecorder === "undefined") return undefined;
  return ["video/webm;codecs=vp9", "video/webm;codecs=vp8", "video/webm"].find((type) =>
    MediaRecorder.isTypeSupported(type),
  );
}

/**
 * The overlay as a film with transparency (WebM), recorded as it is drawn: it takes as long as the pull did. `transparent`
 * says whether the transparency came through, as the browser itself plays the film back.
 */
export async function overlayFilm(
  about: About,
): Promise<{ readonly film: Blob; readonly transparent: boolean }> {
  const { overlay, offsetS, framesPerS, width, height, signal } = about;
  const type = filmType();
  if (type === undefined) throw new Error("This browser cannot record a film. The pictures can be saved.");
  const { fromS, toS } = stretchOnFilm(overlay.pull, offsetS);
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  const ground = canvas.getContext("2d");
  if (ground === null) throw new Error("This browser gives no canvas to draw on.");
  drawOverlay(ground, overlay, fromS - offsetS);
  const recorder = new MediaRecorder(canvas.captureStream(framesPerS), {
    mimeType: type,
    videoBitsPerSecond: 4_000_000,
  });
  const parts: Blob[] = [];
  recorder.ondataavailable = ({ data }) => parts.push(data);
  const stopped = new Promise<void>((resolve) => {
    recorder.onstop = () => resolve();
  });
  recorder.start(1000);
  const begun = performance.now();
  try {
    for (;;) {
      signal.throwIfAborted();
      const atS = fromS + (performance.now() - begun) / 1000;
      if (atS >= toS) break;
      drawOverlay(ground, overlay, atS - offsetS);
      about.onProgress((atS - fromS) / (toS - fromS));
      await new Promise((resolve) => setTimeout(resolve, 1000 / framesPerS));
    }
  } finally {
    recorder.stop();
    await stopped;
  }
  const film = new Blob(parts, { type: "video/webm" });
  return { film, transparent: await isTransparent(film, width, height) };
}

/** Whether a corner that was left transparent still is, as this browser plays the film. */
async function isTransparent(film: Blob, width: number, height: number): Promise<boolean> {
  const video = document.createElement("video");
  video.muted = true;
  const address = URL.createObjectURL(film);
  try {
    await new Promise((resolve, reject) => {
      video.onloadeddata = resolve;
      video.onerror = () => reject(new Error("The film that was written cannot be played."));
      video.src = address;
    });
    const canvas = new OffscreenCanvas(width, height);
    const ground = canvas.getContext("2d");
    ground?.drawImage(video, 0, 0);
    return (ground?.getImageData(1, 1, 1, 1).data[3] ?? 255) < 16;
  } finally {
    URL.revokeObjectURL(address);
  }
}
