import type { CellForUse } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { customaryBends, partKinds, partPlaces, ratingMeanings } from "../../rig/mod.ts";
import { LongField, PickField, TextField } from "../parts/field.tsx";
import { problemsOf } from "../parts/problems.tsx";
import { TakeOut } from "../parts/take-out.tsx";
import { force, percent } from "../shown-units.ts";
import { count } from "../words.ts";
import { NumberFields } from "./number-fields.tsx";
import { cellKey, partSpecs, ratingSpecs, type TypedPart } from "./rig-values.ts";

const strengthFrom = [
  { value: "pulls", label: "pulls of the book" },
  { value: "rating", label: "a rating" },
  { value: "nobody knows", label: "nobody knows" },
] as const;

const meaningWords: Readonly<Record<(typeof ratingMeanings)[number], string>> = {
  mean: "a mean",
  "mean minus 3 SD": "mean − 3 SD",
  least: "a least value",
};

const picks = (words: readonly string[]) => words.map((value) => ({ value, label: value }));

/** One part of a rig, with the hands to move it along the chain: buttons, or Alt with the arrow keys anywhere in it. */
export function PartFields(props: {
  readonly part: TypedPart;
  readonly index: number;
  readonly last: boolean;
  readonly cells: readonly CellForUse[];
  readonly problems: readonly Problem[];
  readonly onChange: (part: TypedPart) => void;
  readonly onMove: (by: -1 | 1) => void;
  readonly onTakeOut: () => void;
}) {
  const { part, index, cells, problems } = props;
  const at = `parts[${index}]`;
  const set = (change: Partial<TypedPart>) => props.onChange({ ...part, ...change });
  const number = (name: string, text: string) => set({ numbers: { ...part.numbers, [name]: text } });
  const cell = cells.find((one) => cellKey(one.seriesId, one.cell) === part.cell);
  const name = part.name.trim() === "" ? `part ${index + 1}` : part.name;
  return (
    <fieldset
      class="rig-part"
      data-part={part.key}
      onKeyDown={(event) => {
        const by = event.altKey ? { ArrowUp: -1 as const, ArrowDown: 1 as const }[event.key] : undefined;
        if (by === undefined) return;
        event.preventDefault();
        props.onMove(by);
      }}
    >
      <legend>
        {index + 1}. {name}
      </legend>
      <div class="pair">
        <TextField
          label="What it is"
          value={part.name}
          required
          onInput={(text) => set({ name: text })}
          problems={problemsOf(problems, `${at}.name`)}
        />
        <PickField
          label="Kind"
          value={part.kind}
          options={picks(partKinds)}
          onInput={(kind) => set({ kind: kind as TypedPart["kind"] })}
          problems={problemsOf(problems, `${at}.kind`)}
        />
        <PickField
          label="Where it sits"
          value={part.place}
          options={picks(partPlaces)}
          onInput={(place) => set({ place: place as TypedPart["place"] })}
          problems={problemsOf(problems, `${at}.place`)}
        />
        <PickField
          label="Its strength comes from"
          value={part.from}
          options={strengthFrom}
          onInput={(from) => set({ from: from as TypedPart["from"] })}
          problems={problems.filter(({ where }) => where?.field === `${at}.strength`)}
        />
        {part.from === "pulls" && (
          <PickField
            label="Which pulls"
            {...(cell === undefined ? {} : { hint: cellWords(cell) })}
            value={part.cell}
            none="choose a cell"
            options={cells.map((one) => ({
              value: cellKey(one.seriesId, one.cell),
              label: `${one.seriesTitle}: ${one.cell} (${count(one.pullsN.length, "pull")})`,
            }))}
            onInput={(key) => set({ cell: key })}
            problems={[
              ...problemsOf(problems, `${at}.strength.cell`),
              ...problemsOf(problems, `${at}.strength.seriesId`),
            ]}
          />
        )}
        {part.from === "rating" && (
          <>
            <NumberFields
              specs={ratingSpecs}
              texts={part.numbers}
              at={`${at}.strength.`}
              problems={problems}
              onText={number}
            />
            <PickField
              label="The rating is"
              value={part.ratingMeans}
              options={ratingMeanings.map((value) => ({ value, label: meaningWords[value] }))}
              onInput={(means) => set({ ratingMeans: means as TypedPart["ratingMeans"] })}
              problems={problemsOf(problems, `${at}.strength.ratingMeans`)}
            />
            <TextField
              label="Where the rating stands"
              value={part.source}
              onInput={(source) => set({ source })}
              problems={problemsOf(problems, `${at}.strength.source`)}
            />
          </>
        )}
      </div>
      <details>
        <summary>More of this part: how many, turns, bend, notes</summary>
        <div class="pair">
          <NumberFields
            specs={partSpecs}
            texts={part.numbers}
            at={`${at}.`}
            problems={problems}
            onText={number}
          />
          <LongField label="Notes" rows={2} value={part.notes} onInput={(notes) => set({ notes })} />
        </div>
        <p class="aside">
          {cell !== undefined && cell.pins.length > 1
            ? `These pulls vary the pin: ${pinWords(cell)}. With so few, read a bend’s loss out of them with care.`
            : `Customary for spliced HMPE (common practice, no published source): ${bendWords}.`}
        </p>
      </details>
      <div class="buttons">
        <button type="button" class="plain" disabled={index === 0} onClick={() => props.onMove(-1)}>
          up<span class="unseen"> {name}</span>
        </button>
        <button type="button" class="plain" disabled={props.last} onClick={() => props.onMove(1)}>
          down<span class="unseen"> {name}</span>
        </button>
        <TakeOut name={name} onTakeOut={props.onTakeOut} />
      </div>
    </fieldset>
  );
}

function cellWords(cell: CellForUse): string {
  const stopped = cell.stopped.filter(Boolean).length;
  return [
    `${count(cell.pullsN.length, "pull")}${stopped > 0 ? `, ${stopped} of them stopped` : ""}`,
    `lowest ${force(Math.min(...cell.pullsN))}`,
    ...(cell.pins.length > 0 ? [pinWords(cell)] : []),
    ...(cell.simulated ? ["simulated: they permit nothing"] : []),
  ].join("; ");
}

function pinWords({ pins, diameterMm }: CellForUse): string {
  return pins
    .map((pin) => {
      const ratio = diameterMm === undefined ? "" : `, D/d ${(pin.diameterMm / diameterMm).toFixed(1)}`;
      return `${pin.n} on a ${pin.diameterMm} mm pin${ratio}, mean ${force(pin.meanN)}`;
    })
    .join("; ");
}

const bendWords = customaryBends
  .map(
    ({ pinRatio, retention: [low, high] }) =>
      `at D/d ${pinRatio} ${percent(low)} to ${percent(high)} is left`,
  )
  .join(", ");
