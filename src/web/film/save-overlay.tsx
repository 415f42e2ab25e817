import { useEffect, useRef, useState } from "preact/hooks";
import { announce } from "../announce.tsx";
import { TextField } from "../parts/field.tsx";
import { type Overlay, overlayHeight } from "./draw-overlay.ts";
import { filmType, framesOf, mostFrames, overlayFilm, overlayPictures } from "./write-overlay.ts";

/** Writes the overlay as pictures or as a film, with progress and a stop, and offers it to be saved. */
export function SaveOverlay(props: {
  readonly overlay: Overlay;
  readonly offsetS: number;
  readonly width: number;
}) {
  const { overlay, offsetS, width } = props;
  const [rate, setRate] = useState("25");
  const [share, setShare] = useState<number>();
  const [made, setMade] = useState<{
    readonly address: string;
    readonly file: string;
    readonly says: string;
  }>();
  const [trouble, setTrouble] = useState("");
  const stop = useRef<AbortController | undefined>(undefined);
  useEffect(() => () => stop.current?.abort(), []);
  useEffect(() => () => URL.revokeObjectURL(made?.address ?? ""), [made]);

  const framesPerS = Number(rate.replace(",", "."));
  const rateIsGood = framesPerS >= 1 && framesPerS <= 60;
  const frames = rateIsGood ? framesOf({ overlay, offsetS, framesPerS }) : 0;

  async function write(kind: "pictures" | "film"): Promise<void> {
    stop.current = new AbortController();
    const { signal } = stop.current;
    setTrouble("");
    setMade(undefined);
    setShare(0);
    // Even measures: some programs refuse a film of odd ones.
    const even = (length: number) => Math.max(2, Math.round(length / 2) * 2);
    const about = {
      overlay,
      offsetS,
      framesPerS,
      width: even(width),
      height: even(overlayHeight(width)),
      onProgress: setShare,
      signal,
    };
    try {
      if (kind === "pictures") {
        const zip = await overlayPictures(about);
        done(zip, `${overlay.name}-overlay.zip`, `${frames} transparent pictures`);
      } else {
        const { film, transparent } = await overlayFilm(about);
        done(
          film,
          `${overlay.name}-overlay.webm`,
          transparent
            ? "a film with transparency, as this browser plays it back"
            : "a film, but this browser wrote it without transparency: take the pictures instead",
        );
      }
    } catch (error) {
      if (!signal.aborted) setTrouble((error as Error).message);
    }
    setShare(undefined);
  }

  function done(blob: Blob, file: string, says: string): void {
    setMade({ address: URL.createObjectURL(blob), file, says });
    announce(`Written: ${says}.`);
  }

  if (share !== undefined)
    return (
      <p>
        <progress value={share} max={1} aria-label="How much is written" />
        <button type="button" onClick={() => stop.current?.abort()}>
          Stop
        </button>
      </p>
    );
  return (
    <div class="stack">
      <div class="short">
        <TextField
          label="Pictures in a second"
          hint="As many as the film has; from 1 to 60"
          inputMode="decimal"
          value={rate}
          onInput={setRate}
        />
      </div>
      <div class="buttons">
        <button
          type="button"
          disabled={!rateIsGood || frames > mostFrames}
          onClick={() => void write("pictures")}
        >
          Write it as pictures (PNG)
        </button>
        <button
          type="button"
          disabled={!rateIsGood || filmType() === undefined}
          onClick={() => void write("film")}
        >
          Write it as a film (WebM)
        </button>
        {made !== undefined && (
          <a class="button main" href={made.address} download={made.file}>
            Save {made.file}
          </a>
        )}
      </div>
      <p role="status">
        {made !== undefined
          ? `Written: ${made.says}.`
          : frames > mostFrames
            ? `That would be ${frames} pictures; at most ${mostFrames} fit at once. Take fewer a second.`
            : filmType() === undefined
              ? "This browser cannot record a film; pictures it can write."
              : `${frames} pictures. A film takes as long to write as the pull took.`}
      </p>
      {trouble !== "" && (
        <p class="problems" role="alert">
          {trouble}
        </p>
      )}
    </div>
  );
}
