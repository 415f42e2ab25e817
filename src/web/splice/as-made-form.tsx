import type { CutBatch } from "../../splice/mod.ts";
import { buriesAsMade, type JobRecipe, outOfRecipe } from "../../splice/mod.ts";
import { measures, shownQuantity } from "../book/quantity.ts";
import { ChangedElsewhere } from "../parts/changed-elsewhere.tsx";
import { LongField, TextField } from "../parts/field.tsx";
import { Problems } from "../parts/problems.tsx";
import { type MadeField, madeFields, madeGroups, madeText } from "./as-made-fields.ts";
import type { AsMadeSheet } from "./use-as-made.ts";

/** What was really made, to be typed beside the splice; what is not by the recipe is marked at once. */
export function AsMadeForm(props: {
  readonly sheet: AsMadeSheet;
  readonly recipe: JobRecipe | undefined;
  readonly diameterMm: number | undefined;
  readonly batch: CutBatch | undefined;
}) {
  const { sheet, recipe, diameterMm, batch } = props;
  const otherwise =
    recipe === undefined || diameterMm === undefined ? [] : outOfRecipe(sheet.asTyped(), recipe, diameterMm);
  const hintOf = (field: MadeField) => {
    const differs = otherwise.find((one) => one.field === field.name);
    if (differs !== undefined) return <strong class="otherwise">{differs.sentence}</strong>;
    return plannedHint(field, props) ?? field.hint;
  };
  const second = batch === undefined || batch.marked.ends[1].taper !== undefined;
  return (
    <form
      class="as-made-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        for (const field of madeFields) sheet.leave(field);
      }}
    >
      {madeGroups
        .filter(({ title }) => second || !title.endsWith("bury"))
        .map(({ title, fields }) => (
          <fieldset key={title}>
            <legend>{title}</legend>
            <div class="pair">
              {fields.map((field) => {
                const frame = {
                  label: field.label,
                  hint: hintOf(field),
                  problems: sheet.problemsOf(field),
                  value: sheet.textOf(field),
                  onInput: (text: string) => sheet.type(field, text),
                  onLeave: () => sheet.leave(field),
                };
                return field.as === "long" ? (
                  <LongField key={field.name} {...frame} rows={2} />
                ) : (
                  <TextField key={field.name} {...frame} type={field.as === "date" ? "date" : "text"} />
                );
              })}
            </div>
          </fieldset>
        ))}
      <HowItStands sheet={sheet} />
    </form>
  );
}

/** How it stands with what was typed: in the book, on this device only, or changed elsewhere. */
function HowItStands({ sheet }: { readonly sheet: AsMadeSheet }) {
  const state = sheet.saver.state.value;
  const waiting = Object.keys(sheet.typed.value).length;
  if (state.kind === "changed") return <Both sheet={sheet} />;
  if (sheet.isUnanswered())
    return (
      <div class="stands care" role="status">
        <b>Not in the book yet</b>
        <p>
          Nobody answers. What you typed is kept on this device and is sent as soon as the book answers again.
        </p>
        <button type="button" onClick={() => void sheet.saver.flush()}>
          Send it now
        </button>
      </div>
    );
  if (state.kind === "refused") return <Problems heading="Not kept" problems={state.problems} />;
  return (
    <p class="stands" role="status">
      {state.kind === "saving"
        ? "Keeping …"
        : waiting > 0
          ? "Typed, kept on this device; it goes into the book as soon as it can be read."
          : "Everything is in the book."}
    </p>
  );
}

/** What somebody else entered in the same fields, beside one's own; neither wins by itself. */
function Both({ sheet }: { readonly sheet: AsMadeSheet }) {
  const state = sheet.saver.state.value;
  if (state.kind !== "changed") return null;
  const differences = madeFields
    .filter(({ name }) => state.fields.includes(name))
    .map((field) => ({
      label: field.label,
      mine: sheet.textOf(field),
      theirs: madeText(field, state.theirs),
    }));
  return (
    <ChangedElsewhere
      differences={differences}
      onMine={() => void sheet.saver.keepMine()}
      onTheirs={() => sheet.takeTheirs()}
    />
  );
}

/** What the recipe or the plan says of a field, in the unit that it is typed in. */
function plannedHint(
  { name }: MadeField,
  {
    recipe,
    diameterMm,
    batch,
  }: { recipe: JobRecipe | undefined; diameterMm: number | undefined; batch: CutBatch | undefined },
): string | undefined {
  const mm = (value: number) => shownQuantity(Math.round(value * 10) / 10, measures.mm);
  const cut = batch?.marked.cut;
  if (name === "cutLengthMm" && cut !== undefined) return `By the plan ${mm(cut.cutLengthMm)}.`;
  if (name === "finishedLengthMm" && cut !== undefined) return `By the plan ${mm(cut.slackLengthMm)}.`;
  if (recipe === undefined || diameterMm === undefined || recipe.buryFullDiameters === undefined)
    return undefined;
  const [near] = buriesAsMade({}, recipe, diameterMm);
  if (name === "buryFullMm" || name === "secondBuryFullMm")
    return `Recipe ${recipe.buryFullDiameters} d: ${mm(near.fullMm)}.`;
  if (name === "buryTaperMm" || name === "secondBuryTaperMm")
    return `Recipe ${recipe.buryTaperDiameters ?? 0} d: ${mm(near.taperMm)}.`;
  return undefined;
}
