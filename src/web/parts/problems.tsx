import type { Problem } from "../../problem/mod.ts";
import { formatNumber, withMinus } from "../../units/mod.ts";

/** Problems as sentences, in the same words as on the command line. */
export function Problems(props: { readonly heading?: string; readonly problems: readonly Problem[] }) {
  if (props.problems.length === 0) return null;
  return (
    <div class="problems" role="alert">
      {props.heading !== undefined && <b>{props.heading}</b>}
      <ul>
        {props.problems.map((problem, at) => (
          // The same problem may stand twice, at two places.
          <li key={at}>
            <ProblemText problem={problem} />
          </li>
        ))}
      </ul>
    </div>
  );
}

/** Doubts that ride along with a value: quieter than a refusal, and never left out. Many alike are folded into one. */
export function Warnings(props: {
  readonly warnings: readonly Problem[];
  readonly heading?: string;
  /** Shows a row of the recording that a doubt speaks of. */
  readonly onShow?: (row: number) => void;
}) {
  if (props.warnings.length === 0) return null;
  return (
    <div class="doubts">
      {props.heading !== undefined && <b>{props.heading}</b>}
      <ul>
        {alike(props.warnings).map(([first, ...others]) => (
          <li key={`${first.code} ${first.message}`}>
            <ProblemText problem={first} />
            <ShowIt problem={first} onShow={props.onShow} />
            {others.length > 0 && (
              <details>
                <summary>and {others.length} like it</summary>
                <ul>
                  {others.map((warning, at) => (
                    // The same doubt may stand twice, at two places.
                    <li key={at}>
                      <ProblemText problem={warning} />
                      <ShowIt problem={warning} onShow={props.onShow} />
                    </li>
                  ))}
                </ul>
              </details>
            )}
          </li>
        ))}
      </ul>
    </div>
  );
}

function ShowIt(props: { readonly problem: Problem; readonly onShow: ((row: number) => void) | undefined }) {
  const row = props.problem.where?.row;
  const { onShow } = props;
  if (row === undefined || onShow === undefined) return null;
  return (
    <button type="button" class="plain show-it" onClick={() => onShow(row)}>
      show on the trace<span class="unseen"> row {row}</span>
    </button>
  );
}

/** Doubts by their code, in the order in which the codes first come; fewer than four of a kind are not folded. */
function alike(warnings: readonly Problem[]): readonly (readonly [Problem, ...Problem[]])[] {
  const kinds = new Map<string, [Problem, ...Problem[]]>();
  for (const warning of warnings) {
    const known = kinds.get(warning.code);
    if (known === undefined) kinds.set(warning.code, [warning]);
    else known.push(warning);
  }
  return [...kinds.values()].flatMap((kind) =>
    kind.length < 4 ? kind.map((one): [Problem] => [one]) : [kind],
  );
}

/** One problem: what is wrong, where, what was found and wanted, the way out. */
export function ProblemText({ problem }: { readonly problem: Problem }) {
  const { where } = problem;
  const place = placeText(problem);
  const found =
    problem.found === undefined
      ? ""
      : `found ${foundText(problem.found)}${problem.expected === undefined ? "" : `, wanted ${problem.expected}`}`;
  const detail = [place, found].filter((text) => text !== "").join(": ");
  return (
    <>
      {problem.message} {detail !== "" && <span>({detail}) </span>}
      {where?.text !== undefined && (
        <pre>
          {where.line === undefined ? "" : `${where.line} | `}
          {where.text}
        </pre>
      )}
      {problem.wayOut !== undefined && <span>{problem.wayOut} </span>}
      <span class="code">{problem.code}</span>
    </>
  );
}

/** The problems of one field of a form, also those of its parts ("levels.bury" belongs to "levels"). */
export function problemsOf(problems: readonly Problem[], field: string): readonly Problem[] {
  return problems.filter(({ where }) => {
    const at = where?.field;
    return at === field || at?.startsWith(`${field}.`) === true || at?.startsWith(`${field}[`) === true;
  });
}

/** A number to as many digits as can be read; anything else in quotes, so that its blanks show. */
function foundText(found: string): string {
  const value = Number(found);
  if (found.trim() === "" || !Number.isFinite(value)) return JSON.stringify(found);
  return found.length > 12 ? withMinus(formatNumber(value, { significant: 4 })) : withMinus(found);
}

function placeText({ where }: Problem): string {
  const parts: string[] = [];
  if (where?.file !== undefined) parts.push(where.file);
  if (where?.line !== undefined) parts.push(`line ${where.line}`);
  if (where?.row !== undefined) parts.push(`row ${where.row}`);
  if (where?.column !== undefined) parts.push(`column ${JSON.stringify(where.column)}`);
  return parts.join(", ");
}
