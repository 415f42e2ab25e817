// `npm test`: makes the clone ready, then runs types, lint and format, and every test, and ends with one line of counts.
// Arguments are handed to the test runner: `npm test -- src/trace` runs the tests of one part and skips the rest.
import { spawn } from "node:child_process";
import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { ensureBuilt, ensureInstalled, root } from "./setup.mjs";

const only = process.argv.slice(2);
let passed = 0;
let failed = 0;
const count = (name, good) => {
  good ? passed++ : failed++;
  process.stdout.write(`${good ? "passed" : "FAILED"}: ${name}\n`);
};

await ensureInstalled();
const { ensureBrowser } = await import("./browser.mjs");
const { checkTypes, projects } = await import("./types.mjs");
process.env.BITTEREND_CHROMIUM = await ensureBrowser();

if (only.length === 0) {
  for (const project of projects) count(`types of ${project}`, await checkTypes(project));
  count("lint and format", await runs("node_modules/@biomejs/biome/bin/biome", ["check", "."]));
}
count("build", await ensureBuilt().then(() => true, showError));

const report = join(root, "node_modules", ".vitest-report.json");
rmSync(report, { force: true });
await runs("node_modules/vitest/vitest.mjs", [
  "run",
  "--reporter=default",
  "--reporter=json",
  `--outputFile.json=${report}`,
  ...only,
]);
countTests();

process.stdout.write(`${passed} passed, ${failed} failed\n`);
process.exit(failed === 0 ? 0 : 1);

function runs(script, args) {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [join(root, script), ...args], { cwd: root, stdio: "inherit" });
    child.on("close", (code) => resolve(code === 0));
  });
}

function showError(error) {
  process.stderr.write(`${error.stack}\n`);
  return false;
}

// A run that ends without a report, a file that fails to load and a skipped test all count as failures: a test that did
// not run has shown nothing.
function countTests() {
  let results;
  try {
    results = JSON.parse(readFileSync(report, "utf8"));
  } catch {
    count("the test runner left a report", false);
    return;
  }
  passed += results.numPassedTests;
  failed += results.numFailedTests;
  const idle = results.numPendingTests + results.numTodoTests;
  if (idle > 0) count(`${idle} tests did not run`, false);
  for (const file of results.testResults) {
    if (file.status === "failed" && file.assertionResults.length === 0)
      count(`${file.name}: ${file.message}`, false);
  }
  if (!results.success && failed === 0) count("the test runner ended with an error outside a test", false);
}
