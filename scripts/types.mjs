// Type-checks the three worlds apart: the pure parts (neither Node nor a browser), Node's parts and tests, the web app.
import { spawn } from "node:child_process";
import { join } from "node:path";
import { root } from "./setup.mjs";

export const projects = ["tsconfig.pure.json", "tsconfig.json", "src/web/tsconfig.json"];

/** Runs the compiler over one project; resolves to whether it was content. */
export function checkTypes(project) {
  return new Promise((resolve) => {
    const compiler = join(root, "node_modules", "typescript", "bin", "tsc");
    const child = spawn(process.execPath, [compiler, "-p", project], { cwd: root, stdio: "inherit" });
    child.on("close", (code) => resolve(code === 0));
  });
}

if (process.argv[1] === import.meta.filename) {
  const results = await Promise.all(projects.map(checkTypes));
  process.exit(results.every(Boolean) ? 0 : 1);
}
