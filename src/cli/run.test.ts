import { describe, expect, test } from "vitest";
import { run } from "./run.ts";
import { processTerminal } from "./terminal.ts";

describe("a fault of the program", () => {
  // A terminal that breaks stands for any fault: no input can cause one on purpose.
  const broken = (said: string[]) => ({
    ...processTerminal(),
    out: () => {
      throw new Error("the pipe is made of cheese");
    },
    err: (text: string) => said.push(text),
  });

  test("exits with 3 and says what to do, without a stack", async () => {
    const said: string[] = [];
    expect(await run(["calc"], broken(said))).toBe(3);
    expect(said.join("\n")).toContain("the pipe is made of cheese   [SERVER_BUG]");
    expect(said.join("\n")).toContain("--debug");
    expect(said.join("\n")).not.toMatch(/\n\s+at /);
  });

  test("shows where it lies with --debug", async () => {
    const said: string[] = [];
    expect(await run(["calc", "--debug"], broken(said))).toBe(3);
    expect(said.join("\n")).toMatch(/\n\s+at .*run\.test\.ts/);
  });
});
