// node scripts/compile-read.mjs FILE.cjs: lets the bundle of `bitterend read` read a recording, and keeps what V8 has compiled
// meanwhile beside it, as FILE.cache: only functions that have run are in it. Run by the build, in a process of its own.
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { Script } from "node:vm";

const filename = process.argv[2];
const source = readFileSync(filename, "utf8");
// In Latin-1 the engine takes the sources as they lie.
if (/[^\0-\xff]/.test(source)) throw new Error("The sources of read.cjs have characters beyond Latin-1.");
writeFileSync(filename, source, "latin1");
const script = new Script(source, { filename });
const module = { exports: {} };
script.runInThisContext()(createRequire(import.meta.url), module, pathToFileURL(filename).href);

const folder = mkdtempSync(join(tmpdir(), "bitterend-build-"));
const write = process.stdout.write;
process.stdout.write = () => true;
try {
  for (const [name, text] of [
    ["points.csv", recording(",", ".")],
    ["commas.csv", recording(";", ",")],
  ]) {
    const file = join(folder, name);
    writeFileSync(file, text);
    await module.exports.runRead(["read", file]);
    await module.exports.runRead(["read", file, "--json"]);
  }
} finally {
  process.stdout.write = write;
  rmSync(folder, { recursive: true });
}
writeFileSync(filename.replace(/\.cjs$/, ".cache"), script.createCachedData());
process.exit(0);

/** Two pulls at 100 Hz: a rest, a ramp and a break. */
function recording(separator, decimal) {
  const rows = Array.from({ length: 6000 }, (_, row) => {
    const phase = (row / 100) % 30;
    const force = 40 + ((row * 7919) % 41) / 2 + (phase >= 5 && phase < 25 ? (phase - 5) * 900 : 0);
    return `${(row / 100).toFixed(2)}${separator}${force.toFixed(1)}`.replaceAll(".", decimal);
  });
  return `time (s)${separator}force (N)\n${rows.join("\n")}\n`;
}
