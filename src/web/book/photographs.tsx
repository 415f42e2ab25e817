import { useRef, useState } from "preact/hooks";
import type { PictureSubject, StoredPicture } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { TextField } from "../parts/field.tsx";
import { Problems } from "../parts/problems.tsx";
import { TakeOut } from "../parts/take-out.tsx";
import { ask } from "../server.ts";

/** Photographs of a pull or a specimen: shown with their captions, added from a file or the camera. */
export function Photographs(props: {
  readonly subject: PictureSubject;
  readonly about: string;
  readonly pictures: readonly StoredPicture[];
  /** What stands where there is none yet. */
  readonly none?: string;
}) {
  const [caption, setCaption] = useState("");
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();

  async function add(files: readonly File[]): Promise<void> {
    setProblems([]);
    for (const file of files) {
      const form = new FormData();
      form.append("subjectKind", props.subject.kind);
      form.append("subjectId", props.subject.id);
      if (caption.trim() !== "") form.append("caption", caption.trim());
      form.append("file", file, file.name);
      const answer = await ask<StoredPicture>("POST", "/api/pictures", form);
      if (!answer.ok) {
        // The caption is still wanted, for the second try.
        return setProblems(answer.problems);
      }
      announce("Photograph kept.");
    }
    // What was typed meanwhile is the caption of the next one.
    setCaption((now) => (now === caption ? "" : now));
  }

  async function remove(picture: StoredPicture): Promise<void> {
    const answer = await ask("DELETE", `/api/pictures/${picture.id}`);
    if (!answer.ok) setProblems(answer.problems);
    else announce("Photograph taken out.");
  }

  return (
    <>
      {props.pictures.length === 0 && (
        <p class="empty">
          {props.none ?? "None yet. The broken ends, from close by, say more than any curve."}
        </p>
      )}
      <ul class="photographs">
        {props.pictures.map((picture) => (
          <li key={picture.id}>
            <a href={`/api/pictures/${picture.id}/bytes`} target="_blank" rel="noreferrer">
              <img
                src={`/api/pictures/${picture.id}/bytes`}
                alt={picture.caption === "" ? `${props.about}, ${picture.fileName}` : picture.caption}
                loading="lazy"
              />
            </a>
            <span>{picture.caption || picture.fileName}</span>{" "}
            <TakeOut name={picture.caption || picture.fileName} onTakeOut={() => remove(picture)} />
          </li>
        ))}
      </ul>
      <TextField label="Caption for the next photograph" value={caption} onInput={setCaption} />
      <div class="buttons">
        <PickFiles words="Add from a file" busy={busy} onFiles={(files) => void once(() => add(files))} />
        <PickFiles words="Take one now" camera busy={busy} onFiles={(files) => void once(() => add(files))} />
      </div>
      <Problems heading="The photograph was not kept" problems={problems} />
    </>
  );
}

function PickFiles(props: {
  readonly words: string;
  readonly camera?: boolean;
  readonly busy: boolean;
  readonly onFiles: (files: readonly File[]) => void;
}) {
  const picker = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" disabled={props.busy} onClick={() => picker.current?.click()}>
        {props.words}
      </button>
      <input
        ref={picker}
        class="unseen"
        type="file"
        tabIndex={-1}
        aria-label={props.words}
        accept="image/*"
        {...(props.camera === true ? { capture: "environment" } : { multiple: true })}
        onChange={(event) => {
          const files = [...(event.currentTarget.files ?? [])];
          event.currentTarget.value = "";
          if (files.length > 0) props.onFiles(files);
        }}
      />
    </>
  );
}
