import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";

/** A place to drop a logger's files on; files that fall anywhere else on the page are caught too. */
export function DropZone(props: {
  readonly words: ComponentChildren;
  readonly many?: boolean;
  /** One line high, once it has done its work. */
  readonly low?: boolean;
  readonly onFiles: (files: readonly File[]) => void;
  readonly children?: ComponentChildren;
}) {
  const picker = useRef<HTMLInputElement>(null);
  const [over, setOver] = useState(false);
  const onFiles = useRef(props.onFiles);
  onFiles.current = props.onFiles;

  useLayoutEffect(() => {
    const stop = new AbortController();
    const listen = (name: "dragover" | "dragleave" | "drop", act: (event: DragEvent) => void): void =>
      addEventListener(name, act, { signal: stop.signal });
    listen("dragover", (event) => {
      if (event.dataTransfer?.types.includes("Files") !== true) return;
      event.preventDefault();
      setOver(true);
    });
    listen("dragleave", (event) => {
      if (event.relatedTarget === null) setOver(false);
    });
    listen("drop", (event) => {
      const files = [...(event.dataTransfer?.files ?? [])];
      setOver(false);
      if (files.length === 0) return;
      event.preventDefault();
      onFiles.current(files);
    });
    return () => stop.abort();
  }, []);

  return (
    <div class={`drop${over ? " over" : ""}${props.low === true ? " low" : ""}`}>
      <p class="words">{props.words}</p>
      <button type="button" class={props.low === true ? "" : "main"} onClick={() => picker.current?.click()}>
        {props.many === true ? "Choose files" : "Choose a file"}
      </button>
      <input
        ref={picker}
        class="unseen"
        type="file"
        tabIndex={-1}
        aria-label={props.many === true ? "A logger's files" : "A logger's file"}
        multiple={props.many === true}
        onChange={(event) => {
          const files = [...(event.currentTarget.files ?? [])];
          event.currentTarget.value = ""; // the same file may be chosen again
          if (files.length > 0) props.onFiles(files);
        }}
      />
      {props.children}
    </div>
  );
}
