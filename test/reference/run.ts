import { spawn, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { calculations, runCalculation } from "../../src/app/mod.ts";
import { createRandom } from "../../src/stats/mod.ts";
import { type Answers, type Case, type Compared, compareOutput, keyOf, readAnswers } from "./compare.ts";
import type { Spec } from "./spec.ts";
import { groupSpecs } from "./specs-groups.ts";
import { planningSpecs, without } from "./specs-planning.ts";
import { valueSpecs } from "./specs-values.ts";
import { writePage } from "./write.ts";

// npm run reference: the calculations on random cases, held against R.

const usage = `Usage: npm run reference -- [--seed N] [--cases N] [--only NAME] [--date YYYY-MM-DD] [--print]
  --seed N    any whole number (default 1)
  --cases N   how many cases of each calculation (default 500)
  --only NAME one calculation, or one of its parts as the page names them; implies --print
  --date D    written into the page
  --print     print the page and write nothing
Without --print the page docs/reference.md is written. Cases and R's answers stay in node_modules/.cache/bitterend/reference;
what was asked already is not asked again until that folder is removed.`;

type Options = { seed: number; cases: number; only?: string; date?: string; print: boolean };

const cache = "node_modules/.cache/bitterend/reference";
const scripts = "test/reference/r";

/** What each group of R functions needs, by the names of Debian's packages. */
const packages: Readonly<Record<Spec["group"], readonly string[]>> = {
  base: [],
  bounds: [],
  groups: [],
  survival: ["survival"],
  lme4: ["lme4", "lmerTest"],
  metafor: ["metafor"],
  multcomp: ["multcomp"],
  nortest: ["nortest"],
  kSamples: ["kSamples"],
  car: ["car"],
};

const specs = [...valueSpecs, ...groupSpecs, ...planningSpecs];

export type Done = {
  readonly spec: Spec;
  readonly cases: number;
  /** Cases that we, or R, refused as a whole. */
  readonly weRefused: number;
  readonly rRefused: readonly string[];
  readonly outputs: readonly Compared[];
};

await main();

async function main(): Promise<void> {
  const options = readOptions(process.argv.slice(2));
  if (options === undefined) {
    console.error(usage);
    process.exitCode = 2;
    return;
  }
  const chosen = specs.filter(
    ({ name, calculation }) => options.only === undefined || [name, calculation].includes(options.only),
  );
  const missing = whatIsMissing([...new Set(chosen.map(({ group }) => group))]);
  if (missing !== undefined) {
    console.error(missing);
    process.exitCode = 2;
    return;
  }
  mkdirSync(cache, { recursive: true });
  const cases = new Map(chosen.map((spec) => [spec.name, drawCases(spec, options)]));
  const groups = [...new Set(chosen.map(({ group }) => group))];
  const heard = await inPairs(groups, (group) => askR(group, chosen, cases));
  const answers: Answers = new Map(heard.flatMap(({ answers }) => [...answers]));
  const versions = [...new Set(heard.flatMap(({ versions }) => versions))].toSorted();
  const done = chosen.map((spec) => judge(spec, cases.get(spec.name) ?? [], answers));
  for (const { outputs } of done) for (const compared of outputs) tell(compared);
  const page = writePage({ done, versions, without, unanswered: unanswered(), ...options });
  if (options.print || options.only !== undefined) console.log(page);
  else writeFileSync("docs/reference.md", page);
  const beyond = done.flatMap(({ outputs }) => outputs).filter(({ beyond }) => beyond.length > 0);
  console.log(
    beyond.length === 0
      ? "Every difference is within its tolerance."
      : `${beyond.length} outputs differ from R by more than their tolerance.`,
  );
  process.exitCode = beyond.length === 0 ? 0 : 1;
}

/** Cases by a seed of their own, so that a new calculation does not change the others' cases. */
function drawCases(spec: Spec, { seed, cases }: Options): Case[] {
  const own = [...spec.name].reduce((sum, letter) => (sum * 31 + letter.charCodeAt(0)) % 1_000_003, 7);
  const random = createRandom(seed * 1_000_003 + own);
  return Array.from({ length: spec.costly ? Math.ceil(cases / 5) : cases }, () => {
    const input = spec.draw(random);
    const answer = runCalculation(spec.calculation, input);
    return { input, value: answer.ok ? answer.value : undefined };
  });
}

function judge(spec: Spec, cases: readonly Case[], answers: Answers): Done {
  const refusals = cases.map((_, at) => String(answers.get(keyOf(spec.name, at, "!")) ?? ""));
  return {
    spec,
    cases: cases.length,
    weRefused: cases.filter(({ value }) => value === undefined).length,
    rRefused: refusals.filter((words) => words !== ""),
    outputs: Object.keys(spec.outputs).map((name) => compareOutput(spec, name, cases, answers)),
  };
}

/** Prints what lies beyond a tolerance, the three worst cases with all that is needed to see them again. */
function tell({ name, output, tolerance, beyond }: Compared): void {
  if (beyond.length === 0) return;
  console.error(`${name}, ${output}: ${beyond.length} cases differ by more than ${tolerance}`);
  for (const { input, ours, rs, difference } of beyond.slice(0, 3))
    console.error(`  ${difference.toExponential(1)}: ours ${ours}, R's ${rs}, of ${JSON.stringify(input)}`);
}

function unanswered(): string[] {
  const known = new Set([
    ...specs.map(({ calculation }) => calculation),
    ...without.map(({ calculation }) => calculation),
  ]);
  return calculations.map(({ name }) => name).filter((name) => !known.has(name));
}

type Heard = ReturnType<typeof readAnswers>;

async function askR(
  group: Spec["group"],
  chosen: readonly Spec[],
  cases: ReadonlyMap<string, readonly Case[]>,
): Promise<Heard> {
  const asked = chosen.filter((spec) => spec.group === group);
  const questions = Object.fromEntries(
    asked.map(({ name }) => [name, (cases.get(name) ?? []).map(({ input }) => input)]),
  );
  const [from, to] = [join(cache, `${group}.json`), join(cache, `${group}.tsv`)];
  const script = `${readFileSync(join(scripts, "common.R"))}${readFileSync(join(scripts, `${group}.R`))}`;
  // Beside the answers stands what was asked, and how: the same questions to the same script are not asked again.
  const asking = createHash("sha256").update(JSON.stringify(questions)).update(script).digest("hex");
  const note = join(cache, `${group}.asked`);
  if (existsSync(note) && readFileSync(note, "utf8") === asking) return readAnswers(readFileSync(to, "utf8"));
  rmSync(note, { force: true });
  writeFileSync(from, JSON.stringify(questions));
  const started = performance.now();
  await new Promise<void>((resolve, reject) => {
    const process = spawn("Rscript", ["--vanilla", join(scripts, `${group}.R`), from, to], {
      stdio: "inherit",
    });
    process.on("error", reject);
    process.on("exit", (code) =>
      code === 0 ? resolve() : reject(new Error(`the R script ${group} ended with ${code}`)),
    );
  });
  console.error(`R, ${group}: ${((performance.now() - started) / 1000).toFixed(0)} s`);
  writeFileSync(note, asking);
  return readAnswers(readFileSync(to, "utf8"));
}

/** Two at a time. */
async function inPairs<T, U>(list: readonly T[], work: (item: T) => Promise<U>): Promise<U[]> {
  const results: U[] = [];
  const waiting = [...list];
  const one = async () => {
    for (let next = waiting.shift(); next !== undefined; next = waiting.shift())
      results.push(await work(next));
  };
  await Promise.all([one(), one()]);
  return results;
}

/** What has to be installed before R can be asked, and how; nothing where all is there. */
function whatIsMissing(groups: readonly Spec["group"][]): string | undefined {
  const needed = ["jsonlite", ...groups.flatMap((group) => packages[group])];
  const asked = `for (p in c(${needed.map((name) => `"${name}"`).join(", ")})) if (!requireNamespace(p, quietly = TRUE)) cat(p, "")`;
  const { error, stdout, stderr, status } = spawnSync("Rscript", ["--vanilla", "-e", asked], {
    encoding: "utf8",
  });
  if (error !== undefined)
    return `This needs R, which is not here (${error.message}).\n${install(["r-base-core", ...needed.map(debian)])}`;
  if (status !== 0) return `R does not start: ${stderr}`;
  const missing = stdout.split(" ").filter((name) => name !== "");
  if (missing.length === 0) return undefined;
  return `R has no package ${missing.join(", ")}.\n${install(missing.map(debian))}`;
}

function debian(name: string): string {
  return `r-cran-${name.toLowerCase()}`;
}

function install(names: readonly string[]): string {
  return `On Debian or Ubuntu: sudo apt-get install --no-install-recommends ${names.join(" ")}`;
}

function readOptions(words: readonly string[]): Options | undefined {
  const options: Options = { seed: 1, cases: 500, print: false };
  for (let at = 0; at < words.length; at++) {
    const word = words[at];
    const next = words[at + 1];
    if (word === "--print") options.print = true;
    else if (word === "--only" && next !== undefined) {
      if (!specs.some(({ name, calculation }) => [name, calculation].includes(next))) return undefined;
      options.only = next;
      at += 1;
    } else if (word === "--date" && next !== undefined && /^\d{4}-\d{2}-\d{2}$/.test(next)) {
      options.date = next;
      at += 1;
    } else if (word === "--seed" || word === "--cases") {
      const value = Number(next);
      if (!Number.isSafeInteger(value) || value < (word === "--cases" ? 1 : 0)) return undefined;
      options[word === "--seed" ? "seed" : "cases"] = value;
      at += 1;
    } else return undefined;
  }
  return existsSync(scripts) ? options : undefined;
}
