import { useEffect, useMemo, useState } from "preact/hooks";
import type { PastedCalibration } from "../../app/mod.ts";
import type { Problem, Warning } from "../../problem/mod.ts";
import type { ForceUnit } from "../../units/mod.ts";
import { announce } from "../announce.tsx";
import { PickField } from "../parts/field.tsx";
import { Problems, ProblemText, Warnings } from "../parts/problems.tsx";
import { useWidth } from "../parts/use-width.ts";
import { ask } from "../server.ts";
import { shownForceUnits } from "../shown-units.ts";
import { count } from "../words.ts";
import { type PointRow, pointsOf, pointsText, rowsOf, textOf } from "./calibration-rows.ts";

/**
 * The points of a load cell's certificate: a small ledger, filled by hand or pasted whole, with a figure of what they say
 * of the cell. A bare number is in kilonewtons.
 */
export function CalibrationLedger(props: {
  readonly label: preact.ComponentChildren;
  /** A line for each point, a tab between the two forces. */
  readonly text: string;
  readonly accuracyClass: string;
  readonly problems: readonly Problem[];
  readonly onText: (text: string) => void;
}) {
  const rows = rowsOf(props.text);
  // There is always an empty row to type into.
  const last = rows.at(-1);
  const shown =
    last === undefined || last.applied !== "" || last.indicated !== ""
      ? [...rows, { applied: "", indicated: "" }]
      : rows;
  const put = (at: number, change: Partial<PointRow>): void =>
    props.onText(textOf(shown.map((row, place) => (place === at ? { ...row, ...change } : row))));

  /** A table copied from a spreadsheet fills the rows from here on. */
  function paste(event: ClipboardEvent, at: number): void {
    const text = event.clipboardData?.getData("text") ?? "";
    const lines = text.split(/\r?\n/).filter((line) => line.trim() !== "");
    if (!lines.some((line) => line.includes("\t"))) return;
    event.preventDefault();
    const pasted = rowsOf(lines.join("\n"));
    props.onText(textOf([...shown.slice(0, at), ...pasted]));
    announce(`${count(pasted.length, "row")} pasted.`);
  }

  return (
    <fieldset class="calibration">
      <legend>{props.label}</legend>
      <p class="hint">
        What was applied, and what the cell showed of it. In kN unless you say otherwise: 500 kgf, 2000 lbf.
      </p>
      <table class="points">
        <thead>
          <tr>
            <th scope="col">Applied</th>
            <th scope="col">Shown</th>
            <th scope="col">
              <span class="unseen">Take out</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {shown.map((row, at) => (
            // Rows have no names; their place is what they are known by.
            <tr key={at}>
              {(["applied", "indicated"] as const).map((side) => (
                <td key={side}>
                  <input
                    type="text"
                    inputMode="decimal"
                    autoComplete="off"
                    aria-label={`${side === "applied" ? "Applied" : "Shown"}, point ${at + 1}`}
                    value={row[side]}
                    onInput={(event) => put(at, { [side]: event.currentTarget.value })}
                    onPaste={(event) => paste(event, at)}
                  />
                </td>
              ))}
              <td>
                {(row.applied !== "" || row.indicated !== "") && (
                  <button
                    type="button"
                    class="plain"
                    onClick={() => props.onText(textOf(rows.filter((_, place) => place !== at)))}
                  >
                    take out<span class="unseen"> point {at + 1}</span>
                  </button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {props.problems.map((problem, at) => (
        <p key={at} class="wrong">
          <ProblemText problem={problem} />
        </p>
      ))}
      <PasteTable onPoints={(text) => props.onText(text)} />
      <CertificateFigure text={props.text} accuracyClass={props.accuracyClass} />
    </fieldset>
  );
}

/** A certificate's table as text, with commas, semicolons or tabs; the server reads it and says what it cannot read. */
function PasteTable({ onPoints }: { readonly onPoints: (text: string) => void }) {
  const [text, setText] = useState("");
  const [unit, setUnit] = useState("");
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [warnings, setWarnings] = useState<readonly Warning[]>([]);

  async function read(): Promise<void> {
    const said = unit === "" ? {} : { appliedUnit: unit as ForceUnit, indicatedUnit: unit as ForceUnit };
    const answer = await ask<PastedCalibration>(
      "POST",
      "/api/calibration-points",
      { text, ...said },
      { quiet: true },
    );
    setProblems(answer.ok ? [] : answer.problems);
    setWarnings(answer.ok ? answer.warnings : []);
    if (!answer.ok) return;
    onPoints(pointsText(answer.value.points));
    setText("");
    announce(`${count(answer.value.points.length, "point")} read.`);
  }

  return (
    <details>
      <summary>Paste them from a spreadsheet or CSV</summary>
      <div class="stack">
        <textarea
          rows={5}
          aria-label="Table of the certificate"
          placeholder={"applied kN;shown kN\n10;10,02\n20;20,05"}
          value={text}
          onInput={(event) => setText(event.currentTarget.value)}
        />
        <PickField
          label="Forces in it are in"
          value={unit}
          none="as its heading says"
          options={shownForceUnits.map((one) => ({ value: one, label: one }))}
          onInput={setUnit}
        />
        <Problems heading="Not read" problems={problems} />
        <Warnings warnings={warnings} />
        <div class="buttons">
          <button type="button" disabled={text.trim() === ""} onClick={() => void read()}>
            Read them in place of those above
          </button>
        </div>
      </div>
    </details>
  );
}

function CertificateFigure(props: { readonly text: string; readonly accuracyClass: string }) {
  const { place, width } = useWidth<HTMLDivElement>();
  const [draw, setDraw] = useState<typeof import("../figures.ts").figureCalibration>();
  useEffect(() => {
    import("../figures.ts").then(({ figureCalibration }) => setDraw(() => figureCalibration));
  }, []);
  const drawing = useMemo(() => {
    const points = pointsOf(props.text, "calibrationPoints");
    if (draw === undefined || width === 0 || !points.ok || points.value.length === 0) return "";
    const accuracyClass = Number(props.accuracyClass.replace(",", "."));
    return draw(
      { points: points.value, ...(accuracyClass > 0 ? { accuracyClass } : {}) },
      { width: Math.max(280, Math.min(width, 560)) },
    );
  }, [draw, width, props.text, props.accuracyClass]);
  return (
    <div class="certificate">
      {/* The drawing is our own: src/report escapes every text that goes into it. */}
      <div ref={place} dangerouslySetInnerHTML={{ __html: drawing }} />
      {drawing !== "" && (
        <p class="hint">
          Dots: the points. Line: the correction that readings take from them, with twice its standard
          uncertainty as a band. Dashed: the accuracy class.
        </p>
      )}
    </div>
  );
}
