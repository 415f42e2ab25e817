import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { PullOnFilm } from "../../app/mod.ts";
import { announce } from "../announce.tsx";
import { Field, PickField, TextField } from "../parts/field.tsx";
import { Care, Note, Section } from "../parts/page.tsx";
import { forceUnit } from "../shown-units.ts";
import { drawOverlay, type Overlay, overlayHeight } from "./draw-overlay.ts";
import { offsetByClock, offsetByMoment } from "./on-film.ts";
import { SaveOverlay } from "./save-overlay.tsx";
import { useCaptions } from "./use-captions.ts";
import { withEachPicture } from "./with-each-picture.ts";

type MomentName = "break" | "peak" | "start";

const momentWords: Readonly<Record<MomentName, string>> = {
  break: "break",
  peak: "peak",
  start: "first load",
};

/** Plays a film of the user's with the pull drawn over it, and hands out what can be laid over it elsewhere. */
export function FilmPlayer(props: {
  readonly pullId: string;
  readonly pull: PullOnFilm;
  readonly name: string;
  readonly simulated: boolean;
}) {
  const { pull, name, simulated, pullId } = props;
  const video = useRef<HTMLVideoElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const [address, setAddress] = useState<string>();
  const [moment, setMoment] = useState<MomentName>("break");
  const [filmS, setFilmS] = useState<number>();
  const [startedAt, setStartedAt] = useState("");
  const [trouble, setTrouble] = useState("");
  const [size, setSize] = useState({ width: 1280, height: 720 });

  useEffect(() => () => URL.revokeObjectURL(address ?? ""), [address]);
  const byClock = offsetByClock(pull, startedAt);
  const offsetS = filmS === undefined ? byClock : offsetByMoment(pull, moment, filmS);
  const shownMoment = filmS === undefined ? "break" : moment;
  const unit = forceUnit.value === "lbf" ? "lbf" : "kN";
  const overlay: Overlay = { pull, name, simulated, unit };
  const captions = useCaptions(
    pullId,
    offsetS === undefined ? undefined : pull.moments.break + offsetS,
    unit,
  );

  // Drawn anew with each picture that the film shows, and where anything else changes.
  useLayoutEffect(() => {
    const [film, ground] = [video.current, canvas.current?.getContext("2d")];
    if (film === null || ground === null || ground === undefined) return;
    const draw = (): void => {
      if (offsetS === undefined) ground.clearRect(0, 0, ground.canvas.width, ground.canvas.height);
      else drawOverlay(ground, overlay, film.currentTime - offsetS);
    };
    draw();
    const leave = withEachPicture(film, draw);
    film.addEventListener("seeked", draw);
    film.addEventListener("timeupdate", draw);
    return () => {
      leave();
      film.removeEventListener("seeked", draw);
      film.removeEventListener("timeupdate", draw);
    };
  }, [address, offsetS, unit, size]);

  function choose(files: FileList | null): void {
    const file = files?.[0];
    if (file === undefined) return;
    setTrouble("");
    setFilmS(undefined);
    setAddress(URL.createObjectURL(file));
  }

  function mark(): void {
    const at = video.current?.currentTime ?? 0;
    setFilmS(at);
    announce(`The ${momentWords[moment]} is marked at ${at.toFixed(2)} seconds of the film.`);
  }

  const step = (seconds: number): void => {
    if (video.current !== null) {
      video.current.pause();
      video.current.currentTime = Math.max(0, video.current.currentTime + seconds);
    }
  };
  return (
    <>
      <Section wide>
        <Field label="The film" hint="A file that this browser can play, such as MP4 or WebM.">
          {(tie) => (
            <input
              {...tie}
              type="file"
              accept="video/*"
              onChange={(event) => choose(event.currentTarget.files)}
            />
          )}
        </Field>
        {address !== undefined && (
          <div class="film">
            <video
              ref={video}
              src={address}
              controls
              playsInline
              muted
              onLoadedMetadata={({ currentTarget }) =>
                setSize({ width: currentTarget.videoWidth || 1280, height: currentTarget.videoHeight || 720 })
              }
              onError={() => setTrouble("This browser cannot play that file.")}
            >
              <track
                key={captions}
                kind="captions"
                label="Force"
                srcLang="en"
                {...(captions === undefined ? {} : { src: captions })}
              />
            </video>
            <canvas
              ref={canvas}
              width={size.width}
              height={overlayHeight(size.width)}
              role="img"
              aria-label={`The force of ${name}, moving along with the film`}
            />
          </div>
        )}
        {trouble !== "" && (
          <p class="problems" role="alert">
            {trouble}
          </p>
        )}
      </Section>
      {address !== undefined && (
        <Section
          title="Where the pull lies in the film"
          margin={
            <>
              <Note>
                Stop the film at the first picture after the break and mark it. One picture of 30 in a second
                is 0.03 s: that is how sure the place is.
              </Note>
              {pull.startedAt !== undefined && (
                <Note>
                  The recording says that it was begun at {pull.startedAt}. A camera’s clock is seldom the
                  logger’s: a marked moment is surer.
                </Note>
              )}
            </>
          }
        >
          <div class="film-moments">
            <PickField
              label="This moment"
              value={moment}
              options={Object.entries(momentWords).map(([value, label]) => ({
                value,
                label: `the ${label}`,
              }))}
              onInput={(value) => setMoment(value as MomentName)}
            />
            <span class="steps">
              <button type="button" onClick={() => step(-1 / 30)}>
                − 1 picture
              </button>
              <button type="button" onClick={() => step(1 / 30)}>
                + 1 picture
              </button>
            </span>
            <button type="button" class="main" onClick={mark}>
              Is what the film shows now
            </button>
          </div>
          {pull.startedAt !== undefined && (
            <div class="short">
              <TextField
                label="Or: the film was begun at"
                hint="By the recording’s clock, as in 2026-03-14T10:02:30"
                value={startedAt}
                onInput={(text) => {
                  setFilmS(undefined);
                  setStartedAt(text);
                }}
              />
            </div>
          )}
          <p role="status">
            {offsetS === undefined
              ? "Not said yet: the film plays without the force."
              : `The ${momentWords[shownMoment]} is at ${(pull.moments[shownMoment] + offsetS).toFixed(2)} s of the film.`}
          </p>
        </Section>
      )}
      {offsetS !== undefined && (
        <Section
          title="To lay over the film elsewhere"
          margin={
            <Care title="Not every program takes every form">
              Captions are text: players and most hosts of films take them. Pictures (PNG) keep their
              transparency everywhere and are large. A WebM keeps it only where browser and editor know
              transparency in it; this page looks at what it wrote and says so. It has no length in its head,
              as browsers record it: an editor may have to read it through once.
            </Care>
          }
        >
          {captions !== undefined && (
            <p>
              <a class="button" href={captions} download={`${name}.vtt`}>
                Save the captions (WebVTT)
              </a>
            </p>
          )}
          <SaveOverlay overlay={overlay} offsetS={offsetS} width={size.width} />
        </Section>
      )}
    </>
  );
}
