import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { type DrawnRecording, drawRecording } from "../../trace/mod.ts";
import { fileProblem } from "../files.ts";
import { type ExitCode, exitCodes, formatTable, refuseAloud, type Terminal, toJson } from "../terminal.ts";

export type SimulateOptions = {
  readonly seed: number;
  readonly count: number;
  readonly out: string;
  readonly json?: boolean;
};

/** Writes simulated recordings into a folder, each with a JSON file of what is true of it. */
export async function simulate(options: SimulateOptions, terminal: Terminal): Promise<ExitCode> {
  const written: Written[] = [];
  try {
    await mkdir(options.out, { recursive: true });
    for (let seed = options.seed; seed < options.seed + options.count; seed++) {
      const drawn = drawRecording(seed);
      const name = `simulated-${seed}`;
      const file = join(options.out, `${name}${drawn.dialect.separator === "\t" ? ".txt" : ".csv"}`);
      const truthFile = join(options.out, `${name}.json`);
      const { trueForce: _, bytes, dialect: __, ...known } = drawn;
      await writeFile(file, bytes);
      await writeFile(truthFile, `${toJson(known)}\n`);
      written.push({ file, truthFile, ...summaryOf(drawn) });
    }
  } catch (error) {
    const problem = fileProblem(error, options.out);
    if (problem === undefined) throw error;
    return refuseAloud(terminal, "Cannot write the recordings", [problem], options);
  }
  if (options.json) terminal.out(toJson(written));
  else {
    const rows = written.map(({ file, pulls, faults }) => [
      file,
      pulls.length === 0 ? "no force" : pulls.join(", "),
      faults.length === 0 ? "clean" : faults.join(", "),
    ]);
    for (const line of formatTable([["file", "pulls", "faults"], ...rows], "lll")) terminal.out(line);
    terminal.out("What is true of each stands beside it in a file of the same name that ends in .json.");
  }
  return exitCodes.done;
}

type Written = {
  readonly file: string;
  readonly truthFile: string;
  /** How each pull ended. */
  readonly pulls: readonly string[];
  readonly faults: readonly string[];
};

function summaryOf({ truth }: DrawnRecording): Pick<Written, "pulls" | "faults"> {
  return {
    pulls: truth.isForce ? truth.pulls.map(({ outcome }) => outcome) : [],
    faults: truth.faults.filter(({ mild }) => mild !== true).map(({ kind }) => kind),
  };
}
