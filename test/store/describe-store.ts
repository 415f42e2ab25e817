import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { RecordKind, Store } from "../../src/app/mod.ts";
import { recordKindNames, recordKinds } from "../../src/app/mod.ts";
import type { Layout } from "../../src/trace/mod.ts";
import {
  add,
  fieldsOf,
  keptNew,
  layout,
  recipe,
  recordingOf,
  recordingText,
  rope,
  sha256Of,
} from "./examples.ts";

export type StoreUnderTest = {
  readonly store: Store;
  /** Removes what the store left behind. */
  readonly end: () => Promise<void>;
};

/** The one suite that every store has to pass, whichever database is beneath. */
export function describeStore(name: string, open: () => Promise<StoreUnderTest>): void {
  describe(name, () => {
    let store: Store;
    let end: () => Promise<void>;
    beforeEach(async () => {
      ({ store, end } = await open());
    });
    afterEach(() => end());

    describe("records", () => {
      it("gives back every field of every kind as it was stored", async () => {
        const inputs = await everyField(store);
        for (const kind of recordKindNames) {
          const input = inputs[kind];
          expect(Object.keys(input).sort(), kind).toEqual(Object.keys(recordKinds[kind].shape).sort());
          const stored = await add(store, kind, input);
          expect(stored).toMatchObject(input);
          expect(await store.read.get(kind, stored.id)).toEqual(stored);
        }
      });

      it("keeps every version of a recipe, and takes them out with it", async () => {
        const first = await add(store, "recipe", recipe);
        const other = await add(store, "recipe", { ...recipe, name: "another" });
        const second = await store.transaction((work) =>
          work.update(
            "recipe",
            first.id,
            1,
            "2024-05-02T08:00:00.000Z",
            fieldsOf("recipe", {
              ...recipe,
              buryFullDiameters: 36,
              steps: [{ text: "Milk.", figure: "milk" }],
            }),
          ),
        );
        expect(second.ok).toBe(true);
        expect(await store.read.recipeVersions(first.id)).toEqual([
          { recipeId: first.id, revision: 1, changedAt: first.changedAt, fields: fieldsOf("recipe", recipe) },
          {
            recipeId: first.id,
            revision: 2,
            changedAt: "2024-05-02T08:00:00.000Z",
            fields: fieldsOf("recipe", {
              ...recipe,
              buryFullDiameters: 36,
              steps: [{ text: "Milk.", figure: "milk" }],
            }),
          },
        ]);
        expect(await store.read.recipeVersions()).toHaveLength(3);
        const removed = await store.transaction((work) => work.remove("recipe", first.id));
        expect(removed.ok).toBe(true);
        expect((await store.read.recipeVersions()).map(({ recipeId }) => recipeId)).toEqual([other.id]);
      });

      it("leaves absent fields absent", async () => {
        const series = await add(store, "series", { title: "t" });
        const pull = await add(store, "pull", { seriesId: series.id });
        const read = await store.read.get("pull", pull.id);
        expect(Object.keys(read ?? {}).sort()).toEqual(
          ["changedAt", "createdAt", "id", "notes", "operator", "overrides", "revision", "seriesId"].sort(),
        );
      });

      it("keeps every kind of outcome", async () => {
        const series = await add(store, "series", { title: "t" });
        for (const outcome of [
          { kind: "broke", place: "taper end" },
          { kind: "slipped", place: "" },
          { kind: "stopped", reason: "cell at its limit" },
          { kind: "void", reason: "pin bent" },
        ]) {
          const pull = await add(store, "pull", { seriesId: series.id, outcome });
          expect((await store.read.get("pull", pull.id))?.outcome).toEqual(outcome);
        }
      });

      it("keeps numbers to the last bit and text to the last letter", async () => {
        const notes = `Ø 6 mm — naïve 日本語 🪢 "quoted" 'single' \\ %_\r\n\t${"x".repeat(1_000_000)}`;
        const number = 0.1 + 0.2;
        const fields = {
          ...fieldsOf("rope", rope),
          name: "Tau „Ärmel“ № 1",
          nominalDiameterMm: number,
          massPerLengthGPerM: Number.MIN_VALUE,
          notes,
        };
        await store.transaction((work) => work.insert("rope", { ...keptNew("rop"), id: "rope-1" }, fields));
        const read = await store.read.get("rope", "rope-1");
        expect(read?.notes).toBe(notes);
        expect(read?.name).toBe("Tau „Ärmel“ № 1");
        expect(read?.nominalDiameterMm).toBe(number);
        expect(read?.massPerLengthGPerM).toBe(Number.MIN_VALUE);
      });

      it("lists in the order of coming, whatever the ids and times", async () => {
        const series = await add(store, "series", { title: "t" });
        const labels = ["B2", "A1", "Z9", "A0"];
        await store.transaction(async (work) => {
          for (const [place, label] of labels.entries())
            await work.insert(
              "specimen",
              { ...keptNew("spe"), id: `spe-${9 - place}` },
              fieldsOf("specimen", { seriesId: series.id, label }),
            );
        });
        const first = await store.read.list("specimen", { seriesId: series.id });
        expect(first.map(({ label }) => label)).toEqual(labels);
        await store.transaction((work) =>
          work.update("specimen", "spe-8", 1, "2030-01-01T00:00:00.000Z", {
            ...fieldsOf("specimen", { seriesId: series.id, label: "changed" }),
          }),
        );
        const after = await store.read.list("specimen", { seriesId: series.id });
        expect(after.map(({ label }) => label)).toEqual(["B2", "changed", "Z9", "A0"]);
      });

      it("narrows a list by series, specimen and recording", async () => {
        const one = await add(store, "series", { title: "one" });
        const two = await add(store, "series", { title: "two" });
        const specimen = await add(store, "specimen", { seriesId: one.id, label: "A1" });
        await add(store, "pull", { seriesId: one.id, specimenId: specimen.id });
        await add(store, "pull", { seriesId: one.id });
        await add(store, "pull", { seriesId: two.id });
        expect(await store.read.list("pull")).toHaveLength(3);
        expect(await store.read.list("pull", { seriesId: one.id })).toHaveLength(2);
        expect(await store.read.list("pull", { specimenId: specimen.id })).toHaveLength(1);
        expect(await store.read.list("pull", { recordingSha256: "0".repeat(64) })).toHaveLength(0);
      });
    });

    describe("refusals", () => {
      it("refuses a change of something that was changed meanwhile, and keeps what the other wrote", async () => {
        const stored = await add(store, "rope", rope);
        const change = (revision: number, name: string) =>
          store.transaction((work) =>
            work.update("rope", stored.id, revision, "2024-06-01T00:00:00.000Z", {
              ...fieldsOf("rope", { ...rope, name }),
            }),
          );
        const first = await change(1, "first");
        expect(first).toMatchObject({ ok: true, value: { revision: 2, name: "first" } });
        expect(await change(1, "second")).toEqual({
          ok: false,
          refusal: { kind: "changed-meanwhile", id: stored.id, revision: 2 },
        });
        expect(await store.read.get("rope", stored.id)).toMatchObject({
          revision: 2,
          name: "first",
          createdAt: stored.createdAt,
          changedAt: "2024-06-01T00:00:00.000Z",
        });
      });

      it("lets one of many concurrent changes through", async () => {
        const stored = await add(store, "rope", rope);
        const answers = await Promise.all(
          Array.from({ length: 20 }, (_, writer) =>
            store.transaction((work) =>
              work.update("rope", stored.id, 1, "2024-06-01T00:00:00.000Z", {
                ...fieldsOf("rope", { ...rope, name: `writer ${writer}` }),
              }),
            ),
          ),
        );
        expect(answers.filter(({ ok }) => ok)).toHaveLength(1);
        expect((await store.read.get("rope", stored.id))?.revision).toBe(2);
      });

      it("refuses a change or removal of what is not there", async () => {
        const gone = { ok: false, refusal: { kind: "missing", what: "rope", id: "rope-none" } };
        expect(
          await store.transaction((work) =>
            work.update("rope", "rope-none", 1, "2024-06-01T00:00:00.000Z", fieldsOf("rope", rope)),
          ),
        ).toEqual(gone);
        expect(await store.transaction((work) => work.remove("rope", "rope-none"))).toEqual(gone);
        expect(await store.read.get("rope", "rope-none")).toBeUndefined();
      });

      it("refuses a reference that leads nowhere and names its field", async () => {
        const answer = await store.transaction((work) =>
          work.insert("bench", keptNew("ben"), fieldsOf("bench", { name: "b", farHardwareId: "hw-none" })),
        );
        expect(answer).toEqual({
          ok: false,
          refusal: { kind: "missing", what: "hardware", id: "hw-none", field: "farHardwareId" },
        });
        expect(await store.read.list("bench")).toEqual([]);
      });

      it("refuses to remove what is in use and says by whom", async () => {
        const series = await add(store, "series", { title: "t" });
        const stored = await add(store, "rope", rope);
        await add(store, "spool", { ropeId: stored.id, name: "Spool 7" });
        for (const label of ["A1", "A2", "A3"])
          await add(store, "specimen", { seriesId: series.id, label, ropeId: stored.id });
        expect(await store.transaction((work) => work.remove("rope", stored.id))).toEqual({
          ok: false,
          refusal: {
            kind: "in-use",
            id: stored.id,
            by: 'spool "Spool 7", specimen "A1", specimen "A2" and others',
          },
        });
        expect(await store.read.get("rope", stored.id)).toBeDefined();
        expect(await store.transaction((work) => work.remove("series", series.id))).toMatchObject({
          refusal: { kind: "in-use", by: 'specimen "A1", specimen "A2", specimen "A3"' },
        });
      });

      it("removes what nothing uses", async () => {
        const stored = await add(store, "rope", rope);
        expect(await store.transaction((work) => work.remove("rope", stored.id))).toEqual({
          ok: true,
          value: null,
        });
        expect(await store.read.list("rope")).toEqual([]);
      });

      it("refuses a label twice in one series, and takes it in another", async () => {
        const one = await add(store, "series", { title: "one" });
        const two = await add(store, "series", { title: "two" });
        await add(store, "specimen", { seriesId: one.id, label: "A1" });
        const other = await add(store, "specimen", { seriesId: one.id, label: "A2" });
        await add(store, "specimen", { seriesId: two.id, label: "A1" });
        const taken = { ok: false, refusal: { kind: "taken", field: "label", value: "A1" } };
        const fields = fieldsOf("specimen", { seriesId: one.id, label: "A1" });
        expect(await store.transaction((work) => work.insert("specimen", keptNew("spe"), fields))).toEqual(
          taken,
        );
        expect(
          await store.transaction((work) =>
            work.update("specimen", other.id, 1, "2024-06-01T00:00:00Z", fields),
          ),
        ).toEqual(taken);
        // Its own label is not in its way.
        expect(
          await store.transaction((work) =>
            work.update("specimen", other.id, 1, "2024-06-01T00:00:00Z", { ...fields, label: "A2" }),
          ),
        ).toMatchObject({ ok: true });
      });
    });

    describe("transactions", () => {
      it("keeps nothing of a transaction that throws", async () => {
        await expect(
          store.transaction(async (work) => {
            await work.insert("rope", keptNew("rop"), fieldsOf("rope", rope));
            await work.setFact("half", "done");
            throw new Error("on purpose");
          }),
        ).rejects.toThrow("on purpose");
        expect(await store.read.list("rope")).toEqual([]);
        expect(await store.read.getFact("half")).toBeUndefined();
        // And the book goes on working.
        await add(store, "rope", rope);
      });

      it("shows a transaction its own writing", async () => {
        const seenInside = await store.transaction(async (work) => {
          await work.insert("rope", keptNew("rop"), fieldsOf("rope", rope));
          return (await work.list("rope")).length;
        });
        expect(seenInside).toBe(1);
      });

      it("gives transactions begun at once their turns, losing none", async () => {
        const writers = Array.from({ length: 50 }, (_, writer) => `writer ${writer}`);
        await Promise.all(
          writers.map((name) =>
            store.transaction(async (work) => {
              const before = Number((await work.getFact("count")) ?? "0");
              await work.setFact("count", String(before + 1));
              await work.setFact(name, "was here");
            }),
          ),
        );
        expect(await store.read.getFact("count")).toBe("50");
      });

      it("keeps facts and replaces them", async () => {
        await store.transaction((work) => work.setFact("demo", "loaded"));
        await store.transaction((work) => work.setFact("demo", "taken away"));
        expect(await store.read.getFact("demo")).toBe("taken away");
      });
    });

    describe("recordings", () => {
      it("gives 30,000 samples back byte for byte, by SHA-256", async () => {
        const series = await add(store, "series", { title: "t" });
        const bytes = recordingText(30_000);
        const recording = recordingOf(series.id, bytes);
        // In pieces, as an upload comes.
        const pieces = [bytes.subarray(0, 1), bytes.subarray(1, 70_001), bytes.subarray(70_001)];
        await store.transaction((work) => work.insertRecording(recording, pieces));
        const back = await store.read.recordingBytes(recording.sha256);
        expect(back?.length).toBe(bytes.length);
        expect(sha256Of(back ?? new Uint8Array())).toBe(recording.sha256);
        expect(await store.read.getRecording(recording.sha256)).toEqual(recording);
      });

      it("gives back a recording of several chunks, and an exact multiple of them", async () => {
        const series = await add(store, "series", { title: "t" });
        for (const length of [9 * 1024 * 1024 + 13, 8 * 1024 * 1024]) {
          const bytes = new Uint8Array(length);
          for (let at = 0; at < length; at += 1) bytes[at] = (at * 31 + (at >> 8)) & 255;
          const recording = recordingOf(series.id, bytes);
          await store.transaction((work) => work.insertRecording(recording, [bytes]));
          const back = await store.read.recordingBytes(recording.sha256);
          expect(sha256Of(back ?? new Uint8Array())).toBe(recording.sha256);
        }
      });

      it("half-stores nothing when the work fails after the bytes", async () => {
        const series = await add(store, "series", { title: "t" });
        const bytes = recordingText(1000);
        const recording = recordingOf(series.id, bytes);
        await expect(
          store.transaction(async (work) => {
            await work.insertRecording(recording, [bytes]);
            throw new Error("on purpose");
          }),
        ).rejects.toThrow("on purpose");
        expect(await store.read.getRecording(recording.sha256)).toBeUndefined();
        expect(await store.read.recordingBytes(recording.sha256)).toBeUndefined();
        await store.transaction((work) => work.insertRecording(recording, [bytes]));
      });

      it("lists recordings of a series, and removes one that no pull rests on", async () => {
        const series = await add(store, "series", { title: "t" });
        const other = await add(store, "series", { title: "other" });
        const recordings = [1, 2, 3].map((seed) => {
          const bytes = recordingText(10, seed);
          return {
            bytes,
            recording: recordingOf(seed === 3 ? other.id : series.id, bytes, `pull-${seed}.csv`),
          };
        });
        for (const { recording, bytes } of recordings)
          await store.transaction((work) => work.insertRecording(recording, [bytes]));
        const listed = await store.read.listRecordings({ seriesId: series.id });
        expect(listed.map(({ fileName }) => fileName)).toEqual(["pull-1.csv", "pull-2.csv"]);
        expect(await store.read.listRecordings()).toHaveLength(3);

        const sha256 = recordings[0]?.recording.sha256 ?? "";
        const pull = await add(store, "pull", {
          seriesId: series.id,
          recordingSha256: sha256,
          recordingPull: 1,
        });
        expect(await store.transaction((work) => work.removeRecording(sha256))).toEqual({
          ok: false,
          refusal: { kind: "in-use", id: sha256, by: `pull "${pull.id}"` },
        });
        await store.transaction((work) => work.remove("pull", pull.id));
        expect(await store.transaction((work) => work.removeRecording(sha256))).toEqual({
          ok: true,
          value: null,
        });
        expect(await store.read.recordingBytes(sha256)).toBeUndefined();
      });

      it("keeps a recording's outline as long as it is read by the same layout", async () => {
        const series = await add(store, "series", { title: "t" });
        const bytes = recordingText(10);
        const recording = recordingOf(series.id, bytes);
        const { sha256 } = recording;
        const keep = (by: Layout, outline: Uint8Array) =>
          store.transaction((work) => work.keepOutline(sha256, by, outline));
        await keep(layout, Uint8Array.of(9));
        expect(await store.read.recordingOutline(sha256)).toBeUndefined();
        await store.transaction((work) => work.insertRecording(recording, [bytes]));
        expect(await store.read.recordingOutline(sha256)).toBeUndefined();
        await keep(layout, Uint8Array.of(1, 2));
        await keep(layout, Uint8Array.of(3, 0, 255));
        expect([...((await store.read.recordingOutline(sha256)) ?? [])]).toEqual([3, 0, 255]);
        const other = { ...layout, preambleLines: 7 };
        await store.transaction((work) => work.updateReading(sha256, { ...recording, layout: other }));
        expect(await store.read.recordingOutline(sha256)).toBeUndefined();
        await keep(other, Uint8Array.of(4));
        expect([...((await store.read.recordingOutline(sha256)) ?? [])]).toEqual([4]);
        expect((await store.transaction((work) => work.removeRecording(sha256))).ok).toBe(true);
        expect(await store.read.recordingOutline(sha256)).toBeUndefined();
      });

      it("puts another reading in the place of the old one, and leaves the bytes", async () => {
        const series = await add(store, "series", { title: "t" });
        const bytes = recordingText(10);
        const recording = recordingOf(series.id, bytes);
        await store.transaction((work) => work.insertRecording(recording, [bytes]));
        const [pull] = recording.reading.pulls;
        if (pull === undefined) throw new Error("the example has a pull");
        const read = {
          layout: { ...layout, preambleLines: 3 },
          reading: { ...recording.reading, method: { name: "reading", version: "9" }, pulls: [] },
          readWith: [],
          stretches: [{ fromRow: 1, toRow: 3, reading: pull, calibration: { points: [], capacityN: 5000 } }],
        } as const;
        expect(await store.transaction((work) => work.updateReading(recording.sha256, read))).toEqual({
          ok: true,
          value: null,
        });
        expect(await store.read.getRecording(recording.sha256)).toEqual({ ...recording, ...read });
        expect([...((await store.read.recordingBytes(recording.sha256)) ?? [])]).toEqual([...bytes]);
        expect(await store.transaction((work) => work.updateReading("0".repeat(64), read))).toEqual({
          ok: false,
          refusal: { kind: "missing", what: "recording", id: "0".repeat(64) },
        });
      });

      it("refuses two pulls for one pull of a recording", async () => {
        const series = await add(store, "series", { title: "t" });
        const bytes = recordingText(10);
        const recording = recordingOf(series.id, bytes);
        await store.transaction((work) => work.insertRecording(recording, [bytes]));
        const input = { seriesId: series.id, recordingSha256: recording.sha256, recordingPull: 1 };
        await add(store, "pull", input);
        expect(
          await store.transaction((work) => work.insert("pull", keptNew("pul"), fieldsOf("pull", input))),
        ).toEqual({ ok: false, refusal: { kind: "taken", field: "recordingPull", value: "1" } });
      });
    });

    describe("pictures and reports", () => {
      it("keeps pictures of a series, a specimen and a pull, in order, with their bytes", async () => {
        const series = await add(store, "series", { title: "t" });
        const specimen = await add(store, "specimen", { seriesId: series.id, label: "A1" });
        const pull = await add(store, "pull", { seriesId: series.id });
        const subjects = [
          { kind: "pull", id: pull.id },
          { kind: "series", id: series.id },
          { kind: "specimen", id: specimen.id },
        ] as const;
        const bytes = new Uint8Array([0xff, 0xd8, 0xff, 0, 1, 2, 255]);
        for (const [place, subject] of subjects.entries())
          await store.transaction((work) =>
            work.insertPicture(
              {
                id: `pic-${3 - place}`,
                subject,
                fileName: `${subject.kind}.jpg`,
                mediaType: "image/jpeg",
                sha256: sha256Of(bytes),
                sizeBytes: bytes.length,
                caption: "the throat, afterwards",
                addedAt: "2024-05-01T10:00:00.000Z",
              },
              bytes,
            ),
          );
        const listed = await store.read.listPictures(subjects);
        expect(listed.map(({ subject }) => subject)).toEqual(subjects);
        expect(await store.read.listPictures([])).toEqual([]);
        const one = await store.read.getPicture("pic-3");
        expect(one?.picture).toEqual(listed[0]);
        expect([...(one?.bytes ?? [])]).toEqual([...bytes]);
        expect(await store.transaction((work) => work.remove("pull", pull.id))).toMatchObject({
          refusal: { kind: "in-use", by: 'picture "pull.jpg"' },
        });
        expect(await store.transaction((work) => work.removePicture("pic-3"))).toBe(true);
        expect(await store.transaction((work) => work.removePicture("pic-3"))).toBe(false);
        expect(await store.transaction((work) => work.remove("pull", pull.id))).toEqual({
          ok: true,
          value: null,
        });
      });

      it("keeps a report's page to the letter, and its number once in a series", async () => {
        const series = await add(store, "series", { title: "t" });
        const html = `<!doctype html><p>30 % — 🪢</p>${"y".repeat(3_000_000)}`;
        const report = (number: number) => ({
          id: `rep-${number}`,
          seriesId: series.id,
          number,
          publishedAt: "2024-05-02T00:00:00.000Z",
          title: "t",
          sha256: sha256Of(new TextEncoder().encode(html)),
          note: "",
          changes: [],
        });
        await store.transaction((work) => work.insertReport(report(2), html));
        await store.transaction((work) => work.insertReport(report(1), "<p>first"));
        expect(await store.read.getReport("rep-2")).toEqual({ report: report(2), html });
        expect((await store.read.listReports({ seriesId: series.id })).map(({ number }) => number)).toEqual([
          1, 2,
        ]);
        expect(await store.read.listReports()).toHaveLength(2);
        await expect(
          store.transaction((work) => work.insertReport({ ...report(2), id: "rep-again" }, html)),
        ).rejects.toThrow();
        expect(await store.transaction((work) => work.remove("series", series.id))).toMatchObject({
          refusal: { kind: "in-use", by: "report 2, report 1" },
        });
      });

      it("keeps what a report froze, and that it was withdrawn, beside an unchanged page", async () => {
        const series = await add(store, "series", { title: "t" });
        const report = {
          id: "rep-1",
          seriesId: series.id,
          number: 1,
          publishedAt: "2024-05-02T00:00:00.000Z",
          title: "t",
          sha256: "a".repeat(64),
          contentSha256: "b".repeat(64),
          note: "two pulls more – Ø",
          changes: ["Pull 3 was added.", 'its "place"'],
        };
        const content = '{"a":"–"}';
        await store.transaction((work) => work.insertReport(report, "<p>", content));
        expect(await store.read.getReport("rep-1")).toEqual({ report, html: "<p>", content });
        const withdrawn = { at: "2024-06-01T00:00:00.000Z", reason: "the cell was wrong" };
        expect(await store.transaction((work) => work.withdrawReport("rep-1", withdrawn))).toMatchObject({
          ok: true,
        });
        expect(await store.read.listReports({ seriesId: series.id })).toEqual([{ ...report, withdrawn }]);
        expect((await store.read.getReport("rep-1"))?.html).toBe("<p>");
        expect(await store.transaction((work) => work.withdrawReport("rep-9", withdrawn))).toMatchObject({
          refusal: { kind: "missing", id: "rep-9" },
        });
      });

      it("keeps where a series came from, until the series goes", async () => {
        const series = await add(store, "series", { title: "t" });
        const imported = {
          id: "imp-1",
          seriesId: series.id,
          contentSha256: "c".repeat(64),
          importedAt: "2024-05-02T00:00:00.000Z",
          origin: {
            fileName: "theirs.zip",
            seriesId: "ser-x",
            title: "Theirs",
            tester: "K",
            revision: 2,
            publishedAt: "2024-04-02T00:00:00.000Z",
            program: "Bitter End 0",
          },
          ids: { "ser-x": series.id },
        };
        await store.transaction((work) => work.insertImport(imported));
        expect(await store.read.listImports({ seriesId: series.id })).toEqual([imported]);
        expect(await store.read.listImports({ contentSha256: "c".repeat(64) })).toEqual([imported]);
        expect(await store.read.listImports({ contentSha256: "d".repeat(64) })).toEqual([]);
        expect(await store.transaction((work) => work.remove("series", series.id))).toMatchObject({
          ok: true,
        });
        expect(await store.read.listImports()).toEqual([]);
      });
    });
  });
}

/** One input for each kind with every field filled, whose references exist. */
async function everyField(store: Store): Promise<Record<RecordKind, object>> {
  const aRope = await add(store, "rope", rope);
  const aSpool = await add(store, "spool", { ropeId: aRope.id, name: "s" });
  const aRecipe = await add(store, "recipe", recipe);
  const aPin = await add(store, "hardware", { name: "pin" });
  const aCell = await add(store, "load-cell", { name: "cell" });
  const aBench = await add(store, "bench", { name: "bench" });
  const aSeries = await add(store, "series", { title: "t" });
  const anotherSeries = await add(store, "series", { title: "other" });
  const aSpecimen = await add(store, "specimen", { seriesId: aSeries.id, label: "A0" });
  const bytes = recordingText(5);
  const recording = recordingOf(aSeries.id, bytes);
  await store.transaction((work) => work.insertRecording(recording, [bytes]));
  const notes = "seen";
  return {
    rope: {
      ...rope,
      construction: "12-strand braid",
      fibre: "HMPE",
      massPerLengthGPerM: 21.5,
      ratedStrengthBasis: "minimum",
      ratedStrengthEnds: "spliced",
      ratedStrengthSource: "data sheet of 2023",
      coating: "urethane",
      pickLengthMm: 4.25,
      stiffnessN: 1_100_000,
      stiffnessSpreadN: 90_000,
      notes,
    },
    spool: {
      ropeId: aRope.id,
      name: "Spool 1",
      batch: "b-7",
      lengthM: 200.5,
      otherUseM: 3.25,
      pricePerM: 2.4,
      currency: "EUR",
      boughtOn: "2024-02-29",
      notes,
    },
    recipe: {
      ...recipe,
      variant: "one end free",
      buryTaperDiameters: 12.5,
      burySource: "a workshop",
      taperStrandsLeft: 4,
      crossings: 1,
      strandsEachSide: 6,
      lockStitch: "six passes",
      stitchDiameters: 5,
      setShare: 0.15,
      setHoldS: 60,
      numbers: { contraction: { value: 0.08, spread: 0.01, low: 0.05, high: 0.12, source: "own log" } },
      steps: [{ text: "Pierce.", figure: "pierce-once" }, { text: "Milk." }],
      wraps: 2,
      basedOn: "crossed-tail-loop",
      notes,
    },
    hardware: { name: "pin 30", form: "shackle", diameterMm: 30, ownStrengthN: 120_000, notes },
    "load-cell": {
      name: "cell 5 t",
      capacityN: 50_000,
      resolutionN: 10,
      calibratedOn: "2024-01-31",
      calibrationPoints: [
        { appliedN: 10_000, indicatedN: 10_020.5 },
        { appliedN: 0, indicatedN: 0 },
      ],
      accuracyClass: 0.5,
      calibrationNote: "against a dead weight",
      notes,
    },
    bench: {
      name: "shed bench",
      loadCellId: aCell.id,
      drive: "winch",
      cellPlacement: "on the drive side",
      mechanicalAdvantage: 2.5,
      nearHardwareId: aPin.id,
      farHardwareId: aPin.id,
      notes,
    },
    series: {
      title: "Does bury matter?",
      question: "q",
      method: "m",
      conclusions: "c",
      tester: "me",
      factors: [{ name: "bury", unit: "d", levels: [10, 20, "as found"] }],
      pullsPerCell: 5,
      boundMethod: "weibull",
      boundContent: 0.9,
      boundConfidence: 0.975,
      simulated: true,
      planHistory: [
        {
          until: "2024-05-03T10:00:00.000Z",
          factors: [{ name: "bury", unit: "d", levels: [10, 20] }],
          pullsPerCell: 3,
          pullsThen: 2,
        },
      ],
      sources: "s",
      deviations: "d",
      conditions: "dry, 21 °C",
      contact: "by letter",
      testedAt: "the shed",
      customer: "nobody",
      authorisedBy: "me too",
      notes,
    },
    specimen: {
      seriesId: aSeries.id,
      label: "A1",
      ropeId: aRope.id,
      spoolId: aSpool.id,
      recipeId: aRecipe.id,
      recipeRevision: 1,
      wanted: {
        lengthMm: 690,
        measure: "pin centres",
        tensionN: 5000,
        bedded: true,
        nearPinMm: 16,
        farPinMm: 20,
        nearEyeMm: 80,
        farEyeMm: 81,
      },
      maker: "me",
      madeOn: "2024-04-30",
      levels: { bury: 20, 'made by: "whom"': "me" },
      cutLengthMm: 2000.25,
      finishedLengthMm: 700,
      finishedAtTensionMm: 712.5,
      finishedTensionN: 5000,
      buryFullMm: 0,
      buryTaperMm: 60,
      secondBuryFullMm: 180,
      secondBuryTaperMm: 61,
      picksPerStep: [3, 3, 2],
      secondPicksPerStep: [4],
      makingMinutes: 25,
      plannedOrder: 7,
      redo: "the far tail",
      notes,
    },
    pull: {
      seriesId: aSeries.id,
      specimenId: aSpecimen.id,
      benchId: aBench.id,
      recordingSha256: recording.sha256,
      recordingPull: 1,
      typedPeakN: 41_000.5,
      outcome: { kind: "broke", place: "throat" },
      pulledAt: "2024-05-01T10:00",
      order: 3,
      overrides: [
        { what: "strike slip", fromRow: 3, by: "me", at: "2024-05-02T10:00:00.000Z", why: "a stroke" },
      ],
      operator: "me",
      notes,
    },
    layout: { name: "shed logger", layout, notes },
    claim: {
      seriesId: aSeries.id,
      statement: "a loop bears 90 %",
      source: "catalogue of 2023, page 4",
      kind: "least",
      basis: "measured single line",
      share: 0.9,
      valueN: 51_000.5,
      legs: 2,
      measuredLineN: 31_000.25,
      levels: { bury: 60 },
      margin: 0.04,
      content: 0.9,
      notes,
    },
    "pooled-series": {
      seriesId: aSeries.id,
      name: "another loft",
      otherSeriesId: anotherSeries.id,
      otherLevels: { bury: "60" },
      source: "its report 3",
      n: 5,
      basis: "rated single line",
      meanShare: 1.7,
      sdShare: 0.08,
      meanN: 51_000.5,
      sdN: 2000.5,
      legs: 2,
      ratedStrengthN: 30_000,
      ratedStrengthBasis: "mean",
      ratedStrengthEnds: "unspliced",
      measuredLineN: 31_000.25,
      construction: "12-strand braid",
      levels: { bury: 60 },
      notes,
    },
    rig: {
      name: "raft",
      load: { kind: "lift", loadN: 800.5, legs: 3, angleFromVerticalDeg: 30, legsCounted: 2 },
      parts: [
        {
          name: "loop",
          kind: "connector",
          place: "in each leg",
          strength: { from: "pulls", seriesId: aSeries.id, cell: "bury 20 d" },
          count: 2,
          sideBySide: 2,
          largestShare: 0.6,
          wraps: 2,
          bendRetention: 0.8,
          notes,
        },
      ],
      wantedFactor: 5.5,
      wantedFactorSource: "the harbour's rule 7",
      overTime: "a summer in the sun",
      notes,
    },
  };
}
