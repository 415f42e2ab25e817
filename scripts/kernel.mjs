// node scripts/kernel.mjs: compiles the kernels, AssemblyScript in NAME.as, to modules that hold WebAssembly as text, which
// every door can import without a file of its own. What was compiled is kept in the repository.
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = dirname(import.meta.dirname);

/** The kernels: beside the source NAME.as lies the module NAME.wasm.ts that is made of it. */
export const kernels = [
  "src/trace/kernel/columns",
  "src/trace/kernel/plain-rows",
  "src/trace/kernel/ranks",
  "src/store/packing/kernel/pack-rows",
];

/** The text of the module of one kernel, as its source has it now. */
export async function compileKernel(path) {
  const { default: asc } = await import("assemblyscript/asc");
  const source = readFileSync(join(root, `${path}.as`), "utf8");
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
  if (error) throw new Error(`${path}.as: ${error.message}\n${stderr}`);
  return inBase64(basename(path), code, source);
}

/** With the hash of the source, by which a test sees that it is of the source beside it. */
function inBase64(name, code, source) {
  const variable = name.replace(/-(\w)/g, (_, letter) => letter.toUpperCase());
  return (
    `// Made from ${name}.as by \`node scripts/kernel.mjs\`; SHA-256 of the source:\n` +
    `// ${createHash("sha256").update(source).digest("hex")}\n` +
    `export const ${variable}Wasm =\n  "${Buffer.from(code).toString("base64")}";\n`
  );
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  for (const path of kernels) writeFileSync(join(root, `${path}.wasm.ts`), await compileKernel(path));
