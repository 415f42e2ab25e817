import { createHash } from "node:crypto";
import { chmodSync, closeSync, ftruncateSync, mkdirSync, openSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { slowness } from "../slowness.ts";
import { bundleCli, makeFolder, type RunOptions, runCli } from "./run.ts";

// `bitterend read` as a process: from a file to its pulls, with no book.

type Printed = {
  file: string;
  sha256?: string;
  layout?: Record<string, unknown>;
  pulls?: {
    startS?: number;
    endS?: number;
    peakN: number;
    peakTimeS?: number;
    restN?: number;
    netPeakN?: number;
    loadingRateNPerS?: number;
    drops: { timeS?: number; fromN: number; toN: number }[];
  }[];
  warnings: { code: string; message: string; pull?: number }[];
  problems: { code: string; message: string; wayOut?: string; where?: { file?: string; line?: number } }[];
};

const cli = bundleCli();
const folder = makeFolder();
afterAll(() => cli.remove());

const run = (args: string[], options?: RunOptions) => runCli(cli.script, ["read", ...args], options);

/**
 * Rest at `restKn`, a ramp of 2 kN/s from 3 s on to 20 kN above it at 13 s, then rest again, at 10 Hz: by construction
 * the net peak is 20 kN and the rate 2000 N/s.
 */
function ramp({ perKn = 1, restKn = 0.05, seconds = 16 } = {}): [number, number][] {
  return Array.from({ length: seconds * 10 + 1 }, (_, i) => {
    const t = i / 10;
    return [t, (restKn + (t > 3 && t <= 13 ? (t - 3) * 2 : 0)) * perKn];
  });
}

function csv(
  rows: [number, number][],
  { header = "Time (s),Force (kN)", separator = ",", decimal = "." } = {},
): string {
  const lines = rows.map(([t, force]) =>
    [t.toFixed(1), force.toFixed(4)].map((cell) => cell.replace(".", decimal)).join(separator),
  );
  return `${[...(header === "" ? [] : [header]), ...lines].join("\n")}\n`;
}

/** Holds what was printed for a file to the truth of the ramp. */
function expectRamp(printed: Printed, within = 1): void {
  expect(printed.problems).toEqual([]);
  expect(printed.pulls).toHaveLength(1);
  const pull = printed.pulls?.[0];
  // The file holds four decimals of its unit, so that forces agree to the rounding of the unit it was written in.
  expect(Math.abs((pull?.peakN ?? 0) - 20_050)).toBeLessThan(within);
  expect(Math.abs((pull?.netPeakN ?? 0) - 20_000)).toBeLessThan(within + 1);
  expect(Math.abs((pull?.loadingRateNPerS ?? 0) - 2000)).toBeLessThan(20);
  expect(pull?.peakTimeS).toBeCloseTo(13, 9);
}

let plainFile: string;
beforeAll(() => {
  plainFile = folder.write("plain.csv", csv(ramp()));
});

describe("one file", () => {
  test("is printed as one object with what was read", async () => {
    const { code, json, err } = await run([plainFile, "--json"]);
    expect([code, err]).toEqual([0, ""]);
    const printed = json<Printed>();
    expectRamp(printed);
    expect(printed.file).toBe(plainFile);
    expect(printed.sha256).toBe(createHash("sha256").update(csv(ramp())).digest("hex"));
    expect(printed.layout).toMatchObject({ separator: ",", decimal: ".", force: { column: 2, unit: "kN" } });
    const pull = printed.pulls?.[0];
    expect(pull?.restN).toBeCloseTo(50, 0);
    // It rises from 3.0 s on and is at rest again by 13.1 s.
    expect(Math.abs((pull?.startS ?? 0) - 3)).toBeLessThan(0.5);
    expect(Math.abs((pull?.endS ?? 0) - 13)).toBeLessThan(0.5);
    expect(pull?.drops.at(-1)).toMatchObject({ timeS: 13 });
  });

  test("is printed for a person: peak in two units, and what a reading is not", async () => {
    const { code, out, err } = await run([plainFile]);
    expect([code, err]).toEqual([0, ""]);
    // 20,050 N are 20.05 kN and, at 4.4482216152605 N to the pound-force, 4507 lbf.
    expect(out).toContain("20.05 kN");
    expect(out).toContain("4507 lbf");
    expect(out).toContain("certifies no rope");
  });

  test("says why it was read so, when asked", async () => {
    const { out } = await run([plainFile, "--why"]);
    expect(out).toMatch(/^ {2}separator: .+/m);
    expect(out).toMatch(/^ {2}force-unit: .+/m);
  });

  test("comes from the standard input as well", async () => {
    const { code, json } = await run(["-", "--json"], { input: csv(ramp()) });
    expect(code).toBe(0);
    expectRamp(json<Printed>());
    expect(json<Printed>().file).toBe("-");
  });

  test("without a rest has no net peak, and a warning says so", async () => {
    // Loaded from the first row on, and not along a straight line, which would be taken for a counter.
    const rising = csv(Array.from({ length: 120 }, (_, i) => [i / 10, 4 + (i / 30) ** 1.5]));
    const { json } = await run(["-", "--json"], { input: rising });
    const printed = json<Printed>();
    expect(printed.pulls?.[0]).toBeDefined();
    expect(printed.pulls?.[0]).not.toHaveProperty("restN");
    expect(printed.pulls?.[0]).not.toHaveProperty("netPeakN");
    expect(printed.warnings.length).toBeGreaterThan(0);
  });
});

describe("options", () => {
  test.each([
    // Exact by definition: 1 lbf = 4.4482216152605 N, 1 kgf = 9.80665 N (NIST SP 811, Appendix B).
    ["N", 1000],
    ["daN", 100],
    ["lbf", 1000 / 4.4482216152605],
    ["kgf", 1000 / 9.80665],
    ["tf", 1 / 9.80665],
  ] as const)("--force-unit %s", async (unit, perKn) => {
    const bare = csv(ramp({ perKn }), { header: "Time (s),Force" });
    const asked = await run(["-", "--json"], { input: bare });
    expect(asked.code).toBe(1);
    expect(asked.json<Printed>()).not.toHaveProperty("pulls");
    expect(asked.json<Printed>().problems[0]?.code).toBe("TRACE_UNIT_ASKED");
    expect(asked.json<Printed>().problems[0]?.wayOut).toContain("--force-unit");
    const { code, json } = await run(["-", "--json", "--force-unit", unit], { input: bare });
    expect(code).toBe(0);
    expectRamp(json<Printed>(), 1000 / perKn / 1000 + 0.5);
  });

  test("--force-column and --time-column, by name and by number", async () => {
    const three = ramp().map(([t, force]) => `${(force / 2).toFixed(4)};${force.toFixed(4)};${t.toFixed(1)}`);
    const input = `Half;Whole;Clock\n${three.join("\n")}\n`;
    for (const [force, time] of [
      ["Whole", "Clock"],
      ["2", "3"],
    ] as const) {
      const args = ["-", "--json", "--force-column", force, "--time-column", time];
      const { json, code } = await run([...args, "--force-unit", "kN", "--time-unit", "s"], { input });
      expect(code, JSON.stringify(json<Printed>().problems)).toBe(0);
      expectRamp(json<Printed>());
    }
    const half = await run(
      [
        "-",
        "--json",
        "--force-column",
        "Half",
        "--time-column",
        "Clock",
        "--force-unit",
        "kN",
        "--time-unit",
        "s",
      ],
      { input },
    );
    expect(half.json<Printed>().pulls?.[0]?.peakN).toBeCloseTo(10_025, 0);
  });

  test("--time-unit", async () => {
    const inMs = ramp().map(([t, force]) => `${(t * 1000).toFixed(0)},${force.toFixed(4)}`);
    const input = `Time,Force (kN)\n${inMs.join("\n")}\n`;
    const { json, code } = await run(["-", "--json", "--time-unit", "ms"], { input });
    expect(code).toBe(0);
    expectRamp(json<Printed>());
  });

  test("--rate-hz", async () => {
    const input = `Force (kN)\n${ramp()
      .map(([, force]) => force.toFixed(4))
      .join("\n")}\n`;
    const { json, code } = await run(["-", "--json", "--rate-hz", "10"], { input });
    expect(code).toBe(0);
    expectRamp(json<Printed>());
  });

  test.each([
    ["semicolon", ";", "comma", ","],
    [";", ";", ",", ","],
    ["tab", "\t", "comma", ","],
    ["pipe", "|", "point", "."],
    ["space", " ", ".", "."],
    ["comma", ",", "point", "."],
  ])("--separator %s with --decimal", async (word, separator, decimalWord, decimal) => {
    const input = csv(ramp(), { header: "", separator, decimal });
    const args = ["-", "--json", "--separator", word, "--decimal", decimalWord, "--force-unit", "kN"];
    const { json, code } = await run(
      [...args, "--force-column", "2", "--time-column", "1", "--time-unit", "s"],
      { input },
    );
    expect(code, JSON.stringify(json<Printed>().problems)).toBe(0);
    expectRamp(json<Printed>());
  });

  test.each([
    ["utf-16le", Buffer.from(`\ufeff${csv(ramp())}`, "utf16le")],
    ["latin-1", Buffer.from(csv(ramp(), { header: "Zeit Prüfung (s),Kraft (kN)" }), "latin1")],
  ])("--encoding %s", async (encoding, input) => {
    const { json, code } = await run(["-", "--json", "--encoding", encoding], { input });
    expect(code, JSON.stringify(json<Printed>().problems)).toBe(0);
    expectRamp(json<Printed>());
  });
});

describe("several files", () => {
  test("are an array in their order; one that fails does not stop the others", async () => {
    const second = folder.write("second.csv", csv(ramp({ seconds: 20 })));
    const { code, json } = await run([plainFile, join(folder.path, "missing.csv"), second, "--json"]);
    expect(code).toBe(1);
    const printed = json<Printed[]>();
    expect(printed.map(({ problems }) => problems.length)).toEqual([0, 1, 0]);
    expect(printed[1]).not.toHaveProperty("pulls");
    expect(printed[1]?.problems[0]).toMatchObject({ code: "INPUT_FILE", message: "There is no such file." });
    for (const index of [0, 2]) expectRamp(printed[index] as Printed);
  });

  test("are an array also where one of two is all there is to say", async () => {
    const { json } = await run([plainFile, plainFile, "--json"]);
    expect(json<Printed[]>()).toHaveLength(2);
  });

  test("are printed for a person with the failure among the errors", async () => {
    const missing = join(folder.path, "missing.csv");
    const { code, out, err } = await run([missing, plainFile]);
    expect(code).toBe(1);
    expect(err).toContain(`Cannot read ${missing}\n  ${missing}: There is no such file.`);
    expect(err).toContain("[INPUT_FILE]");
    expect(out).toContain("20.05 kN");
  });
});

describe("what cannot be read", () => {
  const noise = Uint8Array.from({ length: 4096 }, (_, i) => (i * 7919) % 256);
  const png = Buffer.concat([Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]), noise]);
  const rows = csv(ramp());

  test.each([
    ["an empty file", "", "TRACE_EMPTY"],
    ["a picture named .csv", png, "TRACE_BINARY"],
    ["a header only", "Time (s),Force (kN)\n", "TRACE_HEADER_ONLY"],
    ["a file of text", "It was a dark night.\nThe rope held.\n".repeat(20), "TRACE_TEXT"],
    ["a million columns", `${"1,".repeat(1_000_000)}1\n`.repeat(2), undefined],
    [
      "an exact straight line",
      `Time (s),Force (kN)\n${Array.from({ length: 200 }, (_, i) => `${i / 10},${i}`).join("\n")}\n`,
      "TRACE_FORCE_STRAIGHT",
    ],
    ["a word among the forces", rows.replace("5.0,4.0500", "5.0,four"), "TRACE_NUMBER"],
  ])("%s has problems, no pulls, and exit code 1", async (_, bytes, code) => {
    const file = folder.write("bad.csv", bytes);
    const ran = await run([file, "--json"]);
    const printed = ran.json<Printed>();
    expect([ran.code, ran.err]).toEqual([1, ""]);
    expect(printed).not.toHaveProperty("pulls");
    expect(printed.problems.length).toBeGreaterThan(0);
    if (code !== undefined) expect(printed.problems.map((problem) => problem.code)).toContain(code);
    const aloud = await run([file]);
    expect(aloud.code).toBe(1);
    expect(aloud.err).toMatch(/^Cannot read .*bad\.csv\n {2}\S[\s\S]*\[[A-Z_]+\]\n/);
  });

  test("times that run backward are refused where they are named as the time", async () => {
    const input = csv(ramp().map(([t, force]) => [16 - t, force]));
    const { code, json } = await run(["-", "--json", "--time-column", "1"], { input });
    expect([code, json<Printed>().problems[0]?.code]).toEqual([1, "TRACE_TIME_BACKWARD"]);
    expect(json<Printed>()).not.toHaveProperty("pulls");
  });

  test("2 GB is refused by its size, without being read", async () => {
    const file = join(folder.path, "huge.csv");
    const handle = openSync(file, "w");
    ftruncateSync(handle, 2 * 1024 ** 3);
    closeSync(handle);
    const began = performance.now();
    const { code, json } = await run([file, "--json"]);
    expect([code, json<Printed>().problems[0]?.code]).toEqual([1, "TRACE_TOO_LARGE"]);
    // Reading 2 GiB takes seconds on any disk; a refusal by size takes none.
    expect(performance.now() - began).toBeLessThan(3000 * slowness());
  });

  test("a folder, and what this user may not open", async () => {
    mkdirSync(join(folder.path, "sub"));
    const sub = await run([join(folder.path, "sub"), "--json"]);
    expect([sub.code, sub.json<Printed>().problems[0]?.message]).toEqual([
      1,
      "This is a folder, not a file.",
    ]);
    if (process.getuid?.() === 0) return; // Root may open everything.
    const closed = folder.write("closed.csv", csv(ramp()));
    chmodSync(closed, 0);
    const shut = await run([closed, "--json"]);
    expect([shut.code, shut.json<Printed>().problems[0]?.message]).toEqual([1, "This user may not open it."]);
  });

  test("what stands in a file cannot steer the terminal", async () => {
    const { out, err } = await run(["-"], {
      input: csv(ramp(), { header: "Time (s),\u001b[31mForce\u0007 (kN)" }),
    });
    // biome-ignore lint/suspicious/noControlCharactersInRegex: exactly these must not get through.
    expect(out + err).not.toMatch(/[\u001b\u0007]/);
  });
});
