import { expect, it } from "vitest";
import { openApp, valueIn } from "./open-app.ts";

it("answers the demo series, and once asked answers from what it knows", async () => {
  const { app } = await openApp();
  valueIn(await app.loadDemo());
  const [series] = await app.list("series");
  const said: number[] = [];
  const onProgress = (done: number) => said.push(done);
  const first = valueIn(await app.slipOrBreak(series?.id ?? "", { refits: 200 }, { onProgress }));
  expect(said.at(-1)).toBe(1);
  expect(first.points.length + first.leftOut.length).toBe((await app.list("pull")).length);
  const before = said.length;
  expect(valueIn(await app.slipOrBreak(series?.id ?? "", { refits: 200 }, { onProgress }))).toEqual(first);
  expect(said).toHaveLength(before);
});
