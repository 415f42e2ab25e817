import { useState } from "preact/hooks";
import type { BuiltInRecipe, SeriesOverview, StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { PickField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { ask } from "../server.ts";
import { useResource } from "../use-resource.ts";
import { Learned } from "./learned.tsx";
import { RecipeDialog } from "./recipe-dialog.tsx";

/** The recipes of the book, and those that come with the program to be taken over and changed. */
export function Recipes({ recipes, ropes }: Pick<SeriesOverview, "recipes" | "ropes">) {
  const answer = useResource<readonly BuiltInRecipe[]>("/api/built-in-recipes");
  const builtIn = answer?.ok === true ? answer.value : [];
  const [chosen, setChosen] = useState("");
  const [open, setOpen] = useState<StoredRecord<"recipe">>();
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();

  async function takeOver(): Promise<void> {
    const found = builtIn.find(({ id }) => id === chosen);
    if (found === undefined) return;
    const said = await ask<StoredRecord<"recipe">>("POST", "/api/records/recipe", found.fields);
    setProblems(said.ok ? [] : said.problems);
    if (!said.ok) return;
    announce(`${said.value.name} is in the book now.`);
    setChosen("");
    setOpen(said.value);
  }

  return (
    <Section
      title="Recipes"
      margin={
        <Note>
          Numbers in diameters of the rope; full bury and taper are kept apart. Every change makes a new
          version, and a specimen keeps the one that it was made by.
        </Note>
      }
    >
      {recipes.length > 0 && (
        <ul class="contents">
          {recipes.map((recipe) => (
            <li key={recipe.id}>
              <span>
                <button type="button" class="plain entry" onClick={() => setOpen(recipe)}>
                  {recipe.name}
                </button>
                <span class="aside">
                  {" "}
                  version {recipe.revision}
                  {recipe.buryFullDiameters === undefined
                    ? ""
                    : `, bury ${recipe.buryFullDiameters} d, taper ${recipe.buryTaperDiameters ?? 0} d`}
                </span>
              </span>
            </li>
          ))}
        </ul>
      )}
      <form
        class="fields"
        onSubmit={(event) => {
          event.preventDefault();
          void once(takeOver);
        }}
      >
        <PickField
          label="A recipe that comes with the program"
          value={chosen}
          onInput={setChosen}
          none="choose one"
          options={builtIn.map(({ id, fields }) => ({ value: id, label: fields.name }))}
        />
        <button type="submit" disabled={busy || chosen === ""}>
          Take it over into the book
        </button>
      </form>
      <Problems heading="Not taken over" problems={problems} />
      <Learned ropes={ropes} recipes={recipes} />
      {open !== undefined && <RecipeDialog recipe={open} onClose={() => setOpen(undefined)} />}
    </Section>
  );
}
