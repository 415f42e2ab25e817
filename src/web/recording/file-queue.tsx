import { useRef, useState } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { LayoutHints } from "../../trace/mod.ts";
import { announce } from "../announce.tsx";
import { PickField } from "../parts/field.tsx";
import { Problems } from "../parts/problems.tsx";
import { count } from "../words.ts";
import { FileSheet, peakWords, type ReadFile } from "./file-sheet.tsx";
import { keepRecording, RememberLayout, rememberedName } from "./keep-recording.tsx";

type Kept = { readonly fileName: string; readonly pulls: number; readonly known: boolean };

/**
 * The files that were dropped, one open at a time: each is looked at and read, and what was answered for one is
 * answered for the next. Once the first is as it should be, the rest can be kept in one go; a file that asks something
 * new, or cannot be read, stops the round and waits.
 */
export function FileQueue(props: {
  readonly seriesId: string;
  readonly files: readonly File[];
  readonly benches: SeriesOverview["benches"];
  readonly onClose: (files: readonly File[]) => void;
}) {
  const [file, ...others] = props.files;
  const [hints, setHints] = useState<LayoutHints>({});
  const [layoutName, setLayoutName] = useState<string>();
  const [benchId, setBenchId] = useState(props.benches[0]?.id ?? "");
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [kept, setKept] = useState<readonly Kept[]>([]);
  const [busy, setBusy] = useState(false);
  const round = useRef(false);

  async function keep(read: ReadFile): Promise<void> {
    setBusy(true);
    setProblems([]);
    const answer = await keepRecording(props.seriesId, read, layoutName ?? rememberedName(read), benchId);
    setBusy(false);
    if (!answer.ok) {
      round.current = false;
      setProblems(answer.problems);
      return announce(`${read.file.name} was not kept.`);
    }
    const { pulls, known } = answer.value;
    setKept((before) => [...before, { fileName: read.file.name, pulls: pulls.length, known }]);
    setLayoutName(""); // the layout is in the book now, or was not wanted there
    announce(known ? `${read.file.name} was in the book already.` : `${read.file.name} kept.`);
    props.onClose([read.file]);
  }

  const twice = kept.filter((one) => one.known);
  return (
    <>
      {kept.length > 0 && (
        <p role="status">
          {count(kept.length - twice.length, "file")} kept,{" "}
          {count(
            kept.reduce((sum, one) => sum + (one.known ? 0 : one.pulls), 0),
            "pull",
          )}{" "}
          found.
          {twice.length > 0 &&
            ` ${twice.map((one) => one.fileName).join(", ")}: these very bytes were in the book already, and nothing was stored again.`}
        </p>
      )}
      {file !== undefined && (
        <>
          {props.files.length > 1 && (
            <p class="label">
              {count(props.files.length, "file")} on the table. First: {file.name}
            </p>
          )}
          <FileSheet
            key={`${file.name} ${file.size} ${file.lastModified}`}
            file={file}
            begin={hints}
            onHints={setHints}
            onClose={() => props.onClose([file])}
            onRead={(read) => {
              // Within a round a file without a pull waits for a look.
              if (round.current && read.reading.pulls.length > 0) keep(read);
              else round.current = false;
            }}
          >
            {(read) => (
              <div class="keep stack">
                {layoutName === undefined && (
                  <RememberLayout read={read} name={rememberedName(read)} onName={setLayoutName} />
                )}
                {layoutName !== undefined && layoutName !== "" && (
                  <RememberLayout read={read} name={layoutName} onName={setLayoutName} />
                )}
                {props.benches.length > 0 && (
                  <PickField
                    label="Pulled on"
                    value={benchId}
                    none="not said"
                    options={props.benches.map((bench) => ({ value: bench.id, label: bench.name }))}
                    onInput={setBenchId}
                  />
                )}
                <div class="buttons">
                  <button type="button" class="main" disabled={busy} onClick={() => keep(read)}>
                    Keep {count(read.reading.pulls.length, "pull")}
                  </button>
                  {others.length > 0 && (
                    <button
                      type="button"
                      disabled={busy}
                      onClick={() => {
                        round.current = true;
                        keep(read);
                      }}
                    >
                      Keep all {props.files.length} files so
                    </button>
                  )}
                </div>
                <span class="unseen">{peakWords(read.reading)}</span>
              </div>
            )}
          </FileSheet>
          <Problems heading={`${file.name} was not kept`} problems={problems} />
        </>
      )}
    </>
  );
}
