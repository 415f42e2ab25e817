import type { BuryPlan, BuryPlanInput } from "../../findings/mod.ts";
import { announce } from "../announce.tsx";
import { PickField, TextField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { percent } from "../shown-units.ts";
import type { PlanTyped } from "./asked.ts";
import { said } from "./how-many-pulls.tsx";
import type { PlanningProps } from "./planning-props.ts";
import { useSimulation } from "./simulate.ts";

/** Whether the buries of the plan bracket the turn from slip to break, and what the fit would make of them. */
export function WhichBuries({ overview, plan, typed, put, problems }: PlanningProps) {
  const { done, progress, problems: refused, run, stop } = useSimulation();
  const bury = plan?.bury;
  if (bury === undefined) return null;
  const proposed = bury.proposed.ok ? bury.proposed.value : undefined;
  const { truth, chance, pullsPerLevel, levels } = bury;
  const inputs: BuryPlanInput[] = [levels, ...(proposed === undefined ? [] : [proposed.levels])].map(
    (some) => ({ levels: some, pullsPerLevel, truth, chance, seed: 1 }),
  );
  const key = JSON.stringify(inputs);
  const shown = done?.of === key ? done.plans : undefined;
  const field = (label: string, name: keyof PlanTyped & keyof typeof truth, share: boolean) => (
    <TextField
      label={label}
      value={typed[name]}
      inputMode="decimal"
      placeholder={String(Number((Number(truth[name]) * (share ? 100 : 1)).toPrecision(3)))}
      onInput={(value) => put({ [name]: value })}
      problems={problemsOf(problems, `truth.${name}`)}
    />
  );
  return (
    <Section
      wide
      id="which-buries"
      title="Which buries"
      margin={
        <>
          <Note>
            Short buries slip, long ones break. The plan answers best where some levels slip, some break, and
            some do both. Nobody knows the turn beforehand: what stands here is assumed, and yours to change.
          </Note>
          <Note>
            The standard errors go by what the pulls hold at best; a handful does worse, and the simulated
            series show by how much.
          </Note>
          <Note>
            Where other things are varied as well, this is what one level of them shows: {pullsPerLevel} at
            each bury.
          </Note>
        </>
      }
    >
      <p class="aside">Assumed, where nothing is typed: {bury.truthSays}.</p>
      <div class="pair">
        {field("Half slip at a bury of, d", "turn", false)}
        {field("A shorter bury, d", "slipBury", false)}
        {field("Slips there at, % of rated", "slipStrength", true)}
        {field("Breaks at, % of rated", "plateau", true)}
        <TextField
          label="Scatter of both, %"
          value={typed.scatter}
          inputMode="decimal"
          placeholder={scatters(truth)}
          onInput={(scatter) => put({ scatter })}
          problems={problemsOf(problems, "truth.slipScatter")}
        />
        <PickField
          label="Grip grows with bury"
          value={typed.growth || truth.growth}
          options={[
            { value: "exponential", label: "by the same share for each d" },
            { value: "linear", label: "by the same force for each d" },
          ]}
          onInput={(growth) => put({ growth: growth as PlanTyped["growth"] })}
        />
      </div>
      {bury.trueBury !== undefined && (
        <p>
          In that world {percent(chance)} slip first at <b>{bury.trueBury.toFixed(1)} d</b>.{" "}
          {proposed !== undefined && (
            <>
              Levels of <b>{proposed.levels.join(", ")} d</b> would place it to ±{" "}
              {proposed.standardError.toFixed(1)} d (one standard error); the plan’s{" "}
              {levels.map(short).join(", ")} d{" "}
              {bury.standardError === undefined
                ? ""
                : said(bury.standardError, (value) => `to ± ${value.toFixed(1)} d.`)}
            </>
          )}
        </p>
      )}
      {!bury.proposed.ok && <Problems problems={bury.proposed.problems} />}
      <div class="buttons">
        {progress === undefined ? (
          <button
            type="button"
            onClick={() => {
              announce("Trying the plan.");
              void run(inputs, key);
            }}
          >
            Try the plan on simulated series
          </button>
        ) : (
          <>
            <button type="button" onClick={stop}>
              Stop
            </button>
            <label class="plan-progress">
              {progress.made} of {progress.of} series
              <progress value={progress.made} max={progress.of} />
            </label>
          </>
        )}
        {proposed !== undefined && (
          <span class="aside">
            To take other levels, type them above under “What is varied”
            {overview.pulls.length > 0 ? "; the plan that was is then kept" : ""}.
          </span>
        )}
      </div>
      <Problems heading="Cannot be tried" problems={refused} />
      {shown !== undefined && <Outcome plans={shown} />}
    </Section>
  );
}

function Outcome({ plans }: { readonly plans: readonly BuryPlan[] }) {
  const first = plans[0];
  return (
    <Scroll label="What the plan would tell">
      <table>
        <caption>
          What {first?.series} simulated series would tell, at {first?.pullsPerLevel} pulls a bury: the bury
          to state less the true one
        </caption>
        <thead>
          <tr>
            <th scope="col">Levels, d</th>
            <th scope="col" class="number">
              In the middle
            </th>
            <th scope="col" class="number">
              80 of 100 series
            </th>
            <th scope="col" class="number">
              Could state nothing
            </th>
            <th scope="col" class="number">
              Stated too short
            </th>
          </tr>
        </thead>
        <tbody>
          {plans.map(({ levels, beyond, nothing, tooShort }, at) => (
            <tr key={at}>
              <th scope="row">
                {at === 0 ? "The plan: " : "Proposed: "}
                {levels.map(short).join(", ")}
              </th>
              <td class="number strong">{signed(beyond.median)}</td>
              <td class="number">
                {beyond.low === undefined ? "no end" : `${signed(beyond.low)} to ${signed(beyond.high)}`}
              </td>
              <td class="number">{percent(nothing)}</td>
              <td class="number">{percent(tooShort)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}

function signed(value: number | undefined): string {
  if (value === undefined) return "no end";
  return `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)} d`;
}

/** One figure, or both where slips and breaks scatter differently. */
function scatters({ slipScatter, breakScatter }: BuryPlanInput["truth"]): string {
  const [slip, rope] = [slipScatter, breakScatter].map((share) =>
    String(Number((share * 100).toPrecision(3))),
  );
  return slip === rope ? String(slip) : `slips ${slip}, breaks ${rope}`;
}

function short(level: number): string {
  return String(Number(level.toPrecision(4)));
}
