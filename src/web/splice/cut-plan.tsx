import type { CutBatch, RecipeStep } from "../../splice/mod.ts";
import { measures, shownQuantity } from "../book/quantity.ts";
import { Warnings } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { force } from "../shown-units.ts";
import { Drawing } from "./drawing.tsx";
import { measureWords, wantedText } from "./wanted.ts";

const tenth = (mm: number) => mm.toFixed(1);

/** How long to cut and where to mark: the sum with its parts, the marks along the rope, what the recipe allows. */
export function CutPlan({ batch }: { readonly batch: CutBatch }) {
  const { marked, rope, recipe, wanted, setLoadN, warnings } = batch;
  const { cut } = marked;
  return (
    <div class="cut-plan stack">
      <p class="cut-length">
        Cut {cut.pieces === 2 ? "two pieces of " : ""}
        <strong>{shownQuantity(Math.round(cut.pieceMm), measures.mm)}</strong>
        <span class="aside"> ± {tenth(cut.cutUncertaintyMm)} mm, one standard deviation</span>
      </p>
      <dl class="facts">
        <div>
          <dt>Wanted</dt>
          <dd>
            {wantedText({ bedded: false, nearPinMm: 0, farPinMm: 0, ...wanted } as Parameters<
              typeof wantedText
            >[0])}{" "}
            {measureWords[wanted.measure]}
          </dd>
        </div>
        <div>
          <dt>Rope and recipe</dt>
          <dd>
            {rope.name}, {recipe.name}, version {recipe.version}
          </dd>
        </div>
        <div>
          <dt>Comes out slack</dt>
          <dd>
            {tenth(cut.slackLengthMm)} mm ± {tenth(cut.finishedUncertaintyMm)} mm
          </dd>
        </div>
        <div>
          <dt>Shortest that the recipe allows</dt>
          <dd>
            {tenth(cut.shortestMm)} mm; {cut.spareMm.toFixed(0)} mm of rope to spare beside the tails
          </dd>
        </div>
        <div>
          <dt>Pull to set</dt>
          <dd>
            {setLoadN === undefined
              ? "not known: it takes the rope’s rated strength and the recipe’s share"
              : `${force(setLoadN)}${recipe.setHoldS === undefined ? "" : `, held ${recipe.setHoldS} s`}`}
          </dd>
        </div>
      </dl>
      <Warnings warnings={warnings} />
      <Drawing draw={({ schematic }) => schematic(batch).text} wideAs={`Marks along ${rope.name}`} />
      <details>
        <summary>Every part of the cut length, with its spread</summary>
        <Scroll label="Parts of the cut length">
          <table>
            <thead>
              <tr>
                <th scope="col">Part</th>
                <th scope="col" class="number">
                  mm
                </th>
                <th scope="col" class="number">
                  ± mm
                </th>
                <th scope="col">What it is, and its source</th>
              </tr>
            </thead>
            <tbody>
              {cut.terms.map(({ name, valueMm, spreadMm, says, source }) => (
                <tr key={name}>
                  <th scope="row">{name}</th>
                  <td class="number">{tenth(valueMm)}</td>
                  <td class="number">{tenth(spreadMm)}</td>
                  <td>
                    {says} <span class="aside">{source}</span>
                  </td>
                </tr>
              ))}
              <tr>
                <th scope="row">cut length</th>
                <td class="number strong">{tenth(cut.cutLengthMm)}</td>
                <td class="number strong">{tenth(cut.cutUncertaintyMm)}</td>
                <td>the sum; spreads as the root of the sum of their squares</td>
              </tr>
            </tbody>
          </table>
        </Scroll>
      </details>
      <Marks batch={batch} />
    </div>
  );
}

function Marks({ batch: { marked, rope } }: { readonly batch: CutBatch }) {
  const [near, far] = marked.ends;
  const alike = JSON.stringify(near.marks) === JSON.stringify(far.marks);
  return (
    <details>
      <summary>Every mark, in mm{rope.pickLengthMm === undefined ? "" : " and picks"}</summary>
      {(alike ? [near] : [near, far]).map((end) => (
        <Scroll key={end.end} label={alike ? "Marks from either end" : `Marks from the ${end.says}`}>
          <table>
            <caption>{alike ? "From either end" : `From the ${end.says}`}</caption>
            <thead>
              <tr>
                <th scope="col">Mark</th>
                <th scope="col" class="number">
                  From the end, mm
                </th>
                {rope.pickLengthMm !== undefined && (
                  <th scope="col" class="number">
                    Picks
                  </th>
                )}
                <th scope="col">What it is</th>
              </tr>
            </thead>
            <tbody>
              {end.marks.map(({ kind, says, fromEndMm, picks, step }, at) => (
                // Two marks of one kind may lie at one place.
                <tr key={at}>
                  <th scope="row">{step === undefined ? kind : `${step.left} ${step.right}`}</th>
                  <td class="number">{tenth(fromEndMm)}</td>
                  {rope.pickLengthMm !== undefined && (
                    <td class="number">{picks === undefined ? "" : picks.toFixed(1)}</td>
                  )}
                  <td>{says}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </Scroll>
      ))}
    </details>
  );
}

/** The steps of a recipe, each with its drawing. */
export function Steps({ steps }: { readonly steps: readonly RecipeStep[] }) {
  return (
    <ol class="making">
      {steps.map(({ text, figure }, at) => (
        // Steps have no names; their order is what they are.
        <li key={at}>
          {figure !== undefined && <Drawing draw={({ drawStep }) => drawStep(figure)} />}
          <span>{text}</span>
        </li>
      ))}
    </ol>
  );
}
