import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { createApp } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { bundleCli, makeFolder, runCli } from "./run.ts";

// Recipes and cut sheets as processes. The loop is worked by hand in docs/methods/cut-length.md: 1746.55 mm.

const cli = bundleCli();
const folder = makeFolder();
const book = join(folder.path, "loft.sqlite");
let seriesId: string;

const run = (...args: string[]) => runCli(cli.script, args, { env: { BITTEREND_BOOK: book } });

beforeAll(async () => {
  const opened = await openSqliteBook(book, { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const app = createApp(nodeEffects(opened.value));
  const idOf = async (made: ReturnType<typeof app.create>) => {
    const answer = await made;
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
    return answer.value.id;
  };
  seriesId = await idOf(app.create("series", { title: "Loops" }));
  const ropeId = await idOf(app.create("rope", { name: "Line 6", nominalDiameterMm: 6 }));
  const recipe = { name: "Own loop", kind: "crossed-tail loop", legs: 2, crossings: 2 };
  const recipeId = await idOf(
    app.create("recipe", { ...recipe, buryFullDiameters: 30, buryTaperDiameters: 10 }),
  );
  const wanted = { lengthMm: 600, measure: "inside" };
  await idOf(app.create("specimen", { seriesId, label: "A1", ropeId, recipeId, wanted }));
  await idOf(app.create("specimen", { seriesId, label: "A2", ropeId, recipeId }));
  await opened.value.close();
}, 60_000);

afterAll(() => {
  cli.remove();
  rmSync(folder.path, { recursive: true, force: true });
});

test("lists the program's recipes, and with a book its own", async () => {
  const plain = await run("recipes");
  expect(plain.code).toBe(0);
  expect(plain.out).toMatch(/crossed-tail-loop +Crossed-tail loop +30 d +10 d/);
  expect(plain.out).not.toContain("Own loop");
  const own = await run("recipes", "--book", book, "--json");
  expect(own.json<{ name: string }[]>().map(({ name }) => name)).toContain("Own loop");
});

test("writes a cut sheet and says what cannot be cut yet", async () => {
  const out = join(folder.path, "sheet.html");
  const sheet = await run("cut-sheet", seriesId, "--out", out, "--paper", "letter", "--book", book);
  expect([sheet.code, sheet.err]).toEqual([0, ""]);
  expect(sheet.out).toContain("1 to cut, 1.75 m of rope");
  expect(sheet.out).toContain("A2 cannot be cut yet");
  const page = readFileSync(out, "utf8");
  expect(page).toContain("size: letter");
  expect(page).toContain("cut 1747 mm");
});

test("refuses another paper and a series that is not there", async () => {
  const out = join(folder.path, "none.html");
  const paper = await run("cut-sheet", seriesId, "--out", out, "--paper", "napkin", "--book", book);
  expect(paper.code).not.toBe(0);
  expect(paper.err).toContain("napkin");
  const gone = await run("cut-sheet", "ser-0000000000", "--out", out, "--book", book);
  expect(gone.code).toBe(1);
  expect(gone.err).toContain("BOOK_NOT_FOUND");
});
