import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Problem } from "../../problem/mod.ts";
import type { Layout, LayoutHints, LayoutProposal, Reading } from "../../trace/mod.ts";
import { announce } from "../announce.tsx";
import { Problems, Warnings } from "../parts/problems.tsx";
import { fileSize, force } from "../shown-units.ts";
import { bestPeakN } from "../trace/best-peak.ts";
import { TraceFacts } from "../trace/trace-facts.tsx";
import { TracePicture } from "../trace/trace-picture.tsx";
import { count } from "../words.ts";
import { layoutOf } from "./layout-of.ts";
import { LayoutSheet, Questions } from "./layout-sheet.tsx";
import { type FileReader, openFile, type Progress } from "./reader.ts";
import { savedLayoutFor } from "./saved-layout.ts";

/** A file that was read: what is needed to keep it. */
export type ReadFile = {
  readonly file: File;
  readonly layout: Layout;
  readonly reading: Reading;
  /** True where the user answered or corrected something: worth keeping as a layout of that logger. */
  readonly told: boolean;
  readonly savedName?: string;
};

/** What a user said of one file, with how that file looked before. */
export type Told = { readonly looks: string; readonly hints: LayoutHints };

type Stage =
  | { readonly kind: "looking" }
  | { readonly kind: "asking" }
  | { readonly kind: "reading"; readonly progress: Progress }
  | { readonly kind: "read"; readonly reading: Reading; readonly layout: Layout }
  | { readonly kind: "stopped" }
  | { readonly kind: "refused"; readonly problems: readonly Problem[] };

/** One dropped file from its first bytes to its picture: looked at, asked about, read, drawn. */
export function FileSheet(props: {
  readonly file: File;
  /** What was answered for another file; it holds for this one only where both look the same. */
  readonly earlier?: Told | undefined;
  /** What is known of the file from the start: how a recording of the book is read now. */
  readonly begin?: LayoutHints;
  /** Whether the way in which it is read stands open from the start. */
  readonly open?: boolean;
  readonly onTold?: (told: Told) => void;
  readonly onRead?: (read: ReadFile) => void;
  readonly onClose: () => void;
  readonly children?: (read: ReadFile) => ComponentChildren;
}) {
  const { file } = props;
  const reader = useRef<FileReader | undefined>(undefined);
  const [stage, setStage] = useState<Stage>({ kind: "looking" });
  const [proposal, setProposal] = useState<LayoutProposal>();
  const [savedName, setSavedName] = useState<string>();
  const [hints, setHints] = useState<LayoutHints>(props.begin ?? {});
  const turn = useRef(0);
  const looks = useRef("");

  // A file is looked at anew with every answer; `turn` keeps a slow answer from overtaking a later one.
  async function look(said: LayoutHints): Promise<void> {
    turn.current += 1;
    const mine = turn.current;
    reader.current ??= openFile(file);
    const told = Object.keys(said).length > 0;
    const own = await reader.current.propose(said);
    // A saved layout may settle what can be read in two ways; where there is nothing to read, there is none to ask for.
    const readable = own.ok || own.problems.some((problem) => problem.code === "TRACE_AMBIGUOUS");
    const saved = told || !readable ? undefined : await savedLayoutFor(file);
    if (turn.current !== mine) return;
    if (!told && own.ok) {
      looks.current = looksOf(own.value);
      const { earlier } = props;
      if (saved === undefined && earlier !== undefined && earlier.looks === looks.current) {
        setHints(earlier.hints);
        return look(earlier.hints);
      }
    }
    setSavedName(saved?.saved?.name);
    if (!own.ok && saved === undefined) {
      setStage({ kind: "refused", problems: own.problems });
      announce(`${file.name} cannot be read.`);
      return;
    }
    const proposed = saved ?? (own.ok ? own.value : undefined);
    if (proposed === undefined) return;
    setProposal(proposed);
    const layout = layoutOf(proposed, said);
    if (layout === undefined) {
      setStage({ kind: "asking" });
      announce(proposed.questions.map((question) => question.text).join(" "));
      return;
    }
    await read(layout, mine, told, saved?.saved?.name);
  }

  async function read(layout: Layout, mine: number, told: boolean, saved: string | undefined): Promise<void> {
    setStage({ kind: "reading", progress: { share: 0, rows: 0 } });
    const answer = await reader.current?.read(layout, (progress) => {
      if (turn.current === mine) setStage({ kind: "reading", progress });
    });
    if (turn.current !== mine || answer === undefined) return;
    if (!answer.ok) {
      setStage({ kind: "refused", problems: answer.problems });
      announce(`${file.name} cannot be read.`);
      return;
    }
    const reading = answer.value;
    setStage({ kind: "read", reading, layout });
    announce(`${file.name}: ${peakWords(reading)}`);
    props.onRead?.({ file, layout, reading, told, ...(saved === undefined ? {} : { savedName: saved }) });
  }

  // A sheet belongs to one file; answers come through `tell`.
  useEffect(() => {
    look(hints);
    return () => {
      turn.current += 1;
      reader.current?.stop();
      reader.current = undefined;
    };
  }, [file]);

  function tell(said: LayoutHints): void {
    setHints(said);
    props.onTold?.({ looks: looks.current, hints: said });
    look(said);
  }

  function stop(): void {
    turn.current += 1;
    reader.current?.stop();
    reader.current = undefined;
    setStage({ kind: "stopped" });
    announce(`Stopped reading ${file.name}.`);
  }

  const questions = proposal !== undefined && <Questions proposal={proposal} hints={hints} onHints={tell} />;
  const sheet = proposal !== undefined && (
    <LayoutSheet
      proposal={proposal}
      hints={hints}
      onHints={tell}
      open={props.open === true}
      {...(savedName === undefined ? {} : { savedName })}
    />
  );
  return (
    <article class="file-sheet stack" aria-label={file.name}>
      <header class="file-head">
        <h2>
          {file.name} <span class="aside">{fileSize(file.size)}</span>
        </h2>
        <button type="button" class="plain" onClick={props.onClose}>
          put it away<span class="unseen"> {file.name}</span>
        </button>
      </header>
      {stage.kind === "looking" && <p class="aside">Looking at the file …</p>}
      {stage.kind === "reading" && (
        <div class="reading-now">
          <progress max="1" value={stage.progress.share} aria-label={`Reading ${file.name}`} />
          <span>{stage.progress.rows === 0 ? "Reading …" : `Reading … ${stage.progress.rows} rows`}</span>
          <button type="button" onClick={stop}>
            Stop
          </button>
        </div>
      )}
      {stage.kind === "stopped" && (
        <p>
          Stopped; nothing was kept.{" "}
          <button type="button" onClick={() => look(hints)}>
            Read it after all
          </button>
        </p>
      )}
      {stage.kind === "refused" && (
        <Problems heading={`Cannot read ${file.name}`} problems={stage.problems} />
      )}
      {stage.kind === "asking" && questions}
      {stage.kind === "asking" && sheet}
      {stage.kind === "refused" && sheet}
      {stage.kind === "read" && reader.current !== undefined && (
        <>
          <ReadingSheet reading={stage.reading} name={file.name} source={reader.current.source} />
          {questions}
          {props.children?.({
            file,
            layout: stage.layout,
            reading: stage.reading,
            told: Object.keys(hints).length > 0,
            ...(savedName === undefined ? {} : { savedName }),
          })}
          <details class="how-read" open={props.open === true}>
            <summary>How the file was read</summary>
            {sheet}
          </details>
        </>
      )}
    </article>
  );
}

/** Two files of one logger look the same: the same columns, units and signs between them. */
function looksOf({ layout, columns }: LayoutProposal): string {
  const { separator, decimal, time, force } = layout;
  return JSON.stringify([separator, decimal, time, force, columns.map(({ name, unit }) => [name, unit])]);
}

/** The peak in a second: the picture with the reading over it, and its figures beside. */
function ReadingSheet(props: {
  readonly reading: Reading;
  readonly name: string;
  readonly source: FileReader["source"];
}) {
  const { reading } = props;
  const [first] = reading.pulls;
  return (
    <>
      <p class="sentence">{peakWords(reading)}</p>
      <TracePicture source={props.source} rows={reading.rows} pulls={reading.pulls} name={props.name} />
      {reading.pulls.length === 1 && first !== undefined ? (
        <details>
          <summary>All that was read</summary>
          <TraceFacts pull={first} />
        </details>
      ) : (
        reading.pulls.length > 1 && (
          <ol class="peaks">
            {reading.pulls.map((pull) => (
              <li key={pull.index}>{force(bestPeakN(pull))}</li>
            ))}
          </ol>
        )
      )}
      <Warnings
        heading="Doubts about this reading"
        warnings={[...reading.warnings, ...reading.pulls.flatMap((pull) => pull.warnings)]}
      />
    </>
  );
}

/** What was found in a recording, in one sentence. */
export function peakWords(reading: Reading): string {
  const [first, ...others] = reading.pulls;
  if (first === undefined) return "No pull was found in it.";
  const rows = count(reading.rows, "row");
  if (others.length > 0) {
    const highest = Math.max(...reading.pulls.map(bestPeakN));
    return `${reading.pulls.length} pulls in ${rows}; the highest reached ${force(highest)}.`;
  }
  return first.netPeakN === undefined
    ? `One pull in ${rows}: ${force(first.peakN)} as recorded; the file shows no rest to take off.`
    : `One pull in ${rows}: ${force(bestPeakN(first))}, the rest level taken off.`;
}
