import type { OutcomeKind } from "../../series/mod.ts";
import type { OutcomeEvidence } from "../../trace/mod.ts";
import { formatNumber } from "../../units/mod.ts";
import { Mark } from "../parts/marks.tsx";

const kinds = ["broke", "slipped", "stopped"] as const;

/**
 * What the record speaks for, with its reasons, beside what the person said. Where the two differ both stand: the
 * person's word is the one that counts.
 */
export function Evidence(props: {
  readonly evidence: OutcomeEvidence;
  readonly said: OutcomeKind | undefined;
}) {
  const { probabilities, likeliest, reasons } = props.evidence;
  const { said } = props;
  const ordered = [...kinds].sort((a, b) => probabilities[b] - probabilities[a]);
  return (
    <section class="evidence" aria-label="What the recording speaks for">
      <h3>
        The recording speaks for: <Mark kind={likeliest} /> {likeliest},{" "}
        {chanceWords(probabilities[likeliest])}
      </h3>
      <ul class="chances">
        {ordered.map((kind) => (
          <li key={kind}>
            <span>
              <Mark kind={kind} /> {kind}
            </span>
            <span class="number">{chance(probabilities[kind])}</span>
            <span class="bar" aria-hidden="true">
              <span style={{ width: `${probabilities[kind] * 100}%` }} />
            </span>
          </li>
        ))}
      </ul>
      <ul class="reasons">
        {reasons.map((reason) => (
          <li key={reason}>{reason}</li>
        ))}
      </ul>
      <p>
        {said === undefined
          ? "You have not said yet what happened."
          : said === likeliest
            ? `You said ${said} as well.`
            : said === "void"
              ? "You said void: the pull is left out, whatever the curve shows."
              : `You said ${said}. Your word counts; both stand in the report.`}
      </p>
    </section>
  );
}

/** A probability in words; where the words change is common practice, no published source. */
export function chanceWords(probability: number): string {
  if (probability >= 0.99) return "almost certainly";
  if (probability >= 0.9) return "very likely";
  if (probability >= 0.66) return "likely";
  if (probability >= 0.33) return "about as likely as not";
  return "unlikely";
}

function chance(probability: number): string {
  if (probability > 0.99 && probability < 1) return "over 99 %";
  if (probability < 0.01 && probability > 0) return "under 1 %";
  return `${formatNumber(probability * 100, { decimals: 0 })} %`;
}
