import { useEffect, useLayoutEffect, useMemo, useState } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import { announce } from "../announce.tsx";
import { SaveTrouble, SaveWord } from "../book/save-state.tsx";
import { makeSaver } from "../book/saver.ts";
import { useLater } from "../judge/use-later.ts";
import { LongField, TextField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";

type Series = SeriesOverview["series"];

/** Short texts in Markdown, in the order of the report. */
const words = [
  {
    name: "question",
    label: "The question",
    hint: "What you wanted to know; it opens the report.",
  },
  { name: "conclusions", label: "Your own conclusions", hint: "They stand beneath what is computed." },
  { name: "method", label: "How it was pulled", hint: "Bedding in, hold, speed, how the ends are held." },
  {
    name: "conditions",
    label: "Conditions",
    hint: "Temperature, humidity, wet or dry, how long the rope lay in it.",
  },
  {
    name: "deviations",
    label: "What was done otherwise, and what went wrong",
    hint: "Write “nothing” where so.",
  },
  {
    name: "sources",
    label: "Sources",
    hint: "Papers, standards, films: [what it is](https://… or doi:10.…).",
  },
  { name: "notes", label: "Notes on the series", hint: "" },
] as const;

const lines = [
  { name: "tester", label: "Tester", hint: "" },
  { name: "contact", label: "To be reached", hint: "An address, or another way." },
  { name: "testedAt", label: "Pulled at", hint: "" },
  { name: "customer", label: "For whom", hint: "“nobody but the tester” where so." },
  { name: "authorisedBy", label: "Who answers for it", hint: "" },
] as const;

type FieldName = (typeof words)[number]["name"] | (typeof lines)[number]["name"];
const fields = [...words, ...lines];

/** The tester's words of a report: kept as they are typed, and beneath those that carry Markdown how the report shows them. */
export function WordsEditor({ series }: { readonly series: Series }) {
  const saver = useMemo(
    () =>
      makeSaver("series", series, {
        onKept: () => announce("Kept."),
        onRefused: () => announce("Not kept. Look at what is marked."),
      }),
    [series.id],
  );
  const [typed, setTyped] = useState(() => textsOf(series));
  const kept = saver.record.value;
  const settled = saver.state.value.kind === "kept";
  useEffect(() => saver.heard(series), [saver, series]);
  useEffect(() => () => void saver.flush(), [saver]);
  // What the book says is shown at once where nothing waits to be kept, before anything can be typed over it.
  useLayoutEffect(() => {
    if (settled && kept !== undefined) setTyped(textsOf(kept));
  }, [settled, kept]);

  const put = (name: FieldName, text: string): void => {
    setTyped((before) => ({ ...before, [name]: text }));
    saver.put({ [name]: text });
  };
  const field = (name: FieldName, label: string, hint: string) => ({
    label,
    ...(hint === "" ? {} : { hint }),
    value: typed[name],
    onInput: (text: string) => put(name, text),
    onLeave: () => void saver.flush(),
  });
  return (
    <Section
      title="In your words"
      margin={
        <>
          <Note>
            What you write and what is computed look different in the report: yours stands apart, in italics,
            behind a double line.
          </Note>
          <Note>
            Short Markdown: **strong**, *emphasis*, - lists, [words](link). Pictures and markup stay text. A
            link leads to http, https, mailto or a doi.
          </Note>
        </>
      }
    >
      <div class="fields">
        {words.map(({ name, label, hint }) => (
          <div key={name}>
            <LongField {...field(name, label, hint)} rows={2} />
            <AsShown label={label} text={typed[name]} />
          </div>
        ))}
        <div class="pair">
          {lines.map(({ name, label, hint }) => (
            <TextField key={name} {...field(name, label, hint)} />
          ))}
        </div>
        <SaveWord saver={saver} />
        <SaveTrouble
          saver={saver}
          nameOf={(name) => fields.find((one) => one.name === name)?.label ?? name}
          show={(value) => String(value ?? "")}
          onTheirs={() => {
            if (saver.record.value !== undefined) setTyped(textsOf(saver.record.value));
          }}
        />
      </div>
    </Section>
  );
}

const loadOwnWords = () => import("./own-words.ts");

/** Words as the report will show them, where that is another sight than the words themselves. */
function AsShown({ label, text }: { readonly label: string; readonly text: string }) {
  const part = useLater(loadOwnWords);
  const shown = useMemo(
    () => (part === undefined || !signs.test(text) ? "" : part.ownText(text.trim()).text),
    [part, text],
  );
  if (shown === "") return null;
  return (
    <blockquote
      class="own-words"
      dir="auto"
      aria-label={`${label}, as the report shows it`}
      // The markup is our own: Markdown with every tag of the writer's escaped (src/report/own-text.ts).
      dangerouslySetInnerHTML={{ __html: shown }}
    />
  );
}

/** Signs that Markdown reads, or that the report does not print as they are. */
const signs = /[*_`#<>[\]|~\\\u202a-\u202e\u2066-\u2069]|^\s*(?:[-+]|\d+[.)])\s/m;

function textsOf(series: Series): Readonly<Record<FieldName, string>> {
  return Object.fromEntries(fields.map(({ name }) => [name, series[name]])) as Record<FieldName, string>;
}
