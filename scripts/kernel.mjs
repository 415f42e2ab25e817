// node scripts/kernel.mjs: compiles src/trace/kernel/kernel.as (AssemblyScript) and writes kernel-code.ts beside it.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const folder = join(import.meta.dirname, "../src/trace/kernel");

/** The text of kernel-code.ts, as the source has it now. */
export async function compileKernel() {
  const { default: asc } = await import("assemblyscript/asc");
  const source = readFileSync(join(folder, "kernel.as"), "utf8");
  let code;
  const { error, stderr } = await asc.main(
    "kernel.ts --outFile kernel.wasm -O3 --noAssert --enable simd --runtime stub --initialMemory 2".split(
      " ",
    ),
    {
      readFile: (name) => (name === "kernel.ts" ? source : null),
      writeFile: (name, bytes) => {
        if (name === "kernel.wasm") code = bytes;
      },
      listFiles: () => [],
    },
  );
  if (error) throw new Error(`${error.message}\n${stderr}`);
  const lines = Buffer.from(code)
    .toString("hex")
    .match(/.{1,100}/g);
  return (
    `// Made of kernel.as by \`node scripts/kernel.mjs\`: a WebAssembly module of ${code.length} bytes.\n` +
    `export const kernelCode = [\n${lines.map((line) => `  "${line}",\n`).join("")}].join("");\n`
  );
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  writeFileSync(join(folder, "kernel-code.ts"), await compileKernel());
