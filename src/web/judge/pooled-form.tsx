import type { SeriesOverview, StoredRecord } from "../../app/mod.ts";
import { strengthBases, strengthEnds } from "../../splice/mod.ts";
import { PickField, TextField } from "../parts/field.tsx";
import { useResource } from "../use-resource.ts";
import { basisOptions, fieldsOfPooled, type Typed, typedPooled } from "./outside-fields.ts";
import { type FieldOf, LevelFields, OutsideForm } from "./outside-form.tsx";

type Series = StoredRecord<"series">;

/** A series to set beside this one: chosen from the book, or mean, SD and n as they were published. */
export function PooledForm(props: {
  readonly overview: SeriesOverview;
  readonly record: StoredRecord<"pooled-series"> | undefined;
  readonly onClose: () => void;
}) {
  const { series } = props.overview;
  const answer = useResource<readonly Series[]>("/api/records/series");
  const others = (answer?.ok === true ? answer.value : []).filter(({ id }) => id !== series.id);
  const otherOf = (typed: Typed) => others.find(({ id }) => id === typed["otherSeriesId"]);
  return (
    <OutsideForm
      title={props.record === undefined ? "Another series" : "Change this series"}
      kind="pooled-series"
      seriesId={series.id}
      record={props.record}
      begin={typedPooled(props.record)}
      read={(typed) => fieldsOfPooled(typed, { factors: series.factors, other: otherOf(typed) })}
      shownAs={{ meanShare: "mean", meanN: "mean", sdShare: "sd", sdN: "sd" }}
      onClose={props.onClose}
    >
      {(field, typed) => (
        <>
          <PickField
            label="Where its figures come from"
            options={[
              { value: "book", label: "a series of this book" },
              { value: "published", label: "a publication: mean, SD and n" },
            ]}
            {...field("from")}
          />
          {typed["from"] === "published" ? (
            <Published field={field} typed={typed} />
          ) : (
            <FromBook field={field} others={others} other={otherOf(typed)} />
          )}
          <LevelFields
            legend="With which pulls of this series it is pooled"
            prefix="levels"
            factors={series.factors}
            field={field}
          />
        </>
      )}
    </OutsideForm>
  );
}

function FromBook(props: {
  readonly field: FieldOf;
  readonly others: readonly Series[];
  readonly other: Series | undefined;
}) {
  const { field, others, other } = props;
  return (
    <>
      {others.length === 0 && <p>This book holds no other series.</p>}
      <PickField
        label="The other series"
        none="choose one"
        options={others.map(({ id, title }) => ({ value: id, label: title }))}
        {...field("otherSeriesId")}
      />
      <TextField label="Name in the figure" hint="Empty: its title." {...field("name")} />
      <LevelFields
        legend="Which of its pulls"
        prefix="otherLevels"
        factors={other?.factors ?? []}
        field={field}
      />
    </>
  );
}

function Published({ field, typed }: { readonly field: FieldOf; readonly typed: Typed }) {
  const figureHint =
    typed["basis"] === "force" ? "In kN unless you say otherwise." : "In per cent of the basis: 88 %.";
  const words = (list: readonly string[]) => list.map((word) => ({ value: word, label: word }));
  return (
    <>
      <TextField label="Who pulled it" hint="It names the row of the figure." required {...field("name")} />
      <TextField
        label="Where it stands"
        hint="So that somebody else can find it."
        required
        {...field("source")}
      />
      <div class="pair">
        <PickField label="Its figures are" options={basisOptions} {...field("basis")} />
        <TextField label="Pulls, n" inputMode="numeric" required {...field("n")} />
        <TextField label="Mean" hint={figureHint} required {...field("mean")} />
        <TextField label="Standard deviation" hint={figureHint} required {...field("sd")} />
        <TextField
          label="Legs of its connectors"
          hint="An eye 1, a loop 2."
          inputMode="numeric"
          {...field("legs")}
        />
        <TextField
          label="Rated strength of its rope"
          hint="In kN unless you say otherwise."
          {...field("ratedStrengthN")}
        />
        {typed["basis"] === "measured single line" && (
          <TextField
            label="What it measured of one line"
            hint="In kN unless you say otherwise."
            {...field("measuredLineN")}
          />
        )}
        <PickField label="Rated as" options={words(strengthBases)} {...field("ratedStrengthBasis")} />
        <PickField label="Rated with ends" options={words(strengthEnds)} {...field("ratedStrengthEnds")} />
        <TextField label="Construction" {...field("construction")} />
      </div>
    </>
  );
}
