import type { ComponentChildren } from "preact";
import type { SeriesOverview } from "../../app/mod.ts";
import type { CellFindings, SeriesFindings } from "../../findings/mod.ts";
import type { Result } from "../../problem/mod.ts";
import { outcomeKinds } from "../../series/mod.ts";
import { levelText } from "../book/specimen-rows.ts";
import { Given } from "../parts/given.tsx";
import { Mark } from "../parts/marks.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { forceFigure, forceUnit, percent } from "../shown-units.ts";
import { capital } from "../words.ts";

/** The statistics of each cell of the plan, refusals with their reasons among them. */
export function CellsTable(props: {
  readonly overview: SeriesOverview;
  readonly cells: readonly CellFindings[];
  readonly statedBy: SeriesFindings["statedBy"];
}) {
  const { cells } = props;
  const { factors } = props.overview.series;
  const unit = forceUnit.value;
  return (
    <Scroll label="Statistics of each cell">
      <table class="cells">
        <thead>
          <tr>
            {factors.map((factor) => (
              <th key={factor.name} scope="col">
                {factor.unit === "" ? factor.name : `${factor.name}, ${factor.unit}`}
              </th>
            ))}
            {factors.length === 0 && <th scope="col">Cell</th>}
            <th scope="col">Outcomes</th>
            <th scope="col" class="number">
              n
            </th>
            <th scope="col" class="number">
              Mean, {unit}
            </th>
            <th scope="col" class="number">
              95 % interval of the mean, {unit}
            </th>
            <th scope="col" class="number">
              SD, {unit}
            </th>
            <th scope="col" class="number">
              CV
            </th>
            <th scope="col" class="number">
              Lowest, {unit}
            </th>
            <th scope="col" class="number">
              Mean − 3 SD, {unit}
            </th>
            <th scope="col" class="number">
              {capital(props.statedBy.name)}, {unit}
            </th>
            <th scope="col" class="number">
              Line efficiency
            </th>
            <th scope="col" class="number">
              Leg efficiency
            </th>
          </tr>
        </thead>
        <tbody>
          {cells.map((cell) => (
            <tr key={cell.label}>
              <CellName cell={cell} names={factors.map((factor) => factor.name)} />
              <td>
                <Outcomes cell={cell} />
              </td>
              <td class="number">{cell.n}</td>
              {runs(figuresOf(cell)).map(([first, ...others]) => (
                <td
                  key={first.name}
                  class={first.name === "mean" ? "number strong" : "number"}
                  colSpan={1 + others.length}
                >
                  <Given of={first.of}>{(content) => content}</Given>
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}

type Figure = { readonly name: string; readonly of: Result<ComponentChildren> };

/** The figures of a cell in the order of the columns, each as it is shown or with why there is none. */
function figuresOf(cell: CellFindings): readonly Figure[] {
  const figure = <T,>(name: string, of: Result<T>, show: (value: T) => ComponentChildren): Figure => ({
    name,
    of: of.ok ? { ...of, value: show(of.value) } : of,
  });
  return [
    figure("mean", cell.meanN, forceFigure),
    figure("interval", cell.meanIntervalN, ([low, high]) => `${forceFigure(low)} to ${forceFigure(high)}`),
    figure("sd", cell.sdN, forceFigure),
    figure("cv", cell.cv, percent),
    figure("lowest", cell.lowestN, forceFigure),
    figure("mean-3sd", cell.meanMinus3SdN, forceFigure),
    figure("bound", cell.bound, ({ boundN, stopped }) => (
      <>
        {forceFigure(boundN)}
        {stopped > 0 && <small>{stopped} stopped in it</small>}
      </>
    )),
    figure("line", cell.meanLineEfficiency, percent),
    figure("leg", cell.meanLegEfficiency, percent),
  ];
}

/** Neighbours that are refused for the same reason share one cell, and the reason stands once. */
function runs(figures: readonly Figure[]): readonly (readonly [Figure, ...Figure[]])[] {
  const found: [Figure, ...Figure[]][] = [];
  for (const figure of figures) {
    const last = found.at(-1);
    const why = whyNot(figure);
    if (last !== undefined && why !== undefined && whyNot(last[0]) === why) last.push(figure);
    else found.push([figure]);
  }
  return found;
}

function whyNot({ of }: Figure): string | undefined {
  return of.ok ? undefined : of.problems.map(({ message }) => message).join(" ");
}

/** A cell of the plan by its levels, one column each; any other cell by its words across them. */
function CellName({ cell, names }: { readonly cell: CellFindings; readonly names: readonly string[] }) {
  const levels = names.map((name) => cell.levels[name]);
  if (names.length === 0 || levels.includes(undefined))
    return (
      <th scope="row" colSpan={Math.max(1, names.length)}>
        {cell.label}
      </th>
    );
  return (
    <>
      {levels.map((level, at) =>
        at === 0 ? (
          <th key={names[at]} scope="row">
            {levelText(level ?? "")}
          </th>
        ) : (
          <td key={names[at]}>{levelText(level ?? "")}</td>
        ),
      )}
    </>
  );
}

function Outcomes({ cell }: { readonly cell: CellFindings }) {
  const there = outcomeKinds.filter((kind) => cell.outcomes[kind] > 0);
  if (there.length === 0) return <span class="refused">none said</span>;
  return (
    <span class="outcome-counts">
      {there.map((kind) => (
        <span key={kind}>
          <Mark kind={kind} /> {cell.outcomes[kind]} {kind}
        </span>
      ))}
    </span>
  );
}
