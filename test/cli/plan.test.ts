import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { createApp } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { bundleCli, makeFolder, runCli } from "./run.ts";

const cli = bundleCli();
const folder = makeFolder();
const book = join(folder.path, "loft.sqlite");
let seriesId = "";

beforeAll(async () => {
  const opened = await openSqliteBook(book, { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const series = await createApp(nodeEffects(opened.value)).create("series", {
    title: "Bury",
    factors: [{ name: "bury", unit: "d", levels: [24, 36, 48] }],
    pullsPerCell: 2,
  });
  if (!series.ok) throw new Error(JSON.stringify(series.problems));
  seriesId = series.value.id;
  await opened.value.close();
});
afterAll(() => {
  cli.remove();
});

const run = (args: string[]) => runCli(cli.script, args, { env: { BITTEREND_BOOK: book } });

test("plan says how many and in which order, and makes the specimens once", async () => {
  const asked = ["plan", seriesId, "--seed", "7", "--difference", "8", "--cv", "10", "--maker", "Kim", "Ola"];
  const said = await run(asked);
  expect(said.code).toBe(0);
  // Difference 0.8 SD, 80 %: 26 in each group (Cohen 1988, table 2.4.1, from memory).
  expect(said.out).toContain("26 pulls in each");
  expect(
    said.out.split("\n").filter((line) => /^ *[1-6] +[12] +(24|36|48) +- +(Kim|Ola)/.test(line)),
  ).toHaveLength(6);

  const made = await run([...asked, "--make", "--json"]);
  const { order, specimens } = JSON.parse(made.out) as {
    order: { value: { levels: object; maker: string }[] };
    specimens: { levels: object; maker: string; label: string }[];
  };
  expect(specimens.map(({ levels, maker }) => ({ levels, maker }))).toEqual(
    order.value.map(({ levels, maker }) => ({ levels, maker })),
  );
  expect(specimens.map(({ label }) => label)).toEqual(["A1", "A2", "A3", "A4", "A5", "A6"]);
  const again = await run([...asked, "--make"]);
  expect(again.code).toBe(1);
  expect(again.err).toContain("The plan wants no more specimens");
});
