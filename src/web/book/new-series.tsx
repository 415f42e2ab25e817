import { useState } from "preact/hooks";
import type { StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { useOneAtATime } from "../one-at-a-time.ts";
import { Dialog } from "../parts/dialog.tsx";
import { LongField, TextField } from "../parts/field.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { useFirstWrong } from "../parts/use-first-wrong.ts";
import { ask } from "../server.ts";

/** Begins a series with a title and a question; all else is said on its own pages. */
export function NewSeries(props: {
  readonly onClose: () => void;
  readonly onMade: (series: StoredRecord<"series">) => void;
}) {
  const [title, setTitle] = useState("");
  const [question, setQuestion] = useState("");
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();
  const form = useFirstWrong(problems);

  async function make(): Promise<void> {
    const answer = await ask<StoredRecord<"series">>("POST", "/api/records/series", { title, question });
    if (answer.ok) props.onMade(answer.value);
    else setProblems(answer.problems);
  }

  return (
    <Dialog title="Begin a series" onClose={props.onClose}>
      <form
        ref={form}
        class="fields"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void once(make);
        }}
      >
        <TextField
          label="Title"
          hint="A few words that you will know it by."
          value={title}
          required
          onInput={setTitle}
          problems={problemsOf(problems, "title")}
        />
        <LongField
          label="What do you want to know?"
          hint="A question that pulls can answer. Does a longer bury hold more? Is this splice as strong as that one?"
          value={question}
          onInput={setQuestion}
          problems={problemsOf(problems, "question")}
        />
        <Problems
          heading="The series was not made"
          problems={problems.filter(({ where }) => where?.field !== "title" && where?.field !== "question")}
        />
        <div class="buttons">
          <button type="submit" class="main" disabled={busy}>
            Begin
          </button>
          <button type="button" onClick={props.onClose}>
            Leave it
          </button>
        </div>
      </form>
    </Dialog>
  );
}
