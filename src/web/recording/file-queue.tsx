import { useRef, useState } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { PickField } from "../parts/field.tsx";
import { Problems } from "../parts/problems.tsx";
import { count } from "../words.ts";
import { FileSheet, peakWords, type ReadFile, type Told } from "./file-sheet.tsx";
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
  const [told, setTold] = useState<Told>();
  // What was typed as the layout's name, for the file that is open; who once wanted none is not asked again.
  const [typedName, setTypedName] = useState<string>();
  const [unnamed, setUnnamed] = useState(false);
  const [benchId, setBenchId] = useState(props.benches[0]?.id ?? "");
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [kept, setKept] = useState<readonly Kept[]>([]);
  const [busy, once] = useOneAtATime();
  const round = useRef(false);

  const nameFor = (read: ReadFile): string => typedName ?? (unnamed ? "" : rememberedName(read));

  const keep = (read: ReadFile): void => void once(() => keepNow(read));

  async function keepNow(read: ReadFile): Promise<void> {
    setProblems([]);
    const layoutName = nameFor(read);
    const answer = await keepRecording(props.seriesId, read, layoutName, benchId);
    if (!answer.ok) {
      round.current = false;
      setProblems(answer.problems);
      return announce(`${read.file.name} was not kept.`);
    }
    const { pulls, known } = answer.value;
    setKept((before) => [...before, { fileName: read.file.name, pulls: pulls.length, known }]);
    if (read.told && layoutName === "") setUnnamed(true);
    setTypedName(undefined);
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
            earlier={told}
            onTold={setTold}
            onClose={() => props.onClose([file])}
            onRead={(read) => {
              // Within a round a file without a pull waits for a look.
              if (round.current && read.reading.pulls.length > 0) keep(read);
              else round.current = false;
            }}
          >
            {(read) => (
              <div class="keep stack">
                <RememberLayout read={read} name={nameFor(read)} onName={setTypedName} />
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
