import type { Output, Spec } from "./spec.ts";

/** R's numbers: by the name of the spec, the case, the output. */
export type Answers = ReadonlyMap<string, readonly number[] | string>;

export const keyOf = (name: string, at: number, output: string) => `${name}\t${at}\t${output}`;

export type Compared = {
  readonly name: string;
  readonly output: string;
  readonly tolerance: number;
  readonly why?: string;
  /** Cases in which both gave it. */
  readonly compared: number;
  /** Of all cases, the largest relative difference. */
  readonly largest: number;
  /** Cases in which only one of the two gave it. */
  readonly onlyOurs: number;
  readonly onlyR: number;
  readonly beyond: readonly Disagreement[];
};

export type Disagreement = {
  readonly input: object;
  readonly ours: readonly number[] | undefined;
  readonly rs: readonly number[] | undefined;
  readonly difference: number;
};

export type Case = { readonly input: object; readonly value: object | undefined };

/** Holds one output of all cases against R's. A case that either refuses as a whole is not counted here. */
export function compareOutput(spec: Spec, name: string, cases: readonly Case[], answers: Answers): Compared {
  const output = spec.outputs[name] as Output;
  let [compared, largest, onlyOurs, onlyR] = [0, 0, 0, 0];
  const beyond: Disagreement[] = [];
  for (const [at, { input, value }] of cases.entries()) {
    if (value === undefined || answers.has(keyOf(spec.name, at, "!"))) continue;
    const picked = output.pick(value as never);
    const ours = picked === undefined ? undefined : typeof picked === "number" ? [picked] : picked;
    const found = answers.get(keyOf(spec.name, at, name));
    const rs = typeof found === "string" ? undefined : found;
    if (rs === undefined || ours === undefined || ours.length === 0) {
      if (ours !== undefined && ours.length > 0) onlyOurs += 1;
      if (rs !== undefined) onlyR += 1;
      continue;
    }
    compared += 1;
    const size = typeof output.size === "function" ? output.size(input as never) : (output.size ?? 0);
    const difference = relative(ours, rs, size);
    largest = Math.max(largest, difference);
    if (!(difference <= output.tolerance)) beyond.push({ input, ours, rs, difference });
  }
  return {
    name: spec.name,
    output: name,
    tolerance: output.tolerance,
    ...(output.why !== undefined && { why: output.why }),
    compared,
    largest,
    onlyOurs,
    onlyR,
    beyond: beyond.toSorted((a, b) => b.difference - a.difference),
  };
}

/** The largest difference of a pair of numbers, over the larger of the two or `size`. */
export function relative(ours: readonly number[], rs: readonly number[], size: number): number {
  if (ours.length !== rs.length) return Number.POSITIVE_INFINITY;
  const each = ours.map((a, i) => {
    const b = rs[i] as number;
    if (a === b) return 0;
    const difference = Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b), size);
    return Number.isNaN(difference) ? Number.POSITIVE_INFINITY : difference;
  });
  return Math.max(0, ...each);
}

/** What an R script wrote; its first line names the versions. */
export function readAnswers(text: string): {
  readonly versions: readonly string[];
  readonly answers: Answers;
} {
  const [first = "", ...lines] = text.split("\n").filter((line) => line !== "");
  const answers = lines.map((line): [string, readonly number[] | string] => {
    const [name = "", at = "", output = "", numbers = ""] = line.split("\t");
    return [keyOf(name, Number(at), output), output === "!" ? numbers : numbers.split(" ").map(toNumber)];
  });
  return { versions: first.split("\t").slice(1), answers: new Map(answers) };
}

function toNumber(text: string): number {
  if (text === "Inf") return Number.POSITIVE_INFINITY;
  if (text === "-Inf") return Number.NEGATIVE_INFINITY;
  return text === "NA" ? Number.NaN : Number(text);
}
