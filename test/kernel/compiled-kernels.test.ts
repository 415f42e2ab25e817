import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

const root = new URL("../../", import.meta.url);
const { kernels, compileKernel } = (await import(new URL("scripts/kernel.mjs", root).href)) as {
  kernels: readonly string[];
  compileKernel: (path: string) => Promise<string>;
};

test.each(kernels)(
  "the module of %s is what its source compiles to",
  async (path) => {
    expect(readFileSync(fileURLToPath(new URL(`${path}.wasm.ts`, root)), "utf8")).toBe(
      await compileKernel(path),
    );
  },
  60_000,
);
