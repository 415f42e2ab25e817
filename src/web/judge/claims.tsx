import { useCallback, useState } from "preact/hooks";
import type { SeriesOverview, StoredRecord } from "../../app/mod.ts";
import { announce } from "../announce.tsx";
import { PickField, TextField } from "../parts/field.tsx";
import { FoldedSection } from "../parts/fold.tsx";
import { Note } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { TakeOut } from "../parts/take-out.tsx";
import type { CausesOf } from "./causes-of.ts";
import { gistOfClaims } from "./gists.ts";
import { basisOptions, fieldsOfClaim, typedClaim } from "./outside-fields.ts";
import { LevelFields, OutsideForm } from "./outside-form.tsx";
import { ReportFigure } from "./report-figure.tsx";
import { Sentences } from "./sentences.tsx";
import { useTakeOut } from "./use-take-out.ts";

/** Published figures set against these pulls: entered, listed with what the pulls say of them, drawn. */
export function Claims({ overview, findings, sentences }: CausesOf) {
  const { series, claims } = overview;
  const [open, setOpen] = useState<StoredRecord<"claim"> | "new">();
  const { problems, takeOut } = useTakeOut("claim");
  const { simulated } = series;
  const draw = useCallback(
    ({ figureClaims }: typeof import("../figures.ts"), width: number) =>
      figureClaims(findings, { id: "judge-claims", width, simulated }),
    [findings, simulated],
  );
  return (
    <FoldedSection
      title="Whose claim holds?"
      id="claims"
      gist={gistOfClaims(findings)}
      margin={
        <>
          <Note>
            A figure from a catalogue, a paper or a video says little without its basis: 90 % of one line’s
            rated strength is 45 % of the two legs of a loop.
          </Note>
          <Note>
            <b>Undecided</b> is an answer too: few pulls can neither support nor contradict a claim that lies
            close.
          </Note>
        </>
      }
    >
      {claims.length === 0 && <p class="empty">No published figure has been entered for this series.</p>}
      <Sentences
        findings={sentences}
        pulls={findings.pulls}
        seriesId={series.id}
        after={(finding) => {
          const claim = claims.find(({ id }) => finding.id === `claim-${id}`);
          if (claim === undefined) return null;
          return (
            <div class="buttons">
              <button type="button" class="plain" onClick={() => setOpen(claim)}>
                change<span class="unseen"> {claim.statement}</span>
              </button>
              <TakeOut
                name={claim.statement}
                onTakeOut={async () => {
                  if (await takeOut(claim.id)) announce("The claim was taken out.");
                }}
              />
            </div>
          );
        }}
      />
      <Problems heading="Not taken out" problems={problems} />
      {claims.length > 0 && (
        <ReportFigure
          label="claims beside the pulls"
          save={{ seriesId: series.id, kind: "claims" }}
          draw={draw}
        />
      )}
      <button type="button" onClick={() => setOpen("new")}>
        Enter a published figure
      </button>
      {open !== undefined && (
        <ClaimForm
          overview={overview}
          record={open === "new" ? undefined : open}
          onClose={() => setOpen(undefined)}
        />
      )}
    </FoldedSection>
  );
}

function ClaimForm(props: {
  readonly overview: SeriesOverview;
  readonly record: StoredRecord<"claim"> | undefined;
  readonly onClose: () => void;
}) {
  const { series } = props.overview;
  return (
    <OutsideForm
      title={props.record === undefined ? "A published figure" : "Change this figure"}
      kind="claim"
      seriesId={series.id}
      record={props.record}
      begin={typedClaim(props.record)}
      read={(typed) => fieldsOfClaim(typed, series.factors)}
      shownAs={{ share: "value", valueN: "value" }}
      onClose={props.onClose}
    >
      {(field, typed) => (
        <>
          <TextField
            label="What is claimed"
            hint="In a few words, as it was published: a spliced eye keeps 90 %."
            required
            {...field("statement")}
          />
          <TextField
            label="Where it stands"
            hint="So that somebody else can find it."
            required
            {...field("source")}
          />
          <div class="pair">
            <PickField label="It is" options={basisOptions} {...field("basis")} />
            <TextField
              label="The figure"
              hint={
                typed["basis"] === "force"
                  ? "In kN unless you say otherwise: 31 kN, 7000 lbf."
                  : "In per cent: 92 %."
              }
              required
              {...field("value")}
            />
            <PickField
              label="Claimed as"
              options={[
                { value: "mean", label: "a mean, a typical value" },
                { value: "least", label: "a value that nearly all exceed" },
              ]}
              {...field("kind")}
            />
            {typed["kind"] === "least" ? (
              <TextField
                label="Nearly all means"
                hint="The share of specimens that are to be stronger."
                {...field("content")}
              />
            ) : (
              <TextField
                label="Still the same"
                hint="How far off, of the figure, a mean would still count as the same."
                {...field("margin")}
              />
            )}
            <TextField
              label="Legs of its connector"
              hint="An eye 1, a loop 2. Empty: as many as these pulls have."
              inputMode="numeric"
              {...field("legs")}
            />
            {typed["basis"] === "measured single line" && (
              <TextField
                label="What the source measured of one line"
                hint="In kN unless you say otherwise."
                {...field("measuredLineN")}
              />
            )}
          </div>
          <LevelFields
            legend="Which of these pulls it is about"
            prefix="levels"
            factors={series.factors}
            field={field}
          />
        </>
      )}
    </OutsideForm>
  );
}
