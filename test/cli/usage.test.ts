import { once } from "node:events";
import { afterAll, describe, expect, test } from "vitest";
import { bundleCli, runCli, startCli } from "./run.ts";

// Wrong usage, help and version, as a process.

const cli = bundleCli();
afterAll(() => cli.remove());

const run = (...args: string[]) => runCli(cli.script, args);
const commands = [
  "start",
  "read",
  "import",
  "series",
  "findings",
  "bound",
  "slip-or-break",
  "report",
  "reread",
  "certificate",
  "calc",
  "simulate",
];

describe("help", () => {
  test("lists every command", async () => {
    const { code, out } = await run("--help");
    expect(code).toBe(0);
    for (const command of commands) expect(out).toMatch(new RegExp(`^ {2}${command}\\b`, "m"));
  });

  test.each(commands)(
    "of %s has its options and an example that is a command of its own",
    async (command) => {
      const { code, out } = await run(command, "--help");
      expect(code).toBe(0);
      expect(out).toContain("--json");
      expect(out).toContain("--debug");
      expect(out).toContain(`Example:\n  $ bitterend ${command}`);
    },
  );

  test("says the version", async () => {
    expect(await run("--version")).toMatchObject({ code: 0, out: "1.2.3\n" });
  });
});

describe("wrong usage exits with 2, says why on the error output, and prints no result", () => {
  test.each([
    [[], /Usage: bitterend/],
    [["reed"], /unknown command 'reed'[\s\S]*Did you mean read\?/],
    [["read"], /missing required argument 'file'/],
    [["read", "a.csv", "--force-unt", "kN"], /unknown option '--force-unt'[\s\S]*--force-unit/],
    [["read", "a.csv", "--force-unit", "stone"], /Wanted one of: N, kN, daN, kgf, gf, tf, lbf, kip/],
    [["read", "a.csv", "--force-unit"], /argument missing/],
    [["read", "a.csv", "--time-unit", "h"], /Wanted one of: s, ms, us/],
    [["read", "a.csv", "--rate-hz", "fast"], /Wanted a number above 0/],
    [["read", "a.csv", "--rate-hz", "0"], /Wanted a number above 0/],
    [["read", "a.csv", "--separator", "dot"], /Wanted one of: comma, semicolon, tab, pipe, space/],
    [["read", "a.csv", "--decimal", "dash"], /Wanted one of: point, comma/],
    [["read", "a.csv", "--encoding", "ebcdic"], /Wanted one of: utf-8/],
    [["import", "a.csv"], /required option '--series <id>'/],
    [["report", "ser-1"], /required option '--out <folder>'/],
    [["certificate", "points.csv"], /--cell ID says whose certificate this is/],
    [["certificate", "points.csv", "--applied-unit", "stone"], /Wanted one of: N, kN/],
    [["certificate", "points.csv", "--accuracy-class", "-1"], /Wanted a number above 0/],
    [["findings"], /missing required argument 'series'/],
    [["start", "--port", "high"], /Wanted a whole number from 0 to 65535/],
    [["start", "--port", "65536"], /Wanted a whole number from 0 to 65535/],
    [["series", "one", "two"], /too many arguments/],
  ])("%j", async (args, says) => {
    const { code, out, err } = await run(...args);
    expect([code, out]).toEqual([2, ""]);
    expect(err).toMatch(says);
  });
});

test("a reader that has seen enough and closes the pipe is no fault", async () => {
  const child = startCli(cli.script, ["calc", "--json"]);
  let err = "";
  child.stderr?.on("data", (text: Buffer) => {
    err += String(text);
  });
  child.stdout?.destroy();
  const [code] = (await once(child, "close")) as [number];
  expect([code, err]).toEqual([0, ""]);
});
