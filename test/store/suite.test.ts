import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openSqliteBook } from "../../src/store/mod.ts";
import { describeStore } from "./describe-store.ts";

describeStore("SQLite in a file", async () => {
  const folder = await mkdtemp(join(tmpdir(), "bitterend-store-"));
  const opened = await openSqliteBook(join(folder, "deep", "loft.book"), { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  return {
    store: opened.value,
    end: async () => {
      await opened.value.close();
      await rm(folder, { recursive: true });
    },
  };
});

describeStore("SQLite in memory", async () => {
  const opened = await openSqliteBook(":memory:", { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  return { store: opened.value, end: () => opened.value.close() };
});
