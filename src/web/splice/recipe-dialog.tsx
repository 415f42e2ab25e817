import { useLayoutEffect, useState } from "preact/hooks";
import type { RecipeVersion, StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { type RecipeStep, recipeNumberNames, recipeNumberWords, stepFigures } from "../../splice/mod.ts";
import { announce } from "../announce.tsx";
import { fieldsOf, typedOf } from "../book/form-values.ts";
import { recallTyped, rememberTyped } from "../memory.ts";
import { useOneAtATime } from "../one-at-a-time.ts";
import { ChangedElsewhere } from "../parts/changed-elsewhere.tsx";
import { Dialog } from "../parts/dialog.tsx";
import { LongField, PickField, TextField } from "../parts/field.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { useFirstWrong } from "../parts/use-first-wrong.ts";
import { ask } from "../server.ts";
import { useResource } from "../use-resource.ts";
import { whenText } from "../words.ts";
import { labelOf, mergeRecipe } from "./merge-recipe.ts";
import { recipeSpecs } from "./recipe-specs.ts";

type Recipe = StoredRecord<"recipe">;
type Numbers = Recipe["numbers"];

/** One recipe: its numbers and steps to be changed, and what it said before. */
export function RecipeDialog({ recipe, onClose }: { readonly recipe: Recipe; readonly onClose: () => void }) {
  const [draft] = useState(() => recallTyped<Draft>(`recipe.${recipe.id}`));
  const [base, setBase] = useState(draft?.base ?? recipe);
  const [typed, setTyped] = useState(() => draft?.typed ?? typedOf(recipeSpecs, recipe));
  const [numbers, setNumbers] = useState(() => draft?.numbers ?? typedNumbers(recipe.numbers));
  const [steps, setSteps] = useState<readonly RecipeStep[]>(draft?.steps ?? recipe.steps);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [theirs, setTheirs] = useState<Recipe>();
  const form = useFirstWrong(problems);
  const [busy, once] = useOneAtATime();

  // What is typed outlives a reload and a closed page, until it is kept or left; at once, since the page may go at once.
  useLayoutEffect(() => {
    const now = { typed, numbers, steps };
    const kept = {
      typed: typedOf(recipeSpecs, base),
      numbers: typedNumbers(base.numbers),
      steps: base.steps,
    };
    rememberTyped(
      `recipe.${recipe.id}`,
      JSON.stringify(now) === JSON.stringify(kept) ? undefined : { base, ...now },
    );
  }, [recipe.id, base, typed, numbers, steps]);

  function close(): void {
    rememberTyped(`recipe.${recipe.id}`, undefined);
    onClose();
  }

  /** What stands in the dialog as a recipe's fields; problems where it cannot be read. */
  function read() {
    const { fields, problems: wrong } = fieldsOf(recipeSpecs, typed);
    const own = readNumbers(numbers, base.numbers);
    const kept = steps.filter(({ text }) => text.trim() !== "");
    return {
      wrong: [...wrong, ...own.problems],
      wanted: { ...fields, numbers: own.numbers, steps: kept },
    };
  }

  async function save(against: Recipe): Promise<void> {
    const { wanted, wrong } = read();
    setTheirs(undefined);
    if (wrong.length > 0) return setProblems(wrong);
    const answer = await ask<Recipe>("PATCH", `/api/records/recipe/${against.id}`, {
      revision: against.revision,
      patch: mergeRecipe(base, wanted, against).patch,
    });
    if (answer.ok) {
      announce(`${answer.value.name} kept as version ${answer.value.revision}.`);
      return close();
    }
    setProblems(answer.problems);
    if (answer.status !== 409) return;
    const fresh = await ask<Recipe>("GET", `/api/records/recipe/${against.id}`);
    if (!fresh.ok) return;
    // Where somebody else changed other fields only, both changes stand.
    if (mergeRecipe(base, wanted, fresh.value).clashing.length === 0) return save(fresh.value);
    setProblems([]);
    setTheirs(fresh.value);
  }

  /** What both changed becomes theirs; what else was typed here stays. */
  function takeTheirs(fresh: Recipe): void {
    const { clashing, patch } = mergeRecipe(base, read().wanted, fresh);
    const mine = (name: string) => name in patch && !clashing.includes(name);
    const typedNow = typedOf(recipeSpecs, fresh);
    const numbersNow = typedNumbers(fresh.numbers);
    const before = typedNumbers(base.numbers);
    setTyped(
      Object.fromEntries(
        Object.entries(typedNow).map(([name, text]) => [name, mine(name) ? (typed[name] ?? "") : text]),
      ),
    );
    setNumbers(
      Object.fromEntries(
        recipeNumberNames.map((name) => [
          name,
          numbers[name] === before[name] || clashing.includes(name) ? numbersNow[name] : numbers[name],
        ]),
      ),
    );
    if (!mine("steps")) setSteps(fresh.steps);
    setBase(fresh);
    setTheirs(undefined);
    setProblems([]);
  }

  const known = new Set([...recipeSpecs.map(({ name }) => name), ...recipeNumberNames]);
  const elsewhere = problems.filter(({ where }) => !known.has(where?.field ?? ""));
  return (
    <Dialog title={recipe.name} onClose={onClose}>
      <form
        ref={form}
        class="fields"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void once(() => save(base));
        }}
      >
        {draft !== undefined && (
          <p>Typed here before and not yet kept: keep it as the next version, or leave it.</p>
        )}
        {recipe.burySource !== "" && <p class="aside">{recipe.burySource}</p>}
        <div class="pair">
          {recipeSpecs.map(({ name, label, hint, as }) => (
            <TextField
              key={name}
              label={label}
              {...(hint === undefined ? {} : { hint })}
              {...(as === "text" ? {} : { inputMode: "decimal" as const })}
              value={typed[name] ?? ""}
              problems={problemsOf(problems, name)}
              onInput={(text) => setTyped({ ...typed, [name]: text })}
            />
          ))}
        </div>
        <details>
          <summary>Allowances; what is left empty is the customary one</summary>
          <div class="pair">
            {recipeNumberNames.map((name) => {
              const { says, unit } = recipeNumberWords[name];
              return (
                <TextField
                  key={name}
                  label={`${labelOf(name)}, ${unit === "share" ? "%" : unit}`}
                  hint={says}
                  inputMode="decimal"
                  value={numbers[name] ?? ""}
                  problems={problemsOf(problems, name)}
                  onInput={(text) => setNumbers({ ...numbers, [name]: text })}
                />
              );
            })}
          </div>
        </details>
        <details>
          <summary>Steps of making ({steps.length})</summary>
          <StepFields steps={steps} onSteps={setSteps} />
        </details>
        <Versions recipe={recipe} />
        <Problems heading="Not kept" problems={elsewhere} />
        {theirs !== undefined && (
          <ChangedElsewhere
            differences={mergeRecipe(base, read().wanted, theirs).differences}
            onMine={() => void once(() => save(theirs))}
            onTheirs={() => takeTheirs(theirs)}
          />
        )}
        <div class="buttons">
          <button type="submit" class="main" disabled={busy}>
            Keep as the next version
          </button>
          <button type="button" onClick={close}>
            Leave it
          </button>
        </div>
      </form>
    </Dialog>
  );
}

/** What is typed of a recipe and not kept, with the version that the typing started from. */
type Draft = {
  readonly base: Recipe;
  readonly typed: Readonly<Record<string, string>>;
  readonly numbers: ReturnType<typeof typedNumbers>;
  readonly steps: readonly RecipeStep[];
};

function StepFields(props: {
  readonly steps: readonly RecipeStep[];
  readonly onSteps: (steps: readonly RecipeStep[]) => void;
}) {
  const { steps, onSteps } = props;
  const change = (at: number, step: RecipeStep) => onSteps(steps.with(at, step));
  return (
    <>
      {steps.map(({ text, figure }, at) => (
        // Steps have no names; their place is what they are.
        <div key={at} class="step-fields">
          <LongField
            label={`Step ${at + 1}`}
            rows={2}
            value={text}
            onInput={(typed) => change(at, { text: typed, ...(figure === undefined ? {} : { figure }) })}
          />
          <PickField
            label={`Drawing of step ${at + 1}`}
            none="none"
            value={figure ?? ""}
            options={stepFigures.map((one) => ({ value: one, label: one.replaceAll("-", " ") }))}
            onInput={(picked) => {
              const drawn = stepFigures.find((one) => one === picked);
              change(at, { text, ...(drawn === undefined ? {} : { figure: drawn }) });
            }}
          />
        </div>
      ))}
      <p class="aside">A step left empty is taken out.</p>
      <button type="button" onClick={() => onSteps([...steps, { text: "" }])}>
        One more step
      </button>
    </>
  );
}

/** What the recipe said at each of its revisions. */
function Versions({ recipe }: { readonly recipe: Recipe }) {
  const answer = useResource<readonly RecipeVersion[]>(`/api/recipes/${recipe.id}/versions`);
  const versions = answer?.ok === true ? answer.value : [];
  return (
    <details>
      <summary>Versions ({versions.length})</summary>
      <ul class="versions">
        {versions.toReversed().map(({ revision, changedAt, fields }) => (
          <li key={revision}>
            Version {revision}, {whenText(changedAt)}: bury {fields.buryFullDiameters ?? "–"} d, taper{" "}
            {fields.buryTaperDiameters ?? "–"} d, {fields.crossings} crossings, {fields.steps.length} steps
          </li>
        ))}
      </ul>
    </details>
  );
}

/** Shares are typed as per cent. */
const typedPer = (name: keyof Numbers) => (recipeNumberWords[name].unit === "share" ? 100 : 1);

function typedNumbers(numbers: Numbers): Readonly<Partial<Record<keyof Numbers, string>>> {
  return Object.fromEntries(
    recipeNumberNames.flatMap((name) => {
      const number = numbers[name];
      return number === undefined
        ? []
        : [[name, String(Number((number.value * typedPer(name)).toPrecision(9)))]];
    }),
  );
}

function readNumbers(typed: Readonly<Partial<Record<keyof Numbers, string>>>, before: Numbers) {
  const numbers: Numbers = {};
  const problems: Problem[] = [];
  for (const name of recipeNumberNames) {
    const text = (typed[name] ?? "").trim();
    if (text === "") continue;
    const value = Number(text.replace(",", ".").replace(/\s*(%|d|mm)$/, "")) / typedPer(name);
    const known = before[name];
    if (!Number.isFinite(value) || value < 0)
      problems.push({
        code: "INPUT_FIELD",
        message: `${labelOf(name)} is not a number.`,
        where: { field: name },
        found: text,
        expected: "a number such as 6.5",
      });
    else if (known !== undefined && Math.abs(known.value - value) < 1e-9) numbers[name] = known;
    // A number of one's own no longer rests on what the old one rested on.
    else numbers[name] = { value, spread: known?.spread ?? 0, source: "own choice" };
  }
  return { numbers, problems };
}
