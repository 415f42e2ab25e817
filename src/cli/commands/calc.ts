import { type Calculation, calculations, findCalculation } from "../../app/mod.ts";
import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import {
  type ExitCode,
  exitCodes,
  formatTable,
  refuseAloud,
  sayWarnings,
  type Terminal,
  toJson,
} from "../terminal.ts";

/** Runs one calculation: JSON in, JSON out. Without a name it lists them; a name alone prints its note. */
export async function calculate(
  name: string | undefined,
  json: string | undefined,
  options: { readonly json?: boolean },
  terminal: Terminal,
): Promise<ExitCode> {
  if (name === undefined) return list(options, terminal);
  const found = findCalculation(name);
  if (!found.ok) return refuseAloud(terminal, "Cannot calculate", found.problems, options);
  if (json === undefined && terminal.inputIsTyped) {
    terminal.out(noteOf(found.value));
    return exitCodes.done;
  }
  const text = json ?? (await readAll(terminal.input));
  if (text.trim() === "") {
    terminal.err(`bitterend calc ${name} needs its input as JSON.\n\n${noteOf(found.value)}`);
    return exitCodes.wrongUsage;
  }
  const input = parse(text);
  const answer = input.ok ? found.value.calculate(input.value) : input;
  if (!answer.ok) return refuseAloud(terminal, `Cannot calculate ${name}`, answer.problems, options);
  terminal.out(toJson(answer.value));
  sayWarnings(terminal.err, answer.warnings);
  return exitCodes.done;
}

function list({ json }: { readonly json?: boolean }, terminal: Terminal): ExitCode {
  if (json)
    terminal.out(
      toJson(
        calculations.map(({ name, version, answers, formula, source, example, schemas }) => ({
          name,
          version,
          answers,
          formula,
          source,
          example,
          ...schemas(),
        })),
      ),
    );
  else {
    for (const line of formatTable(
      calculations.map(({ name, answers }) => [name, answers]),
      "ll",
    ))
      terminal.out(line);
    terminal.out("\nbitterend calc NAME prints what one takes and gives, its formula and its source.");
  }
  return exitCodes.done;
}

function noteOf({ name, version, answers, formula, source, example, schemas }: Calculation): string {
  const { input, output } = schemas();
  return [
    `${name} (version ${version}): ${answers}`,
    `Formula: ${formula}`,
    `Source: ${source}`,
    `Takes: ${JSON.stringify(input, null, 2)}`,
    `Gives: ${JSON.stringify(output, null, 2)}`,
    `Example:\n  $ bitterend calc ${name} '${JSON.stringify(example)}'`,
  ].join("\n");
}

async function readAll(input: AsyncIterable<Uint8Array>): Promise<string> {
  const chunks: Uint8Array[] = [];
  for await (const chunk of input) chunks.push(chunk);
  return Buffer.concat(chunks).toString("utf8");
}

function parse(text: string): Result<unknown> {
  try {
    return ok(JSON.parse(text));
  } catch (error) {
    const problem: Problem = {
      code: "INPUT_JSON",
      message: `The input is not JSON: ${error instanceof Error ? error.message : String(error)}.`,
      found: text.length > 80 ? `${text.slice(0, 79)}…` : text,
      wayOut: "Put the whole of it in single quotes, names and words in double quotes.",
    };
    return refuse(problem);
  }
}
